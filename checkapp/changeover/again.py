"""Which lines of a new plan have to be checked again after the old one, and why."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from typing import TYPE_CHECKING, Final, NamedTuple

from checkapp.changeover.difference import Change, changes
from checkapp.changeover.pairing import both_ways, same_name
from checkapp.rig.model import Input

if TYPE_CHECKING:
    from checkapp.rig.model import Item, Line
    from checkapp.rig.rig import Rig
    from checkapp.rig.words import ItemKind

_ANOTHER: Final[Mapping[str, frozenset[str]]] = {
    "source": frozenset(("kind", "owner")),
    "cable": frozenset(("kind", "length_m", "length_ft", "owner")),
    "box": frozenset(("kind", "owner", "settings", "repeats")),
    "supply": frozenset(("volts", "breaker_amps", "phase", "owner")),
    "chain": frozenset(("link", "desk")),
}
"""Fields that make an item of the same code another thing, or one that does something else."""
_LINK_POWER: Final = ("volts", "max_amps", "source_ohm")


class Reason(NamedTuple):
    """Why a line is checked again.

    ``what`` is ``new`` (a line that the old plan does not have), an item kind (its path runs through other items of
    that kind: ``old`` ones no more, ``new`` ones now), ``order`` (the same items, another way round), ``another`` (an
    item of the same code is another thing: its name in both), ``level``, ``phantom``, ``way`` (of a multicore),
    ``name`` (a source or load without a code under another name: as far as the plan tells another one), or ``insert``.
    """

    what: str
    old: tuple[str, ...] = ()
    new: tuple[str, ...] = ()


class Again(NamedTuple):
    """A line of the new plan that has to be checked again, what it is in the old plan, and why."""

    line: Line
    old: Line | None
    reasons: tuple[Reason, ...]


def lines_again(old: Rig, new: Rig) -> tuple[Again, ...]:
    """Every line of the new plan that has to be checked again, in the order of its lines.

    That is every line that is new, whose path has other items, whose level or phantom power is another, whose way, name
    (without a source of its own) or insert is another, or that runs through an item of the same code which is another
    thing by its kind, length, owner, settings, supply or link.
    """
    found = changes(old.plan, new.plan)
    another = frozenset(_another(new, found))
    inserts = frozenset(_with_other_inserts(old, new, found))
    again = []
    for was, now in both_ways(old, new):
        if now is not None:
            reasons = tuple(_reasons(old, new, was, now, another)) if was else (Reason("new"),)
            reasons += (Reason("insert"),) if was and now.line in inserts else ()
            again.append(Again(now, was, reasons))
    place = {line.line: at for at, line in enumerate(new.lines)}
    return tuple(sorted((one for one in again if one.reasons), key=lambda one: place[one.line.line]))


def changed_lines(old: Rig, new: Rig) -> tuple[str, ...]:
    """The lines of the new plan that have to be checked again, in the order of its lines: ``in 7``, ``out 2``."""
    return tuple(one.line.line for one in lines_again(old, new))


def _reasons(old: Rig, new: Rig, was: Line, now: Line, another: frozenset[str]) -> Iterator[Reason]:
    before, after = old.path(was.line), new.path(now.line)
    yield from _other_items(before, after)
    for name in sorted(another & {item.name for item in before} & {item.name for item in after}):
        yield Reason("another", (name,), (name,))
    if isinstance(was, Input) and isinstance(now, Input):
        for field in ("level", "phantom"):
            if getattr(was, field) != getattr(now, field):
                yield Reason(field, (_said(getattr(was, field)),), (_said(getattr(now, field)),))
    if was.way != now.way and was.cable is not None and was.cable == now.cable:
        yield Reason("way", (str(was.way),), (str(now.way),))
    if same_name(was.name) != same_name(now.name) and getattr(now, "source", None) is None:
        yield Reason("name", (was.name,), (now.name,))


def _other_items(before: tuple[Item, ...], after: tuple[Item, ...]) -> Iterator[Reason]:
    """Other items by their kinds, in the order of the path.

    A source or load without a code is called by the line's number: where that is another, the desk strip says it.
    """
    if before == after:
        return
    kinds: defaultdict[ItemKind, tuple[list[str], list[str]]] = defaultdict(lambda: ([], []))
    for place, these, others in ((1, after, before), (0, before, after)):
        for item in these:
            if item not in others:
                kinds[item.kind][place].append(item.name)
    for kind, (gone, come) in kinds.items():
        if kind != "source" or not all(" " in name for name in (*gone, *come)):
            yield Reason(kind, tuple(gone), tuple(come))
    if not kinds:
        yield Reason("order")


def _another(new: Rig, found: Iterable[Change]) -> Iterator[str]:
    """The names of items that are another thing under the same code, as paths write them."""
    links = set()
    for change in found:
        if change.table == "link_kind" and change.field in _LINK_POWER:
            links.add(change.name)
        elif change.field in _ANOTHER.get(change.table, ()):
            yield f"chain {change.name}" if change.table == "chain" else change.name
    for chain in new.chains.values():
        if chain.link in links:
            yield f"chain {chain.code}"


def _with_other_inserts(old: Rig, new: Rig, found: Iterable[Change]) -> Iterator[str]:
    """The inputs of the new plan with an insert that is new or gone, is plugged elsewhere or does something else."""
    numbers = {was.line: now.line for was, now in both_ways(old, new) if was and now}
    for change in found:
        if change.table == "insert" and change.field != "name":
            for insert in new.plan.insert:
                if insert.name == change.new_name:
                    yield f"in {insert.input}"
            for insert in old.plan.insert:
                if insert.name == change.old_name:
                    yield numbers.get(f"in {insert.input}", "")


def _said(value: object) -> str:
    if isinstance(value, bool):
        return "on" if value else "off"
    return str(value)
