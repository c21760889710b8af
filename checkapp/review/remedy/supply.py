"""What to do about a box without power and about a supply with too much load: which box on which other supply.

A supply has room up to its breaker. Ways that leave every supply at 80 % of its breaker or less, the most for hours on
end, go first; then ways with the fewest boxes, then those with the least load. Every way has been tried.
"""

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from checkapp.review.findings import Finding
from checkapp.review.limits import is_above
from checkapp.review.mains import CONTINUOUS_SHARE, box_loads_w, load_w, supply_amps
from checkapp.review.remedy.sets import shares
from checkapp.review.remedy.trial import OutOfWork, Remedy, Steps, Trial
from checkapp.review.rules.mains import MOVE_LOAD
from checkapp.review.wording import figure, listed
from checkapp.rig.change import NewSupply, OnSupply, OtherLoad, Way, new_code
from checkapp.rig.model import LARGEST, Supply
from checkapp.rig.rig import Rig
from checkapp.tongue import tr

WHOLE = 1.0
SHARES = (CONTINUOUS_SHARE, WHOLE)
"""Of a breaker: what its supply carries for hours on end, and what it carries at all."""

Places = Mapping[str, str]
"""A supply for each of some boxes, by code."""


def room_w(rig: Rig, share: float) -> dict[str, float]:
    """Watts that each supply still takes up to that share of its breaker; below 0 when it has more."""
    amps = supply_amps(rig)
    return {one.code: one.volts * (share * one.breaker_amps - amps[one.code]) for one in rig.supplies.values()}


def placings(rig: Rig, loads_w: Mapping[str, float], room: Mapping[str, float], steps: Steps) -> Iterator[Places]:
    """All ways to put boxes with these loads on supplies with that room.

    Supplies on which there are boxes of the same place go first, then those with the most room.
    """
    order = {code: _nearest_first(rig, code, room) for code in loads_w}

    def more(codes: Sequence[str], places: Places, room: Mapping[str, float]) -> Iterator[Places]:
        if not codes:
            yield places
            return
        code = codes[0]
        for supply in order[code]:
            if not is_above(loads_w[code], room[supply]) and steps.one():
                left = {**room, supply: room[supply] - loads_w[code]}
                yield from more(codes[1:], {**places, code: supply}, left)

    yield from more(sorted(loads_w, key=lambda code: -loads_w[code]), {}, room)


def way_of(places: Places) -> Way:
    """The changes that put boxes on supplies."""
    return tuple(OnSupply(box, supply) for box, supply in places.items())


def told(rig: Rig, places: Places) -> str:
    """``SB2 and SB3 on C1 and SB4 on C2``, boxes and supplies in the plan's order."""
    return listed([tr("{boxes} on {supply}", boxes=boxes, supply=supply) for boxes, supply in _on(rig, places)])


def _to(rig: Rig, places: Places) -> str:
    return listed([tr("{boxes} to {end}", boxes=boxes, end=supply) for boxes, supply in _on(rig, places)])


def _on(rig: Rig, places: Places) -> Iterator[tuple[str, str]]:
    """Boxes in words, and the supply that they are to go on."""
    for supply in rig.supplies:
        boxes = [box for box in rig.boxes if places.get(box) == supply]
        if boxes:
            yield listed(boxes), supply


def further_supply(rig: Rig) -> NewSupply:
    """A supply that the rig does not have, with volts as its first one and a breaker that carries anything."""
    volts = next((one.volts for one in rig.supplies.values()), 230.0)
    return NewSupply(Supply(code=new_code(rig, "FURTHER"), volts=volts, breaker_amps=LARGEST))


def on_further_supply(rig: Rig, boxes: Iterable[str]) -> Way:
    """The changes that put boxes on a supply that the rig does not have."""
    new = further_supply(rig)
    return (new, *(OnSupply(box, new.supply.code) for box in boxes))


def power_remedy(trial: Trial, finding: Finding) -> Remedy:
    """What to do about a box that needs power and gets none."""
    rig, box = trial.rig, finding.where
    why = tr("no supply of the rig has room") if rig.supplies else tr("the rig has no supply")
    loads_w = {box: load_w(rig, rig.boxes[box])}
    try:
        for share in SHARES:
            for places in placings(rig, loads_w, room_w(rig, share), Steps()):
                if trial.clears(way_of(places), [finding]):
                    return Remedy(tr("put {boxes}", boxes=told(rig, places)), (way_of(places),))
    except OutOfWork:
        why = ""
    way = on_further_supply(rig, [box])
    if trial.surely_clears(way, [finding]):
        return Remedy(tr("put {boxes} on a further supply", boxes=box), (way,), why)
    more = tr("With a supply {box} feeds boxes that need one as well.", box=box)
    return Remedy("", claim=tr("nothing in the rig helps"), more=more)


def load_remedy(trial: Trial, finding: Finding) -> Remedy:
    """What to do about a supply that carries too much; the rest of the rule's own remedy stays."""
    search = _Relief(trial, finding)
    try:
        found = search.by_the_rig()
    except OutOfWork:
        found, search.finished = None, False
    found = found or search.with_what_the_rig_lacks()
    return replace(found, more=finding.remedy.removeprefix(MOVE_LOAD).strip())


