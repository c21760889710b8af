"""Slots: which channels of a chain's capacity each box takes."""

from collections.abc import Iterator
from dataclasses import dataclass

from checkapp.rig.codes import Direction
from checkapp.rig.model import Box
from checkapp.rig.rig import Rig


@dataclass(frozen=True, slots=True)
class SlotRow:
    """Slots ``first`` to ``last``, which the ports of a box stand on; inputs and outputs are numbered apart from 1."""

    box: str
    direction: Direction
    first: int
    last: int


def slot_table(rig: Rig, chain: str) -> tuple[SlotRow, ...]:
    """The slots of a chain's boxes, in order from its start, inputs before outputs.

    A box takes a slot for each of its inputs and outputs, used or not. A box that repeats another's outputs takes
    none for them and shows the slots that it repeats, as many as it has outputs for. Passive boxes take none.
    """
    boxes = rig.boxes_on(chain)
    first = _first_slots(rig, boxes)
    return tuple(row for box in boxes for row in _rows(rig, box, first))


def channels_used(rig: Rig, chain: str) -> int:
    """Slots taken on a chain, inputs and outputs together."""
    return sum(slots_taken(rig, box) for box in rig.boxes_on(chain))


def slots_taken(rig: Rig, box: Box) -> int:
    """Slots that a box on a chain takes, inputs and outputs together."""
    return sum(_takes(rig, box, way) for way in _WAYS)


_WAYS: tuple[Direction, Direction] = ("in", "out")


def _takes(rig: Rig, box: Box, direction: Direction) -> int:
    if direction == "out" and box.repeats is not None:
        return 0
    return rig.box_kind(box).ports(direction)


def _first_slots(rig: Rig, boxes: tuple[Box, ...]) -> dict[tuple[str, Direction], int]:
    found: dict[tuple[str, Direction], int] = {}
    for direction in _WAYS:
        first = 1
        for box in boxes:
            found[box.code, direction] = first
            first += _takes(rig, box, direction)
    return found


def _rows(rig: Rig, box: Box, first: dict[tuple[str, Direction], int]) -> Iterator[SlotRow]:
    for direction in _WAYS:
        shown, count = box, rig.box_kind(box).ports(direction)
        while direction == "out" and shown.repeats is not None:
            shown = rig.boxes[shown.repeats]
            count = min(count, rig.box_kind(shown).ports(direction))
        if count:
            start = first[shown.code, direction]
            yield SlotRow(box.code, direction, start, start + count - 1)
