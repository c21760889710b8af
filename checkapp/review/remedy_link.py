"""What to do about a source of link power that fails: boxes on supplies of the rig, other cables of its stock.

The way with the fewest changes is told, a box on a supply and a cable in the place of another counting the same; beside
cables always the smallest set of boxes to supply. What is told has been solved and reviewed again.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import cached_property

from checkapp.review.findings import Finding
from checkapp.review.limits import SLACK, is_above
from checkapp.review.link import LinkSource, Station, cable_ohm, sources_of
from checkapp.review.mains import load_w
from checkapp.review.remedy_cables import Swap, SwapSet, best_first, cut_to, if_it_reaches, said, swap_sets, swaps_on
from checkapp.review.remedy_sets import SmallestSet, sets_of, smallest_set
from checkapp.review.remedy_supply import (
    SHARES,
    WHOLE,
    Places,
    on_further_supply,
    placings,
    room_w,
    told,
    way_of,
)
from checkapp.review.remedy_trial import OutOfWork, Remedy, Steps, Trial
from checkapp.review.wording import listed, sentence
from checkapp.rig.change import Way

_Told = tuple[str, Way]
_FINE_M = 0.01


def link_remedy(trial: Trial, finding: Finding) -> Remedy:
    """What to do about a source of too many amps, of too few volts at its boxes, or that collapses."""
    source = next(one for _, one in trial.sources if _is_of(one, finding))
    if source.at not in trial.of_sources:
        trial.of_sources[source.at] = _Search(trial, source).remedy()
    return trial.of_sources[source.at]


def _is_of(source: LinkSource, finding: Finding) -> bool:
    if finding.rule == "link-volts":
        return any(station.code == finding.where for station, _, _ in source.low())
    return source.at == finding.where


class _Search:
    """A search for the fewest changes that make a source clean; ``finished`` until it is cut."""

    def __init__(self, trial: Trial, source: LinkSource) -> None:
        self.trial, self.rig, self.source = trial, trial.rig, source
        rules = ("link-current", "link-volts", "link-collapse")
        self.findings = [one for one in trial.findings if one.rule in rules and _is_of(source, one)]
        self.chain = self.rig.chains[next(chain for chain, one in trial.sources if one is source)]
        self.boxes = [self.rig.boxes[station.code] for station in source.stations]
        self.finished = True

    def remedy(self) -> Remedy:
        """What to do, in words, with the ways that work."""
        least = smallest_set(self.source, max(0, self.trial.work_left // 2))
        cables: _Told | None = None
        supplied: _Told | None = None
        try:
            self.trial.spend(least.work)
            for size in range(1, len(self._alike) + sum(map(bool, self._swaps)) + 1):
                cables = cables or self._other_cables(size)
                if size >= len(least.boxes) or not least.smallest:
                    supplied = self._on_supplies(size, ())
                if supplied:
                    break
                cables = cables or self._both(size)
        except OutOfWork:
            self.finished = False
        return self._told(least, cables, supplied)

    def _told(self, least: SmallestSet, cables: _Told | None, supplied: _Told | None) -> Remedy:
        further = (f"put {listed(least.boxes)} on a further supply", on_further_supply(self.rig, least.boxes))
        if supplied and cables:
            found = [supplied, cables] if len(supplied[1]) <= len(cables[1]) else [cables, supplied]
        elif supplied or cables:
            found = [supplied] if supplied else [*([cables] if cables else []), *self._sure(further)]
        else:
            why = "Nothing in the rig helps: " if self.finished else ""
            found = [*self._sure(further), *self._shorter_hop()]
            return Remedy(sentence(f"{why}{_joined(found)}."), tuple(way for _, way in found))
        smallest = len(found) == 1 and len(least.boxes) > 1 and self.finished
        ending = ": the smallest set that works" if smallest else ""
        return Remedy(sentence(f"{_joined(found)}{ending}."), tuple(way for _, way in found))

    def _sure(self, told_way: _Told) -> Iterator[_Told]:
        if self.trial.surely_clears(told_way[1], self.findings):
            yield told_way

    @cached_property
    def _alike(self) -> dict[str, str]:
        """The boxes that some supply has room for, each with its kind: those of one kind stand in for each other."""
        relief = self._watts_at_start(self.source)
        most_w = max((w + relief.get(code, 0.0) for code, w in self._room_w[WHOLE].items()), default=-math.inf)
        return {box.code: box.kind for box in self.boxes if not is_above(load_w(self.rig, box), most_w)}

    @cached_property
    def _room_w(self) -> dict[float, dict[str, float]]:
        return {share: room_w(self.rig, share) for share in SHARES}

    @cached_property
    def _swaps(self) -> list[list[Swap]]:
        """For each box the cables with less resistance that do not make its hop longer than allowed."""
        most_m = self.rig.link_kind(self.chain).max_hop_m

        def serves(swap: Swap) -> bool:
            too_long = swap.shorter_m < 0 and most_m is not None and is_above(swap.new.length_m, most_m)
            return cable_ohm(self.rig, swap.new) < cable_ohm(self.rig, swap.old) and not too_long

        return [[swap for swap in swaps if serves(swap)] for swaps in swaps_on(self.rig, self.chain, self.boxes)]

    def _clean(self, supplied: Sequence[str], swaps: SwapSet) -> tuple[LinkSource, ...] | None:
        """The sources with these boxes on supplies and these cables swapped; None when one of them fails."""
        self.trial.spend(len(self.boxes))
        ohm = {swap.box: cable_ohm(self.rig, swap.new) for swap in swaps}
        stations = [_changed(one, one.code in supplied, ohm.get(one.code)) for one in self.source.stations]
        found = sources_of(self.source.at, self.source.limits, stations)
        return found if all(one.is_clean() for one in found) else None

    def _swap_sets(self, size: int) -> list[SwapSet]:
        """Sets of so many swaps, best first, that do not make the chain longer than allowed."""
        limit_m = self.rig.link_kind(self.chain).max_length_m
        left_m = limit_m - sum(self.rig.cables[box.cable or ""].length_m for box in self.rig.boxes_on(self.chain.code))
        steps = Steps()
        sets = best_first(swap_sets(self._swaps, size, -math.inf, steps), self.trial.proposed)
        self.finished = self.finished and not steps.cut
        return [swaps for swaps in sets if -sum(swap.shorter_m for swap in swaps) <= max(left_m, 0.0) + SLACK * limit_m]

    def _other_cables(self, size: int) -> _Told | None:
        for swaps in self._swap_sets(size):
            way = tuple(swap.change for swap in swaps)
            if self._clean((), swaps) and self.trial.clears(way, self.findings):
                return f"{said(swaps)}{if_it_reaches(swaps)}", way
        return None

    def _on_supplies(self, size: int, swaps: SwapSet) -> _Told | None:
        """``size`` boxes on supplies of the rig, beside cables that are swapped."""
        sets = sets_of(self.source.stations, size, self._alike)
        clean = [(boxes, sources) for boxes in sets if (sources := self._clean(boxes, swaps))]
        for share in SHARES:
            for boxes, sources in clean:
                steps = Steps()
                for places in self._placings(boxes, sources, share, steps):
                    way = (*way_of(places), *(swap.change for swap in swaps))
                    if self.trial.clears(way, self.findings):
                        return f"put {told(self.rig, places)}", way
                self.finished = self.finished and not steps.cut
        return None

    def _both(self, size: int) -> _Told | None:
        for count in range(1, size):
            for swaps in self._swap_sets(count):
                found = self._on_supplies(size - count, swaps)
                if found:
                    return f"{found[0]} and {said(swaps)}{if_it_reaches(swaps)}", found[1]
        return None

    def _placings(
        self, boxes: Sequence[str], sources: Sequence[LinkSource], share: float, steps: Steps
    ) -> Iterator[Places]:
        """Supplies for the boxes, in view of the link power that they and the source's own box deliver then."""
        room = dict(self._room_w[share])
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
                yield f"make the hop to {stations[k].code} at most {cut[1]}", (cut[0],)
                return

    def _longest_m(self, k: int) -> float:
        """Metres that a hop may have so that the source is clean, to a centimetre; 0 when no length is short enough."""
        stations = self.source.stations
        too_long_m = self.rig.cables[self.boxes[k].cable or ""].length_m
        ohm_per_m = stations[k].hop_ohm / too_long_m

        def works(length_m: float) -> bool:
            changed = [replace(one, hop_ohm=ohm_per_m * length_m) if one is stations[k] else one for one in stations]
            return all(one.is_clean() for one in sources_of(self.source.at, self.source.limits, changed))

        most_m = 0.0
        if not works(0.0):
            return 0.0
        while too_long_m - most_m > _FINE_M:
            middle_m = (most_m + too_long_m) / 2
            most_m, too_long_m = (middle_m, too_long_m) if works(middle_m) else (most_m, middle_m)
        return most_m


def _joined(found: Sequence[_Told]) -> str:
    return ", or ".join(text for text, _ in found)


def _changed(station: Station, supplied: bool, hop_ohm: float | None) -> Station:
    if hop_ohm is not None:
        station = replace(station, hop_ohm=hop_ohm)
    return station.on_supply() if supplied else station
