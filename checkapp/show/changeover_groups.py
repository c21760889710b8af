"""The work of a changeover in the order in which a crew does it: what is pulled, plugged, set, fetched."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import groupby
from typing import TYPE_CHECKING, Final

from checkapp.changeover.pairing import CODED
from checkapp.changeover.words import STEP_WORDS, row
from checkapp.rig.codes import known_port
from checkapp.show.changeover_views import ChangeGroup, ChangeRow
from checkapp.tongue import later, shown_word, tr, trn

if TYPE_CHECKING:
    from checkapp.changeover.difference import Change
    from checkapp.rig.rig import Rig
    from checkapp.show.comparing import Compared

_PLUGS: Final = frozenset(("port", "send", "return"))
"""The fields that say where a line or an insert is plugged."""
_PLAIN: Final = frozenset((*_PLUGS, "cable", "source", ""))
"""The fields whose value says by itself what it is: a port's name or a code."""
_SEEN: Final = frozenset(("port", ""))
"""The changes that are told by the heading over them."""
_REPLUG, _NEW, _OTHER = later("Re-plug"), later("New: plug in"), later("Same port: other cable, source or stand")


def groups(found: Compared) -> Iterator[ChangeGroup]:
    """The work, group by group in its order; those with nothing to do are left out."""
    for step, changes in found.work.items():
        if step == "unplug":
            yield from _group(shown_word(STEP_WORDS[step]), (*_in_the_way(found), *_each(found, changes)))
        elif step == "lines":
            plugged = list(_plugged(found))
            for title in (_REPLUG, _NEW, _OTHER):
                yield from _group(shown_word(title), (one for sort, one in plugged if sort == title))
        else:
            yield from _group(shown_word(STEP_WORDS[step]), _each(found, changes))


def headline(found: Compared, left: int) -> str:
    """How much there is to do: ``7 lines to check again, 3 re-plugs, 2 new lines, 1 line gone``.

    ``left`` of the lines are not marked yet in the check that is open.
    """
    if found.same:
        return tr("Nothing has changed.")
    again = len(found.again)
    if not again:
        words = [tr("no line to check again")]
    else:
        words = [trn("{count} line to check again", "{count} lines to check again", again)]
    if left < again:
        words.append(trn("{count} of them still open", "{count} of them still open", left))
    return ", ".join((*words, *_counts(found)))


def _counts(found: Compared) -> Iterator[str]:
    sorts = [sort for sort, _ in _plugged(found)]
    if count := sorts.count(_REPLUG):
        yield trn("{count} re-plug", "{count} re-plugs", count)
    if count := sum(one.old is None for one in found.again):
        yield trn("{count} new line", "{count} new lines", count)
    if count := len(found.gone):
        yield trn("{count} line gone", "{count} lines gone", count)
    if count := sorts.count(_OTHER):
        yield trn("{count} other cable or source", "{count} other cables or sources", count)
    if count := len(found.work["power"]):
        yield trn("{count} change of power", "{count} changes of power", count)


def _group(title: str, rows: Iterable[ChangeRow]) -> Iterator[ChangeGroup]:
    listed = tuple(rows)
    if listed:
        yield ChangeGroup(title, listed)


def _in_the_way(found: Compared) -> Iterator[ChangeRow]:
    """Lines whose port another line gets: they come out first, and go in again further down the list."""
    for line in found.blocking:
        yield ChangeRow(f"{line.line} {line.name}", tr("in the way"), line.port, "", _place(found.old, line.port))


def _each(found: Compared, changes: Iterable[Change]) -> Iterator[ChangeRow]:
    for change in changes:
        said = row(found.old, found.new, change)
        yield ChangeRow(said.what, said.fact, said.old, said.new, _where(found, change), _item(found.new, change))


def _plugged(found: Compared) -> Iterator[tuple[str, ChangeRow]]:
    """The lines and inserts that are plugged otherwise, one row each however much of it changes; each with its sort."""
    for _, these in groupby(found.work["lines"], key=lambda change: (change.table, change.new_name)):
        changes = list(these)
        fields = {change.field for change in changes}
        sort = _NEW if "" in fields else _REPLUG if fields & _PLUGS else _OTHER
        yield sort, _as_one(found, changes)


def _as_one(found: Compared, changes: list[Change]) -> ChangeRow:
    said = [(row(found.old, found.new, change), change.field) for change in changes]
    was = (_named(one.fact, field, one.old) for one, field in said)
    becomes = (_named(one.fact, field, one.new) for one, field in said)
    fact = _joined(one.fact for one, field in said if field not in _SEEN)
    where, item = _where(found, changes[0]), _item(found.new, changes[0])
    if changes[0].table != "insert" and not any(field in ("", "port") for _, field in said):
        where = _joined((found.new.line(changes[0].name).port, where))
    return ChangeRow(said[0][0].what, fact, _joined(was), _joined(becomes), where, item)


def _named(fact: str, field: str, value: str) -> str:
    return value if field in _PLAIN or not value else f"{fact} {value}"


def _joined(words: Iterable[str]) -> str:
    return ", ".join(filter(None, words))


def _where(found: Compared, change: Change) -> str:
    """Where on stage the hand goes: the place of the box that a line is plugged into, or of the box itself."""
    rig, name = (found.old, change.old_name) if change.new_name is None else (found.new, change.new_name)
    if change.table in ("input", "output"):
        return _place(rig, rig.line(name or "").port)
    box = rig.boxes.get(name or "") if change.table == "box" else None
    return (box.place or "") if box is not None and change.field != "place" else ""


def _place(rig: Rig, port: str) -> str:
    box = rig.boxes.get(known_port(port).code)
    return (box.place or "") if box is not None else ""


def _item(new: Rig, change: Change) -> str:
    """What the new rig has a card of; nothing for what it does not have."""
    name = f"chain {change.new_name}" if change.table == "chain" else change.new_name or ""
    if change.table in ("input", "output"):
        return name
    return name if change.table in CODED and name in new.items else ""
