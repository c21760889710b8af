"""Going through some of the lines only: the open ones, the faulty ones, those of one zone; then the rest is offered."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final, Literal, get_args

from checkapp.tongue import tr, trn

if TYPE_CHECKING:
    from checkapp.journal.state import LineMark
    from checkapp.rig.rig import Rig

Which = Literal["all", "open", "faulty", "zone"]
WHICH: Final[tuple[Which, ...]] = get_args(Which)


@dataclass(frozen=True, slots=True)
class Wanted:
    """Which lines are listed or walked; ``zone`` only with ``zone``, empty: the lines that have none."""

    which: Which = "all"
    zone: str = ""


ALL: Final = Wanted()


@dataclass(frozen=True, slots=True)
class ZoneRow:
    """A zone that can be chosen, and in words how its lines stand."""

    zone: str
    title: str
    words: str


@dataclass(frozen=True, slots=True)
class Only:
    """The lines that are walked, as they were chosen, and those of them that are still to be walked."""

    wanted: Wanted
    names: frozenset[str]
    todo: frozenset[str]

    def without(self, line: str) -> Only:
        """The same after that line was marked."""
        return replace(self, todo=self.todo - {line})

    def again(self, line: str) -> Only:
        """The same after the mark of that line was taken back."""
        return replace(self, todo=self.todo | ({line} & self.names))


def wanted_of(which: str, zone: str) -> Wanted:
    """What was kept as two words; all lines where there is none of that name."""
    return next((Wanted(one, zone if one == "zone" else "") for one in WHICH if one == which), ALL)


def names_wanted(rig: Rig, marks: Mapping[str, LineMark], wanted: Wanted) -> frozenset[str]:
    """The lines that are wanted, as their marks stand now."""
    if wanted.which == "zone":
        return frozenset(line.line for line in rig.lines if (line.zone or "") == wanted.zone)
    names = frozenset(line.line for line in rig.lines)
    if wanted.which == "open":
        return names - marks.keys()
    if wanted.which == "faulty":
        return frozenset(name for name in names if name in marks and marks[name].verdict == "faulty")
    return names


def only_these(rig: Rig, marks: Mapping[str, LineMark], wanted: Wanted) -> Only | None:
    """A walk through the lines that are wanted; None for all, and where there is none of them.

    What is faulty is walked to be marked again, of the others what is open.
    """
    names = names_wanted(rig, marks, wanted)
    if wanted.which == "all" or not names:
        return None
    return Only(wanted, names, names if wanted.which == "faulty" else names - marks.keys())


def wanted_words(wanted: Wanted) -> str:
    """Which lines those are, in words; nothing for all."""
    if wanted.which == "zone":
        return zone_title(wanted.zone)
    return {"open": tr("open lines"), "faulty": tr("faulty lines")}.get(wanted.which, "")


def only_words(only: Only | None) -> str:
    """That only some lines are walked, and how many of them are left; nothing where all are."""
    if only is None:
        return ""
    words, left = wanted_words(only.wanted), len(only.todo)
    if not left:
        return tr("Done: {these}. Go on with all lines", these=words)
    return trn(
        "Only {these}, {count} left. Walk all lines", "Only {these}, {count} left. Walk all lines", left, these=words
    )


def zone_title(zone: str) -> str:
    """A zone's name as a title."""
    return zone or tr("no zone")


def zone_rows(rig: Rig, marks: Mapping[str, LineMark]) -> tuple[ZoneRow, ...]:
    """The zones in the order of the plan, each with how its lines stand; none where no line has a zone."""
    zones: dict[str, list[str]] = {}
    for line in rig.lines:
        zones.setdefault(line.zone or "", []).append(line.line)
    if set(zones) <= {""}:
        return ()
    return tuple(ZoneRow(zone, zone_title(zone), _stands(names, marks)) for zone, names in zones.items())


def _stands(names: Iterable[str], marks: Mapping[str, LineMark]) -> str:
    names = tuple(names)
    faulty = sum(name in marks and marks[name].verdict == "faulty" for name in names)
    left = sum(name not in marks for name in names)
    count = trn("{count} line", "{count} lines", len(names))
    words = (
        count,
        tr("{count} open", count=left) if left else "",
        tr("{count} faulty", count=faulty) if faulty else "",
    )
    return ", ".join(word for word in words if word)
