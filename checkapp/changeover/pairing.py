"""Which entry of one rig is which of the other: by code or name; lines by what they are called and where they are."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterator, Sequence
from typing import TYPE_CHECKING, NamedTuple, TypeVar

from checkapp.rig.model import Input, Output, Table

if TYPE_CHECKING:
    from checkapp.rig.model import Line, PlanFile
    from checkapp.rig.rig import Rig

_T = TypeVar("_T")
_L = TypeVar("_L", Input, Output)

CODED = ("chain", "supply", "source", "cable", "box")
KINDS = ("link_kind", "cable_kind", "box_kind")


class Pair(NamedTuple):
    """An entry of a table in the old plan and the same one in the new; one of them is None where it is new or gone.

    ``old_name`` and ``new_name`` are what it is called: ``SB1``, ``in 7``, the name of a kind or an insert; for tables
    that a plan has once, the table's own.
    """

    table: str
    old_name: str | None
    new_name: str | None
    old: Table | None
    new: Table | None


def same_name(name: str) -> str:
    """The name as far as it tells things apart: neither case nor spaces do."""
    return " ".join(name.casefold().split())


def pairs(old: PlanFile, new: PlanFile) -> Iterator[Pair]:
    """Every entry of both plans, once; the other way round the same pairs, turned."""
    for table in ("rig", "diagnose"):
        yield Pair(table, table, table, getattr(old, table), getattr(new, table))
    for table in KINDS:
        yield from _by_name(table, getattr(old, table), getattr(new, table))
    for table in CODED:
        was, now = ({entry.code: entry for entry in getattr(plan, table)} for plan in (old, new))
        yield from _by_name(table, was, now)
    for left, goes_on in line_pairs(old.input, new.input):
        yield Pair("input", _called(left), _called(goes_on), left, goes_on)
    for sent, sends in line_pairs(old.output, new.output):
        yield Pair("output", _called(sent), _called(sends), sent, sends)
    had_all, has_all = (sorted(plan.insert, key=lambda one: (one.input, one.send)) for plan in (old, new))
    for had, has in _matched(had_all, has_all, _INSERT_KEYS):
        yield Pair("insert", had.name if had else None, has.name if has else None, had, has)


def _called(line: Line | None) -> str | None:
    return line.line if line else None


def line_pairs(old: Sequence[_L], new: Sequence[_L]) -> list[tuple[_L | None, _L | None]]:
    """The lines of one direction, each with what it is in the other plan, or None.

    A line is the same one where, in this order of preference, number and name are, name and port, the name, number and
    port, number and source. Lines of one name are told apart by their numbers, then by their ports, then in order.
    """
    return _matched(sorted(old, key=_number), sorted(new, key=_number), _LINE_KEYS)


def both_ways(old: Rig, new: Rig) -> Iterator[tuple[Line | None, Line | None]]:
    """The lines of two rigs, inputs first, as in `line_pairs`."""
    yield from line_pairs(old.plan.input, new.plan.input)
    yield from line_pairs(old.plan.output, new.plan.output)


def _number(line: Input | Output) -> int:
    return line.number


def _source(line: Line) -> Hashable:
    return (line.number, line.source) if isinstance(line, Input) and line.source else None


_LINE_KEYS: tuple[Callable[..., Hashable], ...] = (
    lambda line: (line.number, same_name(line.name)),
    lambda line: (line.port, same_name(line.name)),
    lambda line: same_name(line.name),
    lambda line: (line.number, line.port),
    _source,
)
_INSERT_KEYS: tuple[Callable[..., Hashable], ...] = (
    lambda insert: (insert.input, same_name(insert.name)),
    lambda insert: same_name(insert.name),
)


def _matched(
    old: Sequence[_T], new: Sequence[_T], keys: Sequence[Callable[..., Hashable]]
) -> list[tuple[_T | None, _T | None]]:
    """Pairs by each of the keys in turn, the first of one key with the first; None for a key is no key.

    New ones come in their order, each with its old one or None; those that are gone behind them.
    """
    found: dict[int, int] = {}
    for key in keys:
        waiting: dict[Hashable, list[int]] = {}
        used = set(found.values())
        for at, entry in enumerate(old):
            if at not in used and key(entry) is not None:
                waiting.setdefault(key(entry), []).append(at)
        for at, entry in enumerate(new):
            if at not in found and waiting.get(key(entry)):
                found[at] = waiting[key(entry)].pop(0)
    kept = set(found.values())
    goes_on = [(old[found[at]] if at in found else None, entry) for at, entry in enumerate(new)]
    return [*goes_on, *((entry, None) for at, entry in enumerate(old) if at not in kept)]


def _by_name(table: str, old: dict[str, Table], new: dict[str, Table]) -> Iterator[Pair]:
    for name in dict.fromkeys([*new, *old]):
        was, now = old.get(name), new.get(name)
        yield Pair(table, name if was else None, name if now else None, was, now)
