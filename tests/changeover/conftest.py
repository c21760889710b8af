"""The demo rig and others near it."""

import random
from pathlib import Path

import pytest

from checkapp.rig.change import CannotChange, OnSupply, OtherCable, OtherChain, OtherLoad, OtherPort, changed
from checkapp.rig.model import PlanFile
from checkapp.rig.planfile import load_plan
from checkapp.rig.rig import Rig
from checkapp.rig.swapped import swapped


@pytest.fixture(scope="session")
def demo():
    return load_plan(Path(__file__).parents[2] / "plans" / "demo.toml")


@pytest.fixture(scope="session")
def near(demo):
    """A rig after some changes of every kind, as a crew or another version of the plan makes them."""
    return lambda seed: _near(demo, random.Random(seed))


@pytest.fixture(scope="session")
def with_inputs(demo):
    """The boxes of the demo rig with these inputs and no other line: number, name, port and more fields."""

    def rig(*lines):
        wanted = [{"number": n, "name": name, "level": "mic", "port": port, **more} for n, name, port, more in lines]
        data = demo.plan.model_dump(by_alias=True) | {"input": wanted, "output": [], "insert": []}
        return Rig(PlanFile.model_validate(data), "0" * 64, "plan.toml")

    return rig


def _near(rig, chance):
    for _ in range(chance.randint(0, 6)):
        try:
            rig = _swapped(rig, chance) if chance.random() < 0.2 else changed(rig, [_change(rig, chance)])
        except CannotChange:
            continue
    return _with_other_lines(rig, chance)


def _swapped(rig, chance):
    """One thing in place of another, hired or a spare."""
    sort = chance.choice([rig.boxes, rig.cables, rig.supplies, rig.sources])
    return swapped(rig, chance.choice([*sort]), chance.choice([f"HX{chance.randint(1, 9)}", *rig.cables]))


def _change(rig, chance):
    box, line = chance.choice([*rig.boxes]), chance.choice(rig.lines).line
    boxes = [one.code for one in rig.boxes_on(chance.choice([*rig.chains]))]
    ports = [port for one in rig.boxes.values() for port in rig.ports(one)]
    return chance.choice(
        [
            OnSupply(box, chance.choice([*rig.supplies])),
            OtherCable(box, chance.choice([*rig.cables])),
            OtherChain(tuple(boxes[-1:]), chance.choice([*rig.chains])),
            OtherPort(line, chance.choice(ports)),
            OtherLoad("PWR1", chance.choice([0.0, 90.0])),
        ]
    )


def _with_other_lines(rig, chance):
    plan = rig.plan
    inputs = [line for line in plan.input if chance.random() > 0.1]
    for at in chance.sample(range(len(inputs)), 2):
        said = {"name": chance.choice(["Saw", "Saw", inputs[0].name]), "phantom": True, "stand": "none"}
        field = chance.choice([*said])
        inputs[at] = inputs[at].model_copy(update={field: said[field]})
    chance.shuffle(inputs)
    new = [one.model_copy(update={"number": 300 + one.number}) if one.number % 7 == 0 else one for one in inputs]
    cables = [cable for cable in plan.cable if not (cable.spare and chance.random() > 0.5)]
    others = [one.model_copy(update=_other_length(chance)) if chance.random() < 0.05 else one for one in cables]
    return Rig(plan.model_copy(update={"input": new, "cable": others}), "1" * 64, rig.file)


def _other_length(chance):
    return chance.choice([{"written_m": 33.0, "written_ft": None}, {"owner": "HX"}])
