"""Patch sheets: one for each box, to hang beside it, and one for the desk's own ports."""

from collections.abc import Iterable, Iterator

from checkapp.page.bands import Band, NewPage, indented, kept, lines_of, showing, side_by_side, space
from checkapp.page.drawing import Plate
from checkapp.page.pen import Pen
from checkapp.page.rect import Rect
from checkapp.page.table import Column, Row, table
from checkapp.review.paper.look import BODY_MM, WIDTH, heading, level_cells, title
from checkapp.review.paper.speaks import MAINS_WORD
from checkapp.review.report import Review
from checkapp.rig.codes import DESK
from checkapp.rig.hookup import PortRow, desk_rows, goes, port_rows, power_words
from checkapp.rig.model import Box, Input
from checkapp.rig.rig import Rig

_LABEL = 24.0
_PORTS = (
    Column("port", 14.0, bold=True),
    Column("line", 14.0),
    Column("name", 42.0, bold=True),
    Column("cable", 24.0),
    Column("far end", 34.0, lines=3),
    Column("level", 16.0),
    Column("phantom", 12.0),
    Column("note", 30.0, lines=3),
)


def patch_sheets(rig: Rig, review: Review, pen: Pen) -> Iterator[Band | NewPage]:
    """A sheet for each box in the plan's order, then one for the desk if lines plug straight into it."""
    volts = {box.code: box.volts for chain in review.chains for box in chain.power.boxes}
    for box in rig.boxes.values():
        yield NewPage(f"patch sheet {box.code}")
        yield from title(pen, box.code, box.place or "")
        yield from _facts(rig, box, volts.get(box.code), pen)
        yield from heading(pen, "Ports")
        yield from table(_PORTS, [_row(rig, row, box) for row in port_rows(rig, box)], pen, least=6.2)
    rows = desk_rows(rig)
    if rows:
        yield NewPage("patch sheet of the desk")
        yield from title(pen, "Desk: lines that plug straight into it")
        yield from table(_PORTS, [_row(rig, row) for row in rows], pen, least=6.2)


def _facts(rig: Rig, box: Box, volts: float | None, pen: Pen) -> Iterator[Band]:
    """What it is, where its own cables go, how it gets power, what to set on it."""
    kind = rig.box_kind(box)
    chain = rig.chain_of(box.code)
    on = f"chain {chain}" if chain is not None else DESK.lower()
    ports = f"{kind.inputs} in, {kind.outputs} out"
    power = list(power_words(rig, box))
    if volts is not None:
        power.append(f"{volts:.2f} V of link power at its input, as planned")
    yield from _fact(pen, "what", [f"{'passive box' if kind.passive else 'box'}, {box.kind}, {ports}, on {on}"])
    yield from _fact(pen, "cables", goes(rig, box))
    powered = _fact(pen, "power", power)
    yield from showing(powered, MAINS_WORD) if box.supply is not None else powered
    yield from _settings(box, pen)


def _fact(pen: Pen, label: str, texts: Iterable[str]) -> list[Band]:
    right = [band for text in texts for band in lines_of(pen, text, WIDTH - _LABEL, BODY_MM)]
    return kept(side_by_side(lines_of(pen, label, _LABEL, BODY_MM, tone="quiet"), right, _LABEL))


def _settings(box: Box, pen: Pen) -> Iterator[Band]:
    """What the crew must set, each with a box to tick."""
    label = lines_of(pen, "set on it", _LABEL, BODY_MM, tone="quiet")
    for number, (name, value) in enumerate(box.settings.items()):
        said = indented(lines_of(pen, f"{name}: {value}", WIDTH - _LABEL - 5.0, BODY_MM, bold=True), 5.0)
        middle = -said[0].height / 2
        tick = Band(said[0].height, (Plate(Rect(1.5, middle, 1.5, middle).grown(1.4), 0.3), *said[0].shapes))
        yield space(0.6)
        yield from kept(side_by_side(label if number == 0 else [], [tick, *said[1:]], _LABEL))


def _row(rig: Rig, row: PortRow, box: Box | None = None) -> Row:
    port = row.port.split(" ", 1)[1]
    line = row.line
    if line is None:
        name = _repeated(rig, row, box) or "free"
        return Row((port, "", name, row.cable, row.far, "", "", "" if row.cable else row.use), quiet=True)
    plain = not row.use
    stand = line.stand if isinstance(line, Input) and plain else None
    far = ", ".join(filter(None, (row.far, stand)))
    note = line.note if plain else "" if row.cable else row.use
    return Row((port, line.line, line.name, row.cable, far, *level_cells(line), note or ""))


def _repeated(rig: Rig, row: PortRow, box: Box | None) -> str:
    """What a free output of a box that repeats another's gives out."""
    other = f"{box.repeats} {row.port.split(' ', 1)[1]}" if box is not None and box.repeats is not None else ""
    line = next((line for line in rig.lines if other and line.port == other), None)
    return f"repeats {other}" + (f", {line.name}" if line is not None else "") if other in _outputs(rig, box) else ""


def _outputs(rig: Rig, box: Box | None) -> list[str]:
    if box is None or box.repeats is None:
        return []
    return [name for name in rig.ports(rig.boxes[box.repeats]) if " out " in name]
