"""The tablets of a show in words: who has what, and where two marks disagree."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, Final

from checkapp.journal import kinds
from checkapp.journal.story import in_order
from checkapp.rig.errors import printable
from checkapp.show.tablet_views import Dispute, MarkSaid, TabletRow
from checkapp.show.walk import number_of
from checkapp.tongue import shown_word, tr, trn
from checkapp.tongue.numbers import clock, moment

if TYPE_CHECKING:
    from checkapp.journal.entry import Entry
    from checkapp.journal.state import LineMark, ShowState
    from checkapp.rig.model import Line
    from checkapp.rig.rig import Rig

_SHORT: Final = 4
_DRAWN: Final = 12
"""A name that was drawn by lot has so many hex digits; the first few tell tablets apart."""
_MOST_PLACES: Final = 3


def tablet_name(device: str, known: Iterable[str] = (), names: Mapping[str, str] | None = None) -> str:
    """What a tablet is called: as ``names`` has it, by device, else the first digits of its drawn name, so many that no
    other of ``known`` begins so. Two of one name are told apart by their digits."""
    name = (names or {}).get(device, "")
    if not name:
        return _drawn_name(device, known)
    twice = any(other != device and (names or {}).get(other) == name for other in known)
    return f"{name}, {_drawn_name(device, known)}" if twice else name


def _drawn_name(device: str, known: Iterable[str]) -> str:
    if len(device) != _DRAWN or not set(device) <= set("0123456789abcdef"):
        return tr("tablet {name}", name=printable(device, 20))
    others = [other for other in known if other != device]
    length = next(
        (size for size in range(_SHORT, _DRAWN) if not any(one.startswith(device[:size]) for one in others)), _DRAWN
    )
    return tr("tablet {name}", name=device[:length].upper())


def tablet_rows(
    entries: Iterable[Entry], state: ShowState | None, rig: Rig, mine: str, names: Mapping[str, str]
) -> tuple[TabletRow, ...]:
    """The tablets that wrote entries of a show, this one (``mine``) first, then the one that wrote last."""
    by_device: dict[str, list[Entry]] = {mine: []}
    for entry in in_order(entries):
        by_device.setdefault(entry.device, []).append(entry)
    first, *others = by_device.items()
    others.sort(key=lambda one: one[1][-1].order, reverse=True)
    called = {device: tablet_name(device, by_device, names) for device in by_device}
    return tuple(_row(device, done, state, rig, mine, called[device]) for device, done in (first, *others))


def _row(device: str, done: Sequence[Entry], state: ShowState | None, rig: Rig, mine: str, name: str) -> TabletRow:
    if not done:
        this, nothing = tr("{tablet}, this one", tablet=name), tr("nothing done in this show")
        return TabletRow(device, this, True, "", nothing, "", "")
    who = ", ".join(dict.fromkeys(printable(entry.by, 20) for entry in done if entry.by))
    count = trn(
        "{count} entry, the last {when}", "{count} entries, the last {when}", len(done), when=moment(done[-1].at)
    )
    last = next((words for entry in reversed(done) if (words := _doing(entry, rig))), "")
    return TabletRow(
        device=device,
        name=tr("{tablet}, this one", tablet=name) if device == mine else name,
        mine=device == mine,
        who=who,
        done=count,
        last=tr("last: {what}", what=last) if last else "",
        has=_has(device, state, rig),
    )


def _doing(entry: Entry, rig: Rig) -> str:
    """What an entry tells of what its tablet works on; empty for what it does not."""
    mark = kinds.read_mark(entry)
    if mark is not None:
        line = _line(rig, mark.line)
        called = f"{mark.line} {line.name}" if line else mark.line
        return ", ".join(filter(None, (called, shown_word(mark.verdict), place_of(rig, line) if line else "")))
    port = entry.details.get("port")
    if entry.kind == "connected" and entry.subject and isinstance(port, str):
        return tr("{end} into {port}", end=printable(entry.subject, 40), port=printable(port, 40))
    if entry.kind == "placed" and entry.subject:
        return tr("{item} placed", item=printable(entry.subject, 40))
    return tr("{item} repaired", item=printable(entry.subject, 40)) if entry.kind == "repair" and entry.subject else ""


def _has(device: str, state: ShowState | None, rig: Rig) -> str:
    """Which lines have their mark from the tablet, by place, most first."""
    lines = [mark.line for mark in state.lines.values() if mark.device == device] if state else []
    if not lines:
        return ""
    zones = Counter(place_of(rig, line) for name in lines if (line := _line(rig, name)))
    named = [f"{place} {count}" for place, count in zones.most_common(_MOST_PLACES) if place]
    count = trn("{count} line has its mark", "{count} lines have its marks", len(lines))
    return f"{count}: {', '.join(named)}" if named else count


def _line(rig: Rig, name: str) -> Line | None:
    return next((line for line in rig.lines if line.line == name), None)


def place_of(rig: Rig, line: Line) -> str:
    """Where a line is on stage: its zone, else where the box stands that it is plugged into."""
    box = rig.boxes.get(line.port.partition(" ")[0])
    return line.zone or (box.place if box and box.place else "")


def disputes_of(
    state: ShowState | None, unlike: Mapping[str, LineMark], rig: Rig, called: Callable[[str], str]
) -> tuple[Dispute, ...]:
    """The lines of a check where two marks disagree, in the order of the list; ``called`` names a tablet.

    ``unlike`` are marks by line that are faulty as that of the line is, with another symptom.
    """
    marks = state.lines if state else {}
    return tuple(
        _dispute(line, marks[line.line], other, rig, called)
        for line in rig.lines
        if line.line in marks and (other := marks[line.line].against or unlike.get(line.line)) is not None
    )


def _dispute(line: Line, mark: LineMark, other: LineMark, rig: Rig, called: Callable[[str], str]) -> Dispute:
    where = ", ".join(filter(None, (place_of(rig, line), line.port)))
    by_symptom = mark.verdict == other.verdict
    said = _said(other, called, by_symptom=by_symptom), _said(mark, called, by_symptom=by_symptom)
    return Dispute(line.line, number_of(line), line.name, where, said)


def _said(mark: LineMark, called: Callable[[str], str], *, by_symptom: bool) -> MarkSaid:
    words = (shown_word(mark.verdict), shown_word(mark.symptom or ""), mark.note or "")
    who = (mark.by or "", called(mark.device), clock(mark.at))
    said, symptom = ", ".join(filter(None, words)), mark.symptom or ""
    word = shown_word(symptom if by_symptom else mark.verdict)
    return MarkSaid(mark.verdict, said, ", ".join(filter(None, who)), word, symptom)