class _Relief:
    """A search for boxes to take from a supply; ``finished`` until it is cut."""

    def __init__(self, trial: Trial, finding: Finding) -> None:
        self.trial, self.rig, self.finding = trial, trial.rig, finding
        self.supply = self.rig.supplies[finding.where]
        on_it = {code: w for code, w in box_loads_w(self.rig).items() if self.rig.boxes[code].supply == finding.where}
        self.loads_w = {code: w for code, w in on_it.items() if w > 0}
        self.finished = True

    def by_the_rig(self) -> Remedy | None:
        """The fewest boxes to move to other supplies; None when no way of the rig works."""
        stop = self.finding.level == "stop"
        aims = [_Aim(CONTINUOUS_SHARE, CONTINUOUS_SHARE), *([_Aim(WHOLE, CONTINUOUS_SHARE), _Aim(WHOLE, WHOLE)] * stop)]
        for aim in aims:
            room = {code: w for code, w in room_w(self.rig, aim.others).items() if code != self.supply.code}
            for codes in self._relieving(aim.here):
                loads_w, steps = {code: self.loads_w[code] for code in codes}, Steps()
                for places in placings(self.rig, loads_w, room, steps):
                    if self.trial.clears(way_of(places), [self.finding]):
                        return Remedy(tr("move {boxes}", boxes=_to(self.rig, places)), (way_of(places),))
                self.finished = self.finished and not steps.cut
        return None

    def with_what_the_rig_lacks(self) -> Remedy:
        """What is left to say: the least to move to a further supply, boxes if that is enough, else other load too."""
        why = tr("no other supply of the rig has room") if self.finished else ""
        shares = SHARES if self.finding.level == "stop" else (CONTINUOUS_SHARE,)
        for way, text in (found for share in shares for found in self._outside(share)):
            if self.trial.surely_clears(way, [self.finding]):
                return Remedy(text, (way,), why)
        return Remedy("", claim=why)

    def _outside(self, share: float) -> Iterator[tuple[Way, str]]:
        """Boxes alone, other load alone, all other load and boxes."""
        code, other_w, excess_w = self.supply.code, self.supply.other_load_w, self._excess_w(share)
        if boxes := self._heaviest(excess_w):
            yield on_further_supply(self.rig, boxes), tr("move {boxes} to a further supply", boxes=listed(boxes))
        if other_w >= (whole_w := math.ceil(excess_w)):
            yield (OtherLoad(code, other_w - whole_w),), tr("take {load} W of its other load off", load=figure(whole_w))
        if other_w and (boxes := self._heaviest(excess_w - other_w)):
            way = (OtherLoad(code, 0.0), *on_further_supply(self.rig, boxes))
            yield way, tr("take its other load off and move {boxes} to a further supply", boxes=listed(boxes))

    def _excess_w(self, share: float) -> float:
        return -room_w(self.rig, share)[self.supply.code]

    def _relieving(self, share: float) -> Iterator[tuple[str, ...]]:
        """Sets of boxes without which the supply is within that share of its breaker: fewest first, then least load.

        Of boxes with the same load the first ones of the plan are taken.
        """
        excess_w = self._excess_w(share)
        alike: dict[float, list[str]] = {}
        for code, w in self.loads_w.items():
            alike.setdefault(w, []).append(code)
        heaviest = sorted(self.loads_w.values(), reverse=True)
        for size in range(1, len(heaviest) + 1):
            if is_above(excess_w, sum(heaviest[:size])):
                continue
            steps, sets = Steps(), []
            for counts in shares(size, [len(codes) for codes in alike.values()]):
                if not steps.one():
                    break
                total_w = sum(w * count for w, count in zip(alike, counts, strict=True))
                if not is_above(excess_w, total_w):
                    chosen = zip(alike.values(), counts, strict=True)
                    sets.append((total_w, tuple(code for codes, count in chosen for code in codes[:count])))
            self.finished = self.finished and not steps.cut
            yield from (codes for _, codes in sorted(sets))

    def _heaviest(self, excess_w: float) -> tuple[str, ...] | None:
        """The fewest boxes that load the supply with so much; the last one the lightest that will do."""
        by_load = sorted(self.loads_w, key=self.loads_w.__getitem__)
        chosen: list[str] = []
        while by_load:
            enough = next((code for code in by_load if not is_above(excess_w, self.loads_w[code])), None)
            if enough is not None:
                return tuple(code for code in self.loads_w if code in (*chosen, enough))
            chosen.append(by_load.pop())
            excess_w -= self.loads_w[chosen[-1]]
        return None


@dataclass(frozen=True, slots=True)
class _Aim:
    """Shares of their breakers up to which the supply itself and the others may be loaded."""

    here: float
    others: float


def _nearest_first(rig: Rig, code: str, room: Mapping[str, float]) -> list[str]:
    place = rig.boxes[code].place
    near = {box.supply for box in rig.boxes.values() if place is not None and box.place == place}
    return sorted(room, key=lambda supply: (supply not in near, -room[supply]))
