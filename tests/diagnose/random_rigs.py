"""Small rigs drawn at random, with marks, for comparing with the written-out model. Every one follows from its seed."""

import random
from typing import NamedTuple

from brute_force import ORDER, World

from checkapp.diagnose.chances import FALSE_ALARM, HEAR, MISS, PRIOR, Chances
from checkapp.diagnose.evidence import Heard
from checkapp.rig.model import Item

SHARED = ["hop", "box", "chain", "supply", "port"]


class Drawn(NamedTuple):
    paths: dict
    heard: tuple
    chances: Chances
    world: World

    @property
    def evidence(self):
        return [(one.path, one.verdict, one.symptom) for one in self.heard]


def drawn(seed, most_items=16):
    """A rig of at most ``most_items`` items: shared ones nested, side by side and crossing; some lines heard twice."""
    rng = random.Random(seed)
    lines = [f"in {number}" for number in range(1, rng.randint(1, 7) + 1)]
    shared = [Item(f"S{n}", rng.choice(SHARED)) for n in range(rng.randint(1, 7))]
    private = max(0, most_items - len(shared))
    paths = {}
    for number, line in enumerate(lines):
        own = []
        for kind in ("source", "cable", "desk"):
            if private and rng.random() < 0.6:
                private -= 1
                own.append(Item(f"{kind} {number}", kind))
        paths[line] = (*own, *_some(rng, shared, seed % 3))
    heard = []
    for line, path in paths.items():
        for _ in range(rng.choice([0, 1, 1, 1, 2])):
            ran = path if rng.random() < 0.6 else _moved(rng, path, shared)
            faulty = rng.random() < 0.65
            heard.append(_mark(rng, line, ran, faulty))
    unique = {(one.line, frozenset(one.path)): one for one in heard}
    items = dict.fromkeys(item for path in (*paths.values(), *(one.path for one in heard)) for item in path)
    chances = _chances(rng, items)
    priors = {item.name: chances.prior_of(item) for item in items}
    world = World(items, chances.false_alarm, priors, chances.miss, chances.hear)
    return Drawn(paths, tuple(unique.values()), chances, world)


def _some(rng, shared, shape):
    """Shape 0: nested, as boxes along a chain; 1: any; 2: nested with one or two that cross."""
    first = rng.randrange(len(shared))
    if shape == 0:
        return shared[first:]
    if shape == 1:
        return rng.sample(shared, rng.randint(1, len(shared)))
    crossing = [item for item in shared[:2] if rng.random() < 0.5]
    return list(dict.fromkeys([*crossing, *shared[max(2, first) :]])) or shared[:1]


def _moved(rng, path, shared):
    """The path without one of its items, or with another one."""
    if rng.random() < 0.5 and len(path) > 1:
        gone = rng.choice(path)
        return tuple(item for item in path if item != gone)
    return tuple(dict.fromkeys([*path, rng.choice(shared)]))


def _mark(rng, line, path, faulty):
    if not faulty:
        return Heard(line, path, "ok")
    return Heard(line, path, "faulty", rng.choice([None, *ORDER, "silent", "silent"]))


def _chances(rng, items):
    if rng.random() < 0.3:
        return Chances()
    extremes = [1e-9, 1e-6, 0.01, 0.2, 0.5]
    hear = dict(HEAR)
    hear["cable"] = {"silent": 0.5, "hum": 0.5}
    return Chances(
        false_alarm=rng.choice([FALSE_ALARM, 1e-9, 0.1]),
        prior={kind: rng.choice(extremes) for kind in PRIOR},
        miss={kind: rng.choice([1e-6, 0.05, 0.5, 1.0]) for kind in MISS},
        hear=hear if rng.random() < 0.5 else HEAR,
        items={item.name: rng.choice(extremes) for item in items if rng.random() < 0.4},
    )
