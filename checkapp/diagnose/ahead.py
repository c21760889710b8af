"""The order of tests: by what they tell a minute, the leading ones compared two steps ahead.

One step is not optimal: a test that tells little by itself may be the one after which a single further test settles
all.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import NamedTuple, Protocol, TypeVar

Test = TypeVar("Test")
LEADERS = 3
"""So many leading tests are compared two steps ahead."""
SECONDS = 3
"""So many of the leading tests are tried as the second step."""
RARE = 0.005
"""After an outcome that is rarer no second step is looked for."""
WORTH_IT = 0.2
"""A second step that brings less than this part of the first one's bits a minute is left out. A choice, no source."""


class Belief(Protocol[Test]):
    """What is believed now, and would be after a test."""

    def bits(self, test: Test) -> float:
        """The uncertainty that the test is expected to take away, in bits."""

    def most_bits(self, test: Test) -> float:
        """A bound on those bits that is quick to have."""

    def after(self, test: Test) -> Iterable[tuple[float, Belief[Test]]]:
        """What may be believed after the test, each with its chance."""


class Worth(NamedTuple):
    """What a test is worth: ``bits`` by itself, ``ahead`` in bits a minute, with the best second step after it."""

    bits: float
    ahead: float


def in_order(
    belief: Belief[Test],
    tests: Sequence[tuple[Test, float]],
    minutes: Callable[[Test], float],
    leaders: int = LEADERS,
    seconds: int = SECONDS,
) -> list[tuple[Test, Worth]]:
    """The tests, given with their bits, by falling worth; of those of equal worth the first one given stays first.

    The ``leaders`` by bits a minute are put in the order of the bits a minute over two steps, the second one the best
    of the ``seconds`` leading tests for each outcome; the others follow by bits a minute.
    """
    ranked = sorted(tests, key=lambda one: -one[1] / minutes(one[0]))
    second = [test for test, _ in ranked[:seconds]]
    ahead = [(test, Worth(bits, two_steps(belief, test, bits, minutes, second))) for test, bits in ranked[:leaders]]
    ahead.sort(key=lambda one: -one[1].ahead)
    return ahead + [(test, Worth(bits, bits / minutes(test))) for test, bits in ranked[leaders:]]


def two_steps(
    belief: Belief[Test], test: Test, bits: float, minutes: Callable[[Test], float], seconds: Sequence[Test]
) -> float:
    """Bits a minute of the test and, after each outcome, the second step that tells most a minute; another test.

    A second step that brings far less a minute than the first is left out: whoever knows by then who is to blame does
    not go on, and what little is left must not count against the test that settled the rest.
    """
    total_bits, total_minutes = bits, minutes(test)
    least = WORTH_IT * bits / minutes(test)
    for chance, then in belief.after(test):
        if chance >= RARE:
            more_bits, more_minutes = _second_step(then, minutes, [one for one in seconds if one != test], least)
            total_bits += chance * more_bits
            total_minutes += chance * more_minutes
    return total_bits / total_minutes


def _second_step(
    belief: Belief[Test], minutes: Callable[[Test], float], seconds: Sequence[Test], least: float
) -> tuple[float, float]:
    """Bits and minutes of the test that tells most a minute; nothing where none tells more than ``least``."""
    best, best_minutes = 0.0, 1.0
    bounds = [(belief.most_bits(test) / minutes(test), test) for test in seconds]
    for bound, test in sorted(bounds, key=lambda one: -one[0]):
        if bound <= max(least, best / best_minutes):
            break
        bits = belief.bits(test)
        if bits / minutes(test) > max(least, best / best_minutes):
            best, best_minutes = bits, minutes(test)
    return (best, best_minutes) if best > 0 else (0.0, 0.0)
