"""The smallest set of boxes to put on supplies of their own so that a failing source of link power works.

Boxes of the same draw and the same lowest volts stand in for each other: where one of them has to stay on the link,
the nearer one does no more harm. For if a load moves nearer to the source, the hops it leaves carry less and all
voltages rise or stay; so among alike boxes only how many matters, and the farthest go first. A box that repowers once
it has a supply splits the source; which of those are chosen is settled by the shortest way along the chain, as the
stretches between them do not influence each other. Every stretch that is counted as good has been solved.
"""

from bisect import bisect_left
from collections.abc import Hashable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

from checkapp.review.link import LinkLimits, LinkSource, Station, sources_of

_MOST_WORK = 60_000
"""Stations solved before the search gives up: enough for any twelve boxes, none like another."""

_Codes = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SmallestSet:
    """Boxes to put on supplies of their own, from the source outwards; ``smallest`` says that no smaller set works.

    ``work`` is how many stations were solved to find them.
    """

    boxes: tuple[str, ...]
    smallest: bool
    work: int = 0


def smallest_set(source: LinkSource, most_work: int = _MOST_WORK) -> SmallestSet:
    """The smallest set of boxes that makes the source clean when each has a supply of its own; empty when it is clean.

    The first of several smallest sets that the search meets. After ``most_work`` solved stations a set that works is
    given instead: as many of the farthest boxes as it takes.
    """
    search = _Search(source.limits, source.stations, most_work)
    try:
        chosen = search.smallest()
    except _TooMuchWork:
        return SmallestSet(_farthest(source), smallest=False, work=most_work)
    return SmallestSet(_in_order(source.stations, chosen), smallest=True, work=most_work - search.work_left)


def sets_of(stations: Sequence[Station], size: int, alike: Mapping[str, Hashable]) -> Iterator[tuple[str, ...]]:
    """All sets of ``size`` boxes that are worth a supply, up to exchange among boxes that are alike.

    ``alike`` holds the boxes that may get one, by code, and what two of them have in common when either is as good as
    the other: then the farthest go first. Boxes that would start a source are chosen one by one; they part the rest.
    """
    starters = [k for k, one in enumerate(stations) if one.may_start and not one.starts and one.code in alike]
    for count in range(min(size, len(starters)) + 1):
        for chosen in combinations(starters, count):
            groups: dict[Hashable, list[str]] = {}
            for k in reversed(range(len(stations))):
                one = stations[k]
                if one.draw_w and not one.may_start and one.code in alike:
                    groups.setdefault((bisect_left(chosen, k), alike[one.code]), []).append(one.code)
            first = tuple(stations[k].code for k in chosen)
            for counts in shares(size - count, [len(codes) for codes in groups.values()]):
                parts = zip(groups.values(), counts, strict=True)
                yield (*first, *(code for codes, some in parts for code in codes[:some]))


class _TooMuchWork(Exception):
    """A way out of the search."""


class _Search:
    """A search for the smallest set, with the work that it may still do."""

    def __init__(self, limits: LinkLimits, stations: Sequence[Station], most_work: int) -> None:
        self.limits = limits
        self.stations = stations
        self.work_left = most_work

    def smallest(self) -> _Codes:
        """The shortest way over the stretches: each ends at a box that may start a source, or at the far end."""
        ends = [k for k, station in enumerate(self.stations) if station.may_start and not station.starts]
        best: dict[int, _Codes] = {0: ()}
        for end in ends:
            best[end + 1] = (*self._best_up_to(end, best), self.stations[end].code)
        return self._best_up_to(len(self.stations), best)

    def _best_up_to(self, end: int, best: dict[int, _Codes]) -> _Codes:
        found = _candidates(self.stations[:end])
        for start, before in best.items():
            stretch = self._stretch(self.stations[start:end], len(found) - len(before) - 1)
            if stretch is not None:
                found = (*before, *stretch)
        return found

    def _stretch(self, stations: Sequence[Station], most: int) -> _Codes | None:
        """The fewest boxes, none of which starts a source, that make one stretch clean; None above ``most``."""
        groups: dict[tuple[float, float | None], list[str]] = {}
        for station in reversed(stations):
            if station.draw_w and not station.may_start:
                groups.setdefault((station.draw_w, station.min_volts), []).append(station.code)
        alike = list(groups.values())
        for total in range(min(most, sum(map(len, alike))) + 1):
            for counts in shares(total, [len(codes) for codes in alike]):
                chosen = [code for codes, count in zip(alike, counts, strict=True) for code in codes[:count]]
                if self._works(stations, chosen):
                    return tuple(chosen)
        return None

    def _works(self, stations: Sequence[Station], chosen: Sequence[str]) -> bool:
        self.work_left -= len(stations)
        if self.work_left < 0:
            raise _TooMuchWork
        return _is_clean(self.limits, stations, chosen)


def _is_clean(limits: LinkLimits, stations: Sequence[Station], chosen: Sequence[str]) -> bool:
    changed = [station.on_supply() if station.code in chosen else station for station in stations]
    return all(source.is_clean() for source in sources_of("", limits, changed))


def shares(total: int, most: Sequence[int]) -> Iterator[tuple[int, ...]]:
    """All ways to share ``total`` among groups that hold at most ``most``."""
    if not most:
        if total == 0:
            yield ()
        return
    rest = sum(most[1:])
    for count in range(min(total, most[0]), max(0, total - rest) - 1, -1):
        for others in shares(total - count, most[1:]):
            yield (count, *others)


def _candidates(stations: Sequence[Station]) -> _Codes:
    return tuple(station.code for station in stations if station.draw_w or (station.may_start and not station.starts))


def _farthest(source: LinkSource) -> _Codes:
    """The fewest of the farthest boxes that work: supplying one more never does harm."""
    codes = _candidates(source.stations)

    def works(count: int) -> bool:
        return _is_clean(source.limits, source.stations, codes[len(codes) - count :])

    return codes[len(codes) - bisect_left(range(len(codes)), True, key=works) :]


def _in_order(stations: Sequence[Station], chosen: Sequence[str]) -> _Codes:
    return tuple(station.code for station in stations if station.code in chosen)
