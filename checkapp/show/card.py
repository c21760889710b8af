"""The card of an item: what a scan of its tag shows, in the order in which a crew asks.

What it is, where it goes, what to set on it, what plugs into it, how it gets power, what the review says of it.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby

from checkapp.rig.ends import Plug, plugs, socket_before
from checkapp.rig.hookup import goes, port_rows, power_words
from checkapp.rig.model import Box, Input, Line
from checkapp.rig.rig import Rig
from checkapp.rig.words import ItemKind
from checkapp.show.cautions import MAINS, PHANTOM
from checkapp.show.views import FindingRow

_MOST_ROWS = 12
Rows = tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class Section:
    """One question of a card and its answers, each a row of cells."""

    title: str
    rows: Rows


@dataclass(frozen=True, slots=True)
class Card:
    """What is shown of one item. ``tag`` is empty for what carries no tag (ports, desk strips)."""

    item: str
    kind: ItemKind
    title: str
    tags: tuple[str, ...]
    sections: tuple[Section, ...]
    cautions: tuple[str, ...]
    findings: tuple[FindingRow, ...] = ()
    history: tuple[tuple[str, ...], ...] = ()


def card_of(rig: Rig, item: str) -> Card:
    """The card of an item, by its name as `Rig.resolve` gives it."""
    kind = rig.items[item]
    code = item.removeprefix("chain ")
    sections = [Section(title, rows) for title, rows in _sections(rig, item, kind) if rows]
    tags = tuple(tag.text for tag in rig.tags if tag.code == code) if kind != "port" else ()
    return Card(item, kind, _title(rig, item, kind), tags, tuple(sections), _cautions(rig, item, kind))


def line_card(rig: Rig, line: Line) -> Card:
    """The card of a line: the facts of its plan and everything it runs through, from source to desk."""
    words = [line.port, line.cable or "", line.zone or ""]
    if isinstance(line, Input):
        words += [line.level, "phantom" if line.phantom else "", line.stand or ""]
    path = tuple((item.name, "desk strip" if item.kind == "desk" else item.kind) for item in rig.path(line.line))
    facts = (", ".join(word for word in words if word),), *(((line.note,),) if line.note else ())
    cautions = (PHANTOM,) if isinstance(line, Input) and line.phantom else ()
    return Card(line.line, "desk", line.name, (), (Section("planned", facts), Section("runs through", path)), cautions)


def lines_through(rig: Rig, item: str) -> tuple[Line, ...]:
    """The lines whose path holds the item."""
    return tuple(line for line in rig.lines if any(item == on_path.name for on_path in rig.path(line.line)))


def _sections(rig: Rig, item: str, kind: ItemKind) -> Iterator[tuple[str, Rows]]:
    if item in rig.boxes:
        yield from _box(rig, rig.boxes[item])
    elif item in rig.cables:
        yield from _cable(rig, item)
    elif kind == "chain":
        yield from _chain(rig, item.removeprefix("chain "))
    elif item in rig.supplies:
        yield from _supply(rig, item)
    if item not in rig.boxes:
        yield "lines through it", _lines(rig, item)


def _title(rig: Rig, item: str, kind: ItemKind) -> str:
    if item in rig.boxes:
        box = rig.boxes[item]
        words = ["passive box" if rig.box_kind(box).passive else "box", box.kind, box.place or "no place given"]
    elif item in rig.cables:
        cable = rig.cables[item]
        words = ["spare cable" if cable.spare else "hop cable" if kind == "hop" else "cable", cable.kind, cable.length]
    elif item in rig.supplies:
        words = ["supply", rig.supplies[item].phase or ""]
    elif item in rig.sources:
        words = ["source", rig.sources[item].kind or ""]
    else:
        words = [{"desk": "desk strip"}.get(kind, kind)]
    return ", ".join(word for word in words if word)


def _box(rig: Rig, box: Box) -> Iterator[tuple[str, Rows]]:
    yield "goes", tuple((words,) for words in goes(rig, box))
    yield "set on it", tuple(box.settings.items())
    yield "power", tuple((words,) for words in power_words(rig, box))
    yield "ports", tuple(_ports(rig, box))


def _ports(rig: Rig, box: Box) -> Iterator[tuple[str, ...]]:
    for row in port_rows(rig, box):
        line = row.line
        said = f"{line.line} {line.name}" if line else ""
        facts = ["output"]
        if isinstance(line, Input):
            facts = [line.level, "phantom" if line.phantom else ""]
        if row.use:
            yield row.port, said, row.use, "", " ".join(filter(None, facts)) if line else ""
        elif line is not None:
            yield row.port, said, row.cable, row.far, " ".join(filter(None, facts))


def _lines(rig: Rig, item: str) -> Rows:
    through = lines_through(rig, item)
    if len(through) > _MOST_ROWS:
        return ((f"{len(through)}: {', '.join(_spans(through))}",),)
    return tuple(_line_row(rig, line) for line in through)


def _spans(lines: tuple[Line, ...]) -> Iterator[str]:
    """Lines in a row as ``in 1 to 23``."""
    for _, run in groupby(enumerate(lines), lambda pair: (isinstance(pair[1], Input), pair[1].number - pair[0])):
        these = [line for _, line in run]
        yield these[0].line + (f" to {these[-1].number}" if len(these) > 1 else "")


def _line_row(rig: Rig, line: Line) -> tuple[str, ...]:
    return (line.line, line.name, line.port, line.zone or "")


def _cable(rig: Rig, code: str) -> Iterator[tuple[str, Rows]]:
    ends = plugs(rig)
    for end, where in (("A", "end A, nearer the desk"), ("B", "end B, farther from the desk")):
        these = ends.get((code, end), ())
        yield where, tuple(_plug_row(plug) for plug in these)
    if (code, "A") not in ends:
        yield "goes", (("spare: plugs into nothing" if rig.cables[code].spare else "nothing uses it",),)


def _plug_row(plug: Plug) -> tuple[str, ...]:
    return (f"way {plug.way}" if plug.line else "plug", plug.into, plug.line)


def _chain(rig: Rig, code: str) -> Iterator[tuple[str, Rows]]:
    boxes = rig.boxes_on(code)
    length_m = sum(rig.cables[box.cable].length_m for box in boxes if box.cable)
    yield "goes", ((f"{len(boxes)} boxes, {length_m:.4g} m in all",),)
    yield "hops", tuple((box.cable or "", f"{socket_before(rig, box)} to {box.code} link in") for box in boxes)


def _supply(rig: Rig, code: str) -> Iterator[tuple[str, Rows]]:
    supply = rig.supplies[code]
    yield "power", ((f"{supply.volts:g} V, breaker {supply.breaker_amps:g} A",),)
    on_it = [box for box in rig.boxes.values() if box.supply == code]
    yield "boxes on it", tuple((box.code, box.place or "") for box in on_it)


def _cautions(rig: Rig, item: str, kind: ItemKind) -> tuple[str, ...]:
    supplied = kind == "supply" or (item in rig.boxes and rig.boxes[item].supply is not None)
    phantom = any(isinstance(line, Input) and line.phantom for line in lines_through(rig, item))
    return tuple(words for words, said in ((MAINS, supplied), (PHANTOM, phantom)) if said)
