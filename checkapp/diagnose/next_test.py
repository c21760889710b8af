"""The next best test: which lines to listen to, what to swap or move before, and what each would tell."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import TYPE_CHECKING, Literal, NamedTuple

from checkapp.diagnose.ahead import LEADERS, in_order
from checkapp.diagnose.evidence import faulty_now
from checkapp.diagnose.outlook import Outlook, outlook_of
from checkapp.diagnose.private import hearing_of

if TYPE_CHECKING:
    from checkapp.diagnose.chances import Chances
    from checkapp.diagnose.evidence import Heard, Path
    from checkapp.diagnose.private import Hearing
    from checkapp.rig.model import Diagnose, Item
    from checkapp.rig.words import ItemKind

TestKind = Literal["mark", "re-mark", "swap", "move"]

SWAP_MINUTES: Mapping[ItemKind, float] = MappingProxyType(
    {"source": 1.0, "cable": 1.5, "desk": 1.0, "supply": 4.0, "hop": 6.0, "box": 10.0}
)
"""Minutes to swap an item for a known good one and listen again. Ports and chains cannot be swapped: lines are moved.

Defaults, no source."""
DOUBTFUL = 0.1
"""A line is listened to again where its mark said no symptom, or where it is at least so likely that all on it is good.

Elsewhere a second mark in place of the first says nothing new: what was heard first no longer counts then. For the same
reason no line is listened to a third time as it runs: it could go on for ever."""
LEAST_BITS = 1e-3
"""While a line is faulty a test that tells less is not proposed."""
LEAST_SUSPECT = 0.02
"""An item less likely to be faulty than this is not proposed for a swap."""
MOST_SWAPS = 12
"""Swaps are proposed of this many items at most, the likeliest ones."""
MOST_STOPS = 1000
"""Once the sweeps for tests have made so many stops, in all, no further test is worked out: about half a second."""


@dataclass(frozen=True, slots=True)
class Minutes:
    """How long each kind of test takes, in minutes, above 0. Defaults, no source.

    A kind of item that is not in ``swap`` is never proposed for a swap.
    """

    mark: float = 0.3
    remark: float = 0.3
    move: float = 3.0
    swap: Mapping[ItemKind, float] = field(default_factory=lambda: SWAP_MINUTES)


def minutes_of(settings: Diagnose) -> Minutes:
    """The minutes of the plan's ``[diagnose]`` over the defaults."""
    known, default = settings.minutes, Minutes()
    return Minutes(
        mark=known.get("mark", default.mark),
        remark=known.get("re-mark", default.remark),
        move=known.get("move", default.move),
        swap={**SWAP_MINUTES, **settings.swap_minutes},
    )


class Test(NamedTuple):
    """Something to try: do what ``kind`` says, then listen to ``line`` and mark it.

    ``path``: the items that the line runs through then; one that was swapped in is taken as good and not among them.
    ``swap``: the item that is swapped for a known good one; ``port``: the free port that the line is moved to.
    """

    kind: TestKind
    line: str
    path: Path
    minutes: float
    swap: Item | None = None
    port: str | None = None


class NextTest(NamedTuple):
    """A test, the uncertainty it is expected to take away (bits), and bits a minute two steps ahead.

    ``ahead`` is that of one step for tests that are not among the leading ones.
    """

    test: Test
    bits: float
    ahead: float


Free = Mapping[str, Sequence[tuple[str, "Path"]]]
"""For a line the free ports of its direction, each with the items that it would run through there."""


def next_tests(
    paths: Mapping[str, Path],
    heard: Sequence[Heard],
    chances: Chances | Hearing,
    minutes: Minutes | None = None,
    free: Free | None = None,
    most: int | None = 8,
) -> tuple[NextTest, ...]:
    """The best tests, best first: at most ``most`` of those that tell something; all that there are when it is None.

    `ImpossibleEvidence` as for the suspects. Bits are exact for those given, but for cuts on rigs where very much is
    faulty. With ``most`` a test that cannot be among the best, by a bound on its bits, is not worked out, and on such
    rigs only the most promising ones are.
    """
    others = [path for ports in (free or {}).values() for _, path in ports]
    outlook = outlook_of(paths, heard, hearing_of(chances), others)
    tests = candidates(outlook, paths, minutes or Minutes(), free or {})
    least = LEAST_BITS if faulty_now(paths, outlook.heard) else 0.0
    found = [(test, bits) for test, bits in _worked_out(outlook, tests, most) if bits > least]
    ordered = in_order(outlook, found, lambda test: test.minutes)
    return tuple(NextTest(test, *worth) for test, worth in ordered[:most])


