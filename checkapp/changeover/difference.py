"""What is different in another plan, field by field, and which step of the changeover it belongs to.

Nothing is left out: two plans have no difference when, and only when, they say the same in every field. The order of
entries in their files says nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, Literal, get_args

from checkapp.changeover.pairing import Pair, both_ways, pairs
from checkapp.rig.codes import known_port

if TYPE_CHECKING:
    from checkapp.rig.model import Line, PlanFile
    from checkapp.rig.rig import Rig

Step = Literal["unplug", "power", "hops", "lines", "desk", "stock", "paper"]
STEPS: tuple[Step, ...] = get_args(Step)
"""In the order in which a crew takes them: what is astray out first, last what is only written differently."""

_FIELDS: Final[dict[Step, dict[str, str]]] = {
    "power": {
        "chain": "link",
        "supply": "volts breaker_amps phase other_load_w cable_m cable_ft core_mm2 core_awg owner",
        "box": "supply",
        "link_kind": "volts max_amps source_ohm",
        "box_kind": "draw_w power_factor min_volts link_powered repowers",
    },
    "hops": {
        "chain": "desk from",
        "box": "kind fed_from outputs_from cable repeats place settings owner",
    },
    "lines": {"input": "port cable way source stand", "output": "port cable way", "insert": "send return"},
    "desk": {"input": "number name level phantom", "output": "number name", "insert": "input name parallel"},
    "stock": {"source": "kind owner", "cable": "kind length_m length_ft owner spare"},
}
_ENTRIES: Final[dict[Step, str]] = {
    "power": "supply",
    "hops": "chain box",
    "lines": "input output insert",
    "stock": "source cable",
}
_STEP_OF: Final[dict[tuple[str, str], Step]] = {
    (table, field): step
    for step, tables in _FIELDS.items()
    for table, fields in tables.items()
    for field in fields.split()
} | {(table, ""): step for step, tables in _ENTRIES.items() for table in tables.split()}
"""The step of a table's field, and of a whole entry of the table; what is not named is only written differently."""


@dataclass(frozen=True, slots=True)
class Change:
    """One field of an entry that is another in the new plan, or an entry that is new or gone.

    ``old_name`` and ``new_name`` are what the entry is called in either plan (a line's number may change); one of them
    is None where it is new or gone. ``field`` is as in the plan file, "" for a whole entry. ``old`` and ``new`` are the
    values: text, number, truth, None where nothing is said, lists and tables as they are, and whole entries.
    """

    table: str
    old_name: str | None
    new_name: str | None
    field: str
    old: object
    new: object

    @property
    def name(self) -> str:
        """What it is called: in the new plan, or as it was."""
        return self.new_name or self.old_name or ""

    @property
    def step(self) -> Step:
        """The step of the changeover that it belongs to."""
        step = _STEP_OF.get((self.table, self.field), "paper")
        return "unplug" if step == "lines" and self.new_name is None else step

    def turned(self) -> Change:
        """The same from the new plan to the old."""
        return Change(self.table, self.new_name, self.old_name, self.field, self.new, self.old)


def changes(old: PlanFile, new: PlanFile) -> tuple[Change, ...]:
    """All that is different, table by table in the order of the new plan; what is gone comes last in its table."""
    return (*_of_use(old, new), *(change for pair in pairs(old, new) for change in _of(pair)))


def work(old: Rig, new: Rig) -> dict[Step, tuple[Change, ...]]:
    """All that is different by steps, all steps in order; lines by the box and port where they are plugged."""
    found: dict[Step, list[Change]] = {step: [] for step in STEPS}
    for change in changes(old.plan, new.plan):
        found[change.step].append(change)
    for step in ("unplug", "lines"):
        found[step].sort(key=lambda change: _socket(old, new, change))
    found["hops"].sort(key=_along(new))
    return {step: tuple(these) for step, these in found.items()}


def in_the_way(old: Rig, new: Rig) -> tuple[Line, ...]:
    """The lines of the old plan that leave a port which another line gets, by box and port: unplugged first."""
    moves = [(was, now) for was, now in both_ways(old, new) if not (was and now and was.port == now.port)]
    taken = {now.port for _, now in moves if now is not None}
    lines = [was for was, now in moves if was is not None and now is not None and was.port in taken]
    return tuple(sorted(lines, key=lambda line: _place_of(old, line.port)))


def _of_use(old: PlanFile, new: PlanFile) -> Iterator[Change]:
    if old.use != new.use:
        yield Change("plan", "plan", "plan", "use", old.use, new.use)


def _of(pair: Pair) -> Iterator[Change]:
    if pair.old is None or pair.new is None:
        yield Change(pair.table, pair.old_name, pair.new_name, "", pair.old, pair.new)
        return
    for field, info in type(pair.new).model_fields.items():
        was, now = getattr(pair.old, field), getattr(pair.new, field)
        if was != now:
            yield Change(pair.table, pair.old_name, pair.new_name, info.alias or field, was, now)


_Place = tuple[int, str, int]


def _place_of(rig: Rig, port: str) -> _Place:
    at = known_port(port)
    boxes = list(rig.boxes)
    return (boxes.index(at.code) if at.code in boxes else -1, at.direction, at.number)


def _socket(old: Rig, new: Rig, change: Change) -> tuple[_Place, str]:
    """Where the line or insert of a change is plugged in the end, or was."""
    rig, name = (old, change.old_name) if change.new_name is None else (new, change.new_name)
    if change.table == "insert":
        port = next(insert.send for insert in rig.plan.insert if insert.name == name)
    else:
        port = rig.line(name or "").port
    return _place_of(rig, port), change.name


def _along(new: Rig) -> Callable[[Change], tuple[bool, int]]:
    """What is gone first, then along the chains from the desk outwards, as the new plan has them."""
    order = [name for chain in new.chains for name in (chain, *(box.code for box in new.boxes_on(chain)))]
    places = {name: place for place, name in enumerate(order)}
    return lambda change: (change.new_name is not None, places.get(change.name, len(places)))
