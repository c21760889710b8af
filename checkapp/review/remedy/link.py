"""What to do about a source of link power that fails: boxes on supplies of the rig, other cables of its stock.

The way with the fewest changes is told, a box on a supply and a cable in the place of another counting the same; beside
cables always the smallest set of boxes to supply. What is told has been solved and reviewed again.
"""

import math
from bisect import bisect_left
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from functools import cached_property

from checkapp.review.findings import Finding
from checkapp.review.limits import is_above
from checkapp.review.link import LinkSource, Station, cable_ohm, sources_of
from checkapp.review.mains import load_w
from checkapp.review.remedy.cables import (
    Swap,
    SwapSet,
    best_first,
    cut_to,
    if_it_reaches,
    said,
    swap_sets,
    swaps_on,
    tenth_m,
)
from checkapp.review.remedy.sets import SmallestSet, sets_of, smallest_set
from checkapp.review.remedy.supply import (
    SHARES,
    Places,
    on_further_supply,
    placings,
    room_w,
    told,
    way_of,
)
from checkapp.review.remedy.trial import OR, OutOfWork, Remedy, Steps, Trial
from checkapp.review.wording import listed
from checkapp.rig.change import Way
from checkapp.tongue import shown_word, tr

_Told = tuple[str, Way]


def link_remedy(trial: Trial, finding: Finding) -> Remedy:
    """What to do about a source of too many amps, of too few volts at its boxes, or that collapses.

    What makes the whole source clean goes first; failing that, what clears this finding alone.
    """
    source = next(one for _, one in trial.sources if (finding.rule, finding.where) in _broken([one]))
    findings = [one for one in trial.findings if (one.rule, one.where) in _broken([source])]
    if source.at not in trial.of_sources:
        whole = _Search(trial, source, findings)
        trial.of_sources[source.at] = whole.in_rig(), whole.outside(), whole.finished
    found, outside, finished = trial.of_sources[source.at]
    if found is None and len(findings) > 1:
        alone = _Search(trial, source, [finding])
        found = alone.in_rig()
        finished = finished and alone.finished
    if found is not None:
        return found
    return replace(outside, claim=tr("nothing in the rig helps") if finished else "")


def _broken(sources: Iterable[LinkSource]) -> Iterator[tuple[str, str]]:
    """The rules that sources break, each with where."""
    for source in sources:
        if source.flow is None:
            yield "link-collapse", source.at
        if source.over_current:
            yield "link-current", source.at
        for station, _, _ in source.low():
            yield "link-volts", station.code


