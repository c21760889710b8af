"""What drills are measured by: whether chances come true, and how few tests could do at best."""

import math
import random
from collections.abc import Iterable, Mapping, Sequence

import numpy as np
from simulator import Drill

from checkapp.diagnose.chances import Chances
from checkapp.rig.model import Item
from checkapp.rig.words import ITEM_KINDS, SYMPTOMS

BINS = 10


def chance_of_so_far_off(chances: Sequence[float], happened: int) -> float:
    """How likely a number of events as far out, or farther, is: twice the smaller tail, at most 1.

    The events are independent with these chances; their number is spread as the product of (1 - p + p x) says, which
    is multiplied out exactly: no normal approximation.
    """
    spread = np.array([1.0])
    for chance in chances:
        spread = np.convolve(spread, [1 - chance, chance])
    return min(1.0, 2 * min(float(spread[: happened + 1].sum()), float(spread[happened:].sum())))


class Calibration:
    """Chances and what came true, in ten bins, for the first suspect, and for ``none``.

    Each bin takes one item of a drill at most, drawn by lot without regard to the truth. So what is in a bin is
    independent, and each item is faulty with exactly its chance if that is right.
    """

    def __init__(self) -> None:
        self.kept: dict[str, list[tuple[float, bool]]] = {}

    def take(self, drill: Drill, rng: random.Random) -> None:
        """What is believed in a drill now, of the items on faulty marks."""
        chances, faulty = drill.chances(), drill.truth.faulty
        heard = sorted({item for one in drill.heard if one.verdict == "faulty" for item in one.path})
        bins: dict[str, list[Item]] = {}
        for item in heard:
            bins.setdefault(bin_of(chances[item]), []).append(item)
        for name, items in bins.items():
            item = rng.choice(items)
            self._keep(name, chances[item], item in faulty)
        first = drill.diagnosis.suspects[0]
        self._keep("first suspect", first.probability, first.item in faulty)
        on_faulty = {item for line in drill.faulty for item in drill.rig.paths[line]}
        if on_faulty:
            self._keep("none", drill.diagnosis.none, faulty.isdisjoint(on_faulty))

    def _keep(self, name: str, chance: float, came_true: bool) -> None:
        self.kept.setdefault(name, []).append((chance, came_true))

    def rows(self) -> list[tuple[str, int, float, int, float]]:
        """For each bin: name, how many, expected, observed, and the chance of being so far off."""
        rows = []
        for name in sorted(self.kept):
            chances = [chance for chance, _ in self.kept[name]]
            happened = sum(came_true for _, came_true in self.kept[name])
            off = chance_of_so_far_off(chances, happened)
            rows.append((name, len(chances), math.fsum(chances), happened, off))
        return rows

    def distorted(self, factor: float) -> "Calibration":
        """The same with the odds of every chance wrong by a factor."""
        other = Calibration()
        other.kept = {name: [(_odds_times(p, factor), true) for p, true in kept] for name, kept in self.kept.items()}
        return other


def bin_of(chance: float) -> str:
    at = min(BINS - 1, int(chance * BINS))
    return f"{at / BINS:.1f} to {(at + 1) / BINS:.1f}"


def _odds_times(chance: float, factor: float) -> float:
    return chance * factor / (1 - chance + chance * factor)


def entropy_of_one_fault(drill: Drill, items: Iterable[Item]) -> float:
    """Bits that it takes to say which item it is, given that exactly one is faulty and all that was heard so far.

    Marks that were replaced count too. Written out over the items; shares no code with the package.
    """
    chances = drill.truth.chances
    logs = []
    for item in items:
        prior = chances.prior_of(item)
        log = math.log(prior / (1 - prior))
        for one in drill.listened:
            log += math.log(_outcome(chances, item if item in one.path else None, one.verdict, one.symptom))
        logs.append(log)
    weights = np.exp(np.array(logs) - max(logs))
    weights = weights[weights > 0] / weights.sum()
    return float(-(weights * np.log2(weights)).sum())


def _outcome(chances: Chances, item: Item | None, verdict: str, symptom: str | None) -> float:
    """Chance of what is heard on a line with one faulty item, or none, on it."""
    ok = (1 - chances.false_alarm) * (chances.miss[item.kind] if item else 1.0)
    if verdict == "ok":
        return ok
    if symptom is None:
        return 1 - ok
    hear: Mapping[str, float] = chances.hear[item.kind] if item else dict.fromkeys(SYMPTOMS, 1 / len(SYMPTOMS))
    return (1 - ok) * hear[symptom]


def most_bits_of_a_test(chances: Chances) -> float:
    """A bound on what a single test can tell of a single fault, in bits: the capacity of a line as a channel.

    A test tells of the fault only through the kind of the faulty item if the line runs through it, or that it does
    not: nine inputs, nine outcomes. For any spread q of outcomes the largest relative entropy of an input's outcomes
    to q is an upper bound on the capacity; the Blahut-Arimoto iteration only finds a q where the two meet.

    Source: T. Cover, J. Thomas, Elements of Information Theory, 2nd ed., section 10.8 (from memory).
    """
    outcomes = [("ok", None), *(("faulty", symptom) for symptom in SYMPTOMS)]
    inputs = [None, *(Item("one", kind) for kind in ITEM_KINDS)]
    channel = np.array([[_outcome(chances, item, *outcome) for outcome in outcomes] for item in inputs])
    spread = np.full(len(inputs), 1 / len(inputs))
    for _ in range(2000):
        apart = (channel * np.log2(channel / (spread @ channel))).sum(axis=1)
        spread = spread * 2**apart
        spread /= spread.sum()
    return float((channel * np.log2(channel / (spread @ channel))).sum(axis=1).max())


def least_tests(before: float, after: float, most_bits: float) -> float:
    """A lower bound on the mean tests of any method that leaves as little doubt: (before - after) / most_bits.

    ``before`` and ``after``: bits that it takes to say which item it is, at the start and at the end, means of the
    drills. Their difference is what all tests together told of the fault. By the chain rule that is at most the mean
    number of tests times what one can tell, ``most_bits``, since each one's share is bounded by it whatever was heard
    before, and whether to go on is decided by what was heard.
    """
    return (before - after) / most_bits
