"""Drills after a tour: is the first suspect right more often once the tour has taught, on the very same marks."""

from __future__ import annotations

import random
import sys
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import NamedTuple

from checkapp.diagnose.chances import Chances
from checkapp.diagnose.evidence import Heard, faulty_now
from checkapp.diagnose.posterior import diagnose
from checkapp.history.learned import learned
from checkapp.history.lives import FaultMade, Life, Tally
from checkapp.rig.model import Diagnose, Item
from checkapp.rig.words import SYMPTOMS

sys.path.insert(0, str(Path(__file__).parents[1] / "diagnose"))

from simulator import Rig, Truth, drawn_rig

PLAIN = Chances()
SHAPE = 4.0


@dataclass(frozen=True, slots=True)
class World:
    """Rigs of so many lines, their tours, and how faults really come.

    Rates of items are gamma with shape 4 about ``times`` the default prior of their kind; ``bad`` cables and sources
    fail at ``bad_rate`` of all checks. ``drills`` checks in which something is faulty follow the tour.
    """

    lines: int = 24
    shows: int = 30
    bad: int = 3
    bad_rate: float = 0.15
    times: Mapping[str, float] | None = None
    drills: int = 6


class Outcome(NamedTuple):
    """Of so many drills, in how many the first suspect was right: with the defaults, learned, and only by one."""

    drills: int
    plain: int
    taught: int
    only_plain: int
    only_taught: int


def drilled(world: World, seeds: Iterable[int]) -> Outcome:
    """One rig and its tour a seed."""
    pairs = [pair for seed in seeds for pair in _after_tour(world, random.Random(seed))]
    return Outcome(
        len(pairs),
        sum(plain for plain, _ in pairs),
        sum(taught for _, taught in pairs),
        sum(plain and not taught for plain, taught in pairs),
        sum(taught and not plain for plain, taught in pairs),
    )


def _after_tour(world: World, rng: random.Random) -> list[tuple[bool, bool]]:
    """For each drill whether the first suspect was right, with the defaults and with what was learned."""
    rig = drawn_rig(world.lines, rng)
    rates = _rates(world, rig, rng)
    chances = learned(_toured(world, rates, rng), {item.name: item.name for item in rates}, Diagnose())
    found: list[tuple[bool, bool]] = []
    while len(found) < world.drills:
        faulty = frozenset(item for item, rate in rates.items() if rng.random() < rate)
        truth = Truth(faulty, PLAIN, rng)
        heard = [truth.listen(line, path) for line, path in rig.paths.items()] if faulty else []
        if faulty_now(rig.paths, heard):
            found.append((_is_right(rig, heard, PLAIN, faulty), _is_right(rig, heard, chances, faulty)))
    return found


def _rates(world: World, rig: Rig, rng: random.Random) -> dict[Item, float]:
    times = world.times or {}
    rates = {
        item: min(0.5, PLAIN.prior_of(item) * times.get(item.kind, 1.0) * rng.gammavariate(SHAPE, 1 / SHAPE))
        for item in rig.items
    }
    for item in rng.sample([item for item in rig.items if item.kind in ("cable", "source")], world.bad):
        rates[item] = world.bad_rate
    return rates


def _toured(world: World, rates: Mapping[Item, float], rng: random.Random) -> Tally:
    """The tour: every fault was found, and what it sounded like was said."""
    lives, made = [], []
    for item, rate in rates.items():
        faults = tuple(show for show in range(1, world.shows + 1) if rng.random() < rate)
        lives.append(Life(item.name, item.kind, world.shows, faults))
        table = [PLAIN.hear[item.kind][symptom] for symptom in SYMPTOMS]
        for show in faults:
            (heard,) = rng.choices(SYMPTOMS, table)
            made.append(_made(item, show, heard))
    return Tally(tuple(lives), tuple(made))


def _made(item: Item, show: int, symptom: str) -> FaultMade:
    return FaultMade(
        item.name,
        item.kind,
        f"show {show:02}",
        "R",
        f"show {show:02}",
        "",
        "",
        "mend",
        None,
        (),
        (symptom,),
        5.0,
        False,
    )


def _is_right(rig: Rig, heard: list[Heard], chances: Chances, faulty: frozenset[Item]) -> bool:
    return diagnose(rig.paths, heard, chances).suspects[0].item in faulty