class _Search:
    """A search for the fewest changes that clear findings of a source; ``finished`` until it is cut.

    ``allowed`` are the findings that may stay.
    """

    def __init__(self, trial: Trial, source: LinkSource, findings: Sequence[Finding]) -> None:
        self.trial, self.rig, self.source, self.findings = trial, trial.rig, source, findings
        self.allowed = set(_broken([source])) - {(one.rule, one.where) for one in findings}
        self.chain = self.rig.chains[next(chain for chain, one in trial.sources if one is source)]
        self.boxes = [self.rig.boxes[station.code] for station in source.stations]
        self.finished = True

    def in_rig(self) -> Remedy | None:
        """What the rig's supplies and spare cables can do."""
        cables: _Told | None = None
        supplied: _Told | None = None
        try:
            supplied = self._fewest_supplied()
            cables = self._fewest_with_cables(len(supplied[1]) if supplied else len(self._alike) + len(self.boxes))
        except OutOfWork:
            self.finished = False
        found = sorted((one for one in (supplied, cables) if one), key=lambda told_way: len(told_way[1]))
        if not found:
            return None
        if not supplied:
            found += self._sure(self._on_further_supply())
        elif not cables and len(supplied[1]) > 1 and self.finished:
            found = [(tr("{action}: the smallest set that works", action=supplied[0]), supplied[1])]
        return Remedy(_joined(found), tuple(way for _, way in found))

    def outside(self) -> Remedy:
        """What is left to do when the rig cannot help."""
        found = [*self._sure(self._on_further_supply()), *self._shorter_hop()]
        return Remedy(_joined(found), tuple(way for _, way in found))

    @cached_property
    def _least(self) -> SmallestSet:
        """The smallest set of boxes to supply, whatever the supplies."""
        return smallest_set(self.source, max(0, self.trial.work_left // 2))

    def _on_further_supply(self) -> _Told:
        boxes = self._least.boxes
        return tr("put {boxes} on a further supply", boxes=listed(boxes)), on_further_supply(self.rig, boxes)

    def _fewest_supplied(self) -> _Told | None:
        if self.allowed:
            sizes = range(1, len(self._alike) + 1)
        else:
            self.trial.spend(self._least.work)
            sizes = range(len(self._least.boxes), len(self._alike) + 1)
            if not self._least.smallest:
                self.finished = False
                return self._placed([self._least.boxes], ())
        return next((found for size in sizes if (found := self._on_supplies(size, ()))), None)

    def _fewest_with_cables(self, most: int) -> _Told | None:
        """The fewest cables, up to ``most``, or fewer boxes on supplies and cables together."""
        best = self._best_swaps
        if not best or not (self.allowed or self._good(list(self._alike), best)):
            return None
        boxes = 0 if self.allowed else self._least_beside(best)
        for size in range(1, most + 1):
            found = None if boxes else self._other_cables(size)
            found = found or (self._both(size, max(boxes, 1)) if size < most else None)
            if found:
                return found
        return None

    def _least_beside(self, best: SwapSet) -> int:
        """No fewer boxes need a supply whatever cables are swapped."""
        ohm = {swap.box: cable_ohm(self.rig, swap.new) for swap in best}
        stations = tuple(_changed(one, False, ohm.get(one.code)) for one in self.source.stations)
        found = smallest_set(replace(self.source, stations=stations), max(0, self.trial.work_left // 2))
        self.trial.spend(found.work)
        return len(found.boxes) if found.smallest else 0

    @property
    def _best_swaps(self) -> SwapSet:
        """For each box the cable with the least resistance, as if there were one for each."""
        better = [[swap for swap in swaps if self._is_better(swap)] for swaps in self._swaps]
        return tuple(min(swaps, key=lambda swap: cable_ohm(self.rig, swap.new)) for swaps in better if swaps)

    def _sure(self, told_way: _Told) -> Iterator[_Told]:
        if self.trial.surely_clears(told_way[1], self.findings):
            yield told_way

    @cached_property
    def _alike(self) -> dict[str, str]:
        """The boxes that some supply has room for; those of a kind stand in for each other when all findings go."""
        relief = self._watts_at_start(self.source)
        most_w = max((w + relief.get(code, 0.0) for code, w in self._rooms_w[-1].items()), default=-math.inf)
        fit = [box for box in self.boxes if not is_above(load_w(self.rig, box), most_w)]
        return {box.code: box.code if self.allowed else box.kind for box in fit}

    @cached_property
    def _rooms_w(self) -> list[dict[str, float]]:
        """Watts that each supply still takes: for hours on end; at all; at all or, with too much on it, no more."""
        rooms = [room_w(self.rig, share) for share in SHARES]
        return [*rooms, {code: max(0.0, w) for code, w in rooms[-1].items()}]

    @cached_property
    def _swaps(self) -> list[list[Swap]]:
        """For each box the cables with less resistance, and where those make the chain too long the shorter ones."""
        most_m = self.rig.link_kind(self.chain).max_hop_m
        fit = [
            [swap for swap in swaps if swap.shorter_m >= 0 or most_m is None or not is_above(swap.new.length_m, most_m)]
            for swaps in swaps_on(self.rig, self.chain, self.boxes)
        ]
        longer_m = sum(max((0.0, *(-swap.shorter_m for swap in swaps if self._is_better(swap)))) for swaps in fit)
        tight = longer_m > 0 and is_above(longer_m, self._spare_m)
        return [[swap for swap in swaps if self._is_better(swap) or (tight and swap.shorter_m > 0)] for swaps in fit]

    def _is_better(self, swap: Swap) -> bool:
        return cable_ohm(self.rig, swap.new) < cable_ohm(self.rig, swap.old)

    @cached_property
    def _spare_m(self) -> float:
        """Metres by which the chain may become longer."""
        total_m = sum(self.rig.cables[box.cable or ""].length_m for box in self.rig.boxes_on(self.chain.code))
        return max(0.0, self.rig.link_kind(self.chain).max_length_m - total_m)

    def _good(self, supplied: Sequence[str], swaps: SwapSet) -> tuple[LinkSource, ...] | None:
        """The sources with these boxes on supplies and these cables swapped; None unless the findings are gone."""
        self.trial.spend(len(self.boxes))
        ohm = {swap.box: cable_ohm(self.rig, swap.new) for swap in swaps}
        stations = [_changed(one, one.code in supplied, ohm.get(one.code)) for one in self.source.stations]
        found = sources_of(self.source.at, self.source.limits, stations)
        return found if all(broken in self.allowed for broken in _broken(found)) else None

    def _swap_sets(self, size: int) -> list[SwapSet]:
        """Sets of so many swaps, best first, that do not make the chain longer than allowed."""
        steps = Steps()
        sets = best_first(swap_sets(self._swaps, size, -math.inf, steps), self.trial.proposed)
        self.finished = self.finished and not steps.cut
        return [swaps for swaps in sets if not is_above(-sum(swap.shorter_m for swap in swaps), self._spare_m)]

    def _other_cables(self, size: int) -> _Told | None:
        for swaps in self._swap_sets(size):
            way = tuple(swap.change for swap in swaps)
            if self._good((), swaps) and self.trial.clears(way, self.findings):
                return f"{said(swaps)}{if_it_reaches(swaps)}", way
        return None

    def _on_supplies(self, size: int, swaps: SwapSet) -> _Told | None:
        """``size`` boxes on supplies of the rig, beside cables that are swapped."""
        return self._placed(sets_of(self.source.stations, size, self._alike), swaps)

    def _placed(self, sets: Iterable[Sequence[str]], swaps: SwapSet) -> _Told | None:
        good = [(boxes, sources) for boxes in sets if (sources := self._good(boxes, swaps))]
        for room in self._rooms_w:
            for boxes, sources in good:
                steps = Steps()
                for places in self._placings(boxes, sources, room, steps):
                    way = (*way_of(places), *(swap.change for swap in swaps))
                    if self.trial.clears(way, self.findings):
                        return tr("put {boxes}", boxes=told(self.rig, places)), way
                self.finished = self.finished and not steps.cut
        return None

    def _both(self, size: int, least: int) -> _Told | None:
        """``size`` boxes on supplies and cables together, at least so many of them boxes."""
        for count in range(1, size - least + 1):
            for swaps in self._swap_sets(count):
                found = self._on_supplies(size - count, swaps)
                if found:
                    return tr(
                        "{action} and {other}", action=found[0], other=f"{said(swaps)}{if_it_reaches(swaps)}"
                    ), found[1]
        return None

    def _placings(
        self, boxes: Sequence[str], sources: Sequence[LinkSource], room: Mapping[str, float], steps: Steps
    ) -> Iterator[Places]:
        """Supplies for the boxes, in view of the link power that they and the source's own box deliver then."""
        room = dict(room)
        before, after = self._watts_at_start(self.source), self._watts_at_start(sources[0])
        for supply in before:
            room[supply] += before[supply] - after[supply]
        watts = {one.at: one.flow.source_watts for one in sources if one.flow}
        loads_w = {code: load_w(self.rig, self.rig.boxes[code], watts.get(code, 0.0)) for code in boxes}
        return placings(self.rig, loads_w, room, steps)

    def _watts_at_start(self, source: LinkSource) -> dict[str, float]:
        """The watts that a source takes from the supply of the box that it starts at; empty for a desk's."""
        box = self.rig.boxes.get(source.at)
        if box is None or box.supply is None:
            return {}
        delivered_w = source.flow.source_watts if source.flow else 0.0
        return {box.supply: delivered_w / self.rig.box_kind(box).power_factor}

    def _shorter_hop(self) -> Iterator[_Told]:
        """The longest that one hop may be so that all else can stay, for the hop of most resistance that can help."""
        stations = self.source.stations
        for k in sorted(range(len(stations)), key=lambda k: -stations[k].hop_ohm):
            most_m = self._longest_m(k)
            cut = cut_to(self.rig, self.boxes[k], most_m) if most_m else None
            if cut and self.trial.surely_clears((cut[0],), self.findings):
                yield tr("make the hop to {box} at most {length}", box=stations[k].code, length=cut[1]), (cut[0],)
                return

    def _longest_m(self, k: int) -> float:
        """Metres that a hop may have for a clean source, in steps of `tenth_m`; 0 when none is short enough."""
        stations = self.source.stations
        old = self.rig.cables[self.boxes[k].cable or ""]
        ohm_per_m, step_m = stations[k].hop_ohm / old.length_m, tenth_m(old)

        def fails(steps: int) -> bool:
            hop_ohm = ohm_per_m * step_m * steps
            changed = [replace(one, hop_ohm=hop_ohm) if one is stations[k] else one for one in stations]
            return not all(one.is_clean() for one in sources_of(self.source.at, self.source.limits, changed))

        works = bisect_left(range(1, int(old.length_m / step_m) + 1), True, key=fails)
        return works * step_m


def _joined(found: Sequence[_Told]) -> str:
    return shown_word(OR).join(text for text, _ in found)


def _changed(station: Station, supplied: bool, hop_ohm: float | None) -> Station:
    if hop_ohm is not None:
        station = replace(station, hop_ohm=hop_ohm)
    return station.on_supply() if supplied else station
