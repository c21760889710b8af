"""The plan of a rig with a new list of lines on it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, NamedTuple

from checkapp.changeover.onto import gone
from checkapp.rig.codes import DESK, known_port
from checkapp.rig.model import Input, Output

if TYPE_CHECKING:
    from checkapp.changeover.onto import Placed
    from checkapp.rig.codes import Port
    from checkapp.rig.model import Insert, Line, PlanFile
    from checkapp.rig.rig import Rig
    from checkapp.rig.words import Level


class Carried(NamedTuple):
    """The plan with the new lines. ``unplaced`` found no port; ``dropped`` are inserts of inputs that do not go on."""

    plan: PlanFile
    unplaced: tuple[Placed, ...]
    dropped: tuple[Insert, ...]


def carried(rig: Rig, placed: Sequence[Placed]) -> Carried:
    """The plan with these lines in place of its own.

    A line that goes on keeps its cable, source and notes wherever it is plugged. One that takes the port of a line that
    has gone takes over the cable that lies there.
    """
    lying = {known_port(line.port): line for line in gone(rig, placed)}
    lines = [_line(rig, one, one.port, lying) for one in placed if one.port is not None]
    numbers = {one.old.number: one.wanted.number for one in placed if isinstance(one.old, Input) and one.port}
    tables = {
        "input": [line for line in lines if isinstance(line, Input)],
        "output": [line for line in lines if isinstance(line, Output)],
        "insert": list(_inserts(rig, numbers)),
    }
    dropped = tuple(insert for insert in rig.plan.insert if insert.input not in numbers)
    return Carried(rig.plan.model_copy(update=tables), tuple(one for one in placed if one.port is None), dropped)


def _inserts(rig: Rig, numbers: dict[int, int]) -> Iterator[Insert]:
    for insert in rig.plan.insert:
        if insert.input in numbers:
            yield insert.model_copy(update={"input": numbers[insert.input]})


def _line(rig: Rig, one: Placed, port: Port, lying: dict[Port, Line]) -> Line:
    said = {"number": one.wanted.number, "name": one.wanted.name, "port": str(port)}
    if one.wanted.zone is not None:
        said["zone"] = one.wanted.zone
    if one.wanted.direction == "in":
        said |= _signal(rig, one, port)
    if one.old is not None:
        return one.old.model_copy(update=said)
    if port in lying:
        said |= {"cable": lying[port].cable, "way": lying[port].way}
    return Input.model_validate(said) if one.wanted.direction == "in" else Output.model_validate(said)


def _signal(rig: Rig, one: Placed, port: Port) -> dict[str, object]:
    """Level and phantom power of an input; where the list is silent on the level, what it was, else what the box takes.

    What a microphone draws is forgotten when the line needs no phantom power any more.
    """
    old = one.old if isinstance(one.old, Input) else None
    level: Level | None = one.wanted.level or (old.level if old is not None else None)
    box = None if port.code == DESK else rig.fed_box(port.code)
    if level is None:
        level = (box is not None and (rig.box_kind(box).accepts or ("line",))[0]) or "line"
    draw = old.phantom_ma if old is not None and one.wanted.phantom else None
    return {"level": level, "phantom": one.wanted.phantom, "phantom_ma": draw}