def _worked_out(outlook: Outlook, tests: Sequence[Test], most: int | None) -> list[tuple[Test, float]]:
    """The tests that tell something with their bits; only those that can be among the best ``most``."""
    bounds = sorted(((outlook.most_bits(test) / test.minutes, at) for at, test in enumerate(tests)), key=_falling)
    found: list[tuple[int, float]] = []
    rates: list[float] = []
    for bound, at in bounds:
        if most is not None and len(rates) >= max(most, LEADERS) and bound <= rates[max(most, LEADERS) - 1]:
            break
        if most is not None and len(rates) >= LEADERS and outlook.stops_swept > MOST_STOPS:
            break
        bits = outlook.bits(tests[at])
        if bits > 0:
            found.append((at, bits))
            rates = sorted((*rates, bits / tests[at].minutes), reverse=True)
    return [(tests[at], bits) for at, bits in sorted(found)]


def _falling(bound: tuple[float, int]) -> tuple[float, int]:
    return -bound[0], bound[1]


def candidates(outlook: Outlook, paths: Mapping[str, Path], minutes: Minutes, free: Free) -> list[Test]:
    """What can be tried: unmarked lines, faulty ones again, a swap, a move; none that cannot tell anything."""
    faulty = faulty_now(paths, outlook.heard)
    tests = [
        *_marks(outlook, paths, minutes),
        *_swaps(outlook, paths, minutes, faulty),
        *_moves(minutes, free, faulty),
    ]
    return [test for test in tests if outlook.most_bits(test) > 0]


def _marks(outlook: Outlook, paths: Mapping[str, Path], minutes: Minutes) -> Iterator[Test]:
    marked = {(one.line, frozenset(one.path)): one for one in outlook.heard}
    for line, path in paths.items():
        now = marked.get((line, frozenset(path)))
        if now is not None and now.verdict == "faulty":
            good = 1 - sum(outlook.chances[item] for item in set(path))
            if not now.again and (now.symptom is None or good >= DOUBTFUL):
                yield Test("re-mark", line, path, minutes.remark)
        elif now is None:
            yield Test("mark", line, path, minutes.mark)


def _swaps(outlook: Outlook, paths: Mapping[str, Path], minutes: Minutes, faulty: Sequence[str]) -> Iterator[Test]:
    """Each suspect that can be swapped, with the faulty line through it whose other items are the least suspect.

    Not what was tried already: the line was heard without that item.
    """
    chances = outlook.chances
    best: dict[Item, tuple[float, str]] = {}
    ways_of: dict[str, list[frozenset[Item]]] = {}
    for one in outlook.heard:
        ways_of.setdefault(one.line, []).append(frozenset(one.path))
    for line in faulty:
        total = sum(chances[item] for item in set(paths[line]))
        ways = ways_of[line]
        for item in dict.fromkeys(paths[line]):
            rest = frozenset(paths[line]) - {item}
            if any(item not in way and rest <= way for way in ways):
                continue
            if item.kind in minutes.swap and chances[item] >= LEAST_SUSPECT:
                others = total - chances[item]
                if item not in best or others < best[item][0]:
                    best[item] = (others, line)
    likeliest = sorted(best.items(), key=lambda one: -chances[one[0]])[:MOST_SWAPS]
    for item, (_, line) in likeliest:
        left = tuple(one for one in paths[line] if one != item)
        yield Test("swap", line, left, minutes.swap[item.kind], swap=item)


def _moves(minutes: Minutes, free: Free, faulty: Sequence[str]) -> Iterator[Test]:
    for line in faulty:
        for port, path in free.get(line, ()):
            yield Test("move", line, tuple(path), minutes.move, port=port)
