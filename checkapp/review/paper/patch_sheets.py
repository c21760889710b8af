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
from checkapp.rig.hookup import PortRow, desk_rows, goes, port_rows, power_words
from checkapp.rig.model import Box, Input
from checkapp.rig.rig import Rig
from checkapp.tongue import later, tr
from checkapp.tongue.numbers import fixed

_LABEL = 24.0
_PORTS = (
    Column(later("port"), 14.0, bold=True),
    Column("line", 14.0),
    Column(later("name"), 42.0, bold=True),
    Column(later("cable"), 24.0),
    Column(later("far end"), 34.0, lines=3),
    Column(later("level"), 16.0),
    Column("phantom", 12.0),
    Column("note", 30.0, lines=3),
)


def patch_sheets(rig: Rig, review: Review, pen: Pen) -> Iterator[Band | NewPage]:
    """A sheet for each box in the plan's order, then one for the desk if lines plug straight into it."""
    volts = {box.code: box.volts for chain in review.chains for box in chain.power.boxes}
    for box in rig.boxes.values():
        yield NewPage(tr("patch sheet {box}", box=box.code))
        yield from title(pen, box.code, box.place or "")
        yield from _facts(rig, box, volts.get(box.code), pen)
        yield from heading(pen, tr("Ports"))
        yield from table(_PORTS, [_row(rig, row, box) for row in port_rows(rig, box)], pen, least=6.2)
    rows = desk_rows(rig)
    if rows:
        yield NewPage(tr("patch sheet of the desk"))
        yield from title(pen, tr("Desk: lines that plug straight into it"))
        yield from table(_PORTS, [_row(rig, row) for row in rows], pen, least=6.2)


def _facts(rig: Rig, box: Box, volts: float | None, pen: Pen) -> Iterator[Band]:
    """What it is, where its own cables go, how it gets power, what to set on it."""
    kind = rig.box_kind(box)
    chain = rig.chain_of(box.code)
    told = {
        "box": tr("passive box") if kind.passive else tr("box"),
        "kind": box.kind,
        "inputs": kind.inputs,
        "outputs": kind.outputs,
        "where": f"chain {chain}" if chain is not None else tr("desk"),
    }
    power = list(power_words(rig, box))
    if volts is not None:
        power.append(tr("{volts} V of link power at its input, as planned", volts=fixed(volts, 2)))
    yield from _fact(pen, tr("what"), [tr("{box}, {kind}, {inputs} in, {outputs} out, on {where}", **told)])
    yield from _fact(pen, tr("cables"), goes(rig, box))
    powered = _fact(pen, tr("power"), power)
    yield from showing(powered, MAINS_WORD) if box.supply is not None else powered
    yield from _settings(box, pen)


def _fact(pen: Pen, label: str, texts: Iterable[str]) -> list[Band]:
    right = [band for text in texts for band in lines_of(pen, text, WIDTH - _LABEL, BODY_MM)]
    return kept(side_by_side(lines_of(pen, label, _LABEL, BODY_MM, tone="quiet"), right, _LABEL))


def _settings(box: Box, pen: Pen) -> Iterator[Band]:
    """What the crew must set, each with a box to tick."""
    label = lines_of(pen, tr("set on it"), _LABEL, BODY_MM, tone="quiet")
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
        name = _repeated(rig, row, box) or tr("free")
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
    if other not in _outputs(rig, box):
        return ""
    return tr("repeats {port}, {name}", port=other, name=line.name) if line else tr("repeats {port}", port=other)


def _outputs(rig: Rig, box: Box | None) -> list[str]:
    if box is None or box.repeats is None:
        return []
    return [name for name in rig.ports(rig.boxes[box.repeats]) if " out " in name]
