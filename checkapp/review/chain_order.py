"""A shorter chain: its boxes in the order of the shortest way over the stage, each hop with a cable from the stock."""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Literal

from checkapp.review.findings import Finding
from checkapp.review.limits import is_above, is_below
from checkapp.review.order import MOST_PLACES, Point, cables_for, path_m, shortest_order
from checkapp.review.report import review
from checkapp.review.rules.chain import hops_of
from checkapp.rig.edit import Edit, with_edits
from checkapp.rig.errors import CheckappError
from checkapp.rig.model import Cable, Chain
from checkapp.rig.rig import Rig

SLACK_SHARE = 0.1
"""Of a hop's metres as the crow flies: a cable goes round things. Common practice, no source."""

DESK_END = "desk"
"""What a hop from the desk starts at."""
OrderState = Literal["shorter", "kept", "cables missing", "new stops", "no place", "too many boxes"]
"""``shorter``: a shorter chain was found, and it works. ``kept``: the chain as planned is as short or shorter. With the
others the question could not be answered, or not so that it works."""


class PlacesTooFar(CheckappError):
    """Places on the stage plan that are too far apart to be measured."""


@dataclass(frozen=True, slots=True)
class Hop:
    """A hop of a chain: where it comes from (``desk`` or a box), the box it feeds, and its cable.

    ``distance_m`` is as the crow flies on the stage plan, ``needed_m`` what a cable must have with the slack.
    ``cable`` is None where the stock has none that reaches.
    """

    start: str
    box: str
    distance_m: float
    needed_m: float
    cable: Cable | None

    @property
    def reaches(self) -> bool:
        """Whether its cable is as long as the hop needs."""
        return self.cable is not None and not is_below(self.cable.length_m, self.needed_m)


@dataclass(frozen=True, slots=True)
class ChainOrder:
    """What ordering a chain came to.

    ``now`` are its hops as planned; ``hops`` are those of the shortest order with the cables of the stock. Both are
    empty when places are missing (``without_place``) or there are too many boxes. ``edits`` lead from the plan to
    the order, when it is shorter and works; ``findings`` are the stops and cautions that it would bring.
    """

    chain: str
    state: OrderState
    boxes: tuple[str, ...]
    now_m: float
    now: tuple[Hop, ...] = ()
    hops: tuple[Hop, ...] = ()
    edits: tuple[Edit, ...] = ()
    findings: tuple[Finding, ...] = ()
    without_place: tuple[str, ...] = ()

    @property
    def order_m(self) -> float | None:
        """Metres of cable of the shortest order; None where it was not worked out or a cable is missing."""
        cables = [hop.cable for hop in self.hops]
        return None if not cables or None in cables else sum(cable.length_m for cable in cables if cable)

    @property
    def missing(self) -> tuple[Hop, ...]:
        """The hops of the shortest order that no cable of the stock reaches."""
        return tuple(hop for hop in self.hops if hop.cable is None)

    def then(self, later: "ChainOrder") -> "ChainOrder":
        """This order and one that was found for the chain as this leaves it, as one."""
        edits, findings = (*self.edits, *later.edits), (*self.findings, *later.findings)
        return replace(self, hops=later.hops, edits=edits, findings=findings)


def order_chain(rig: Rig, code: str, slack_m: float) -> ChainOrder:
    """The shortest order of a chain's boxes, with cables of its own hops and of the spares of the same kinds.

    The order is the shortest path on the stage plan; the order that is planned stays when it is as short. Each hop
    then needs its distance and a tenth, and ``slack_m`` metres (0 or more). A chain that would not become shorter
    stays as it is, and so does one that would get a stop that the rig does not have now: what is said to work has
    been reviewed. `PlacesTooFar`: a distance is beyond all numbers.
    """
    boxes = rig.boxes_on(code)
    cables = hops_of(rig, rig.chains[code])
    found = ChainOrder(code, "kept", tuple(box.code for box in boxes), sum(cable.length_m for cable in cables))
    places = {box.code: box.at for box in boxes if box.at is not None}
    start, at = _start(rig, rig.chains[code])
    if boxes and (at is None or len(places) < len(boxes)):
        without = [] if at else [f"chain {code}" if start == DESK_END else start]
        without += [box for box in found.boxes if box not in places]
        return replace(found, state="no place", without_place=tuple(without))
    if len(boxes) > MOST_PLACES:
        return replace(found, state="too many boxes")
    if not boxes or at is None:
        return found
    way = _Way(code, start, at, places, slack_m)
    now = [replace(hop, cable=cable) for hop, cable in zip(way.hops(found.boxes), cables, strict=True)]
    hops = _with_cables(way.hops(way.shortest(found.boxes)), now, _spares(rig, cables))
    return _judged(rig, replace(found, now=tuple(now), hops=tuple(hops)))


@dataclass(frozen=True, slots=True)
class _Way:
    """The places of a chain: that of its start, those of its boxes by code, and the slack of each hop."""

    chain: str
    start: str
    at: Point
    places: Mapping[str, Point]
    slack_m: float

    def shortest(self, now: Sequence[str]) -> Sequence[str]:
        """The boxes in the order of the shortest way; as they stand now when that is as short."""
        places = [self.places[box] for box in now]
        now_m = path_m(self.at, places)
        if not math.isfinite(now_m):
            raise PlacesTooFar(f"chain {self.chain}: its places are too far apart; check at of the chain and its boxes")
        order = shortest_order(self.at, places)
        if is_above(now_m, path_m(self.at, [places[k] for k in order])):
            return [now[k] for k in order]
        return now

    def hops(self, boxes: Sequence[str]) -> list[Hop]:
        """The hops of the boxes in this order, without cables."""
        ends = [(self.start, self.at), *((box, self.places[box]) for box in boxes)]
        found = []
        for (start, one), (box, other) in pairwise(ends):
            distance_m = math.dist(one, other)
            found.append(Hop(start, box, distance_m, distance_m * (1 + SLACK_SHARE) + self.slack_m, None))
        return found


def _start(rig: Rig, chain: Chain) -> tuple[str, Point | None]:
    """What a chain starts at, and the place of that."""
    if chain.start is None:
        return DESK_END, chain.at
    return chain.start, rig.boxes[chain.start].at


def _spares(rig: Rig, cables: Sequence[Cable]) -> list[Cable]:
    """The spares that can serve for these cables: of a kind that is among them, and in no use."""
    kinds = {cable.kind for cable in cables}
    used = {box.cable for box in rig.plan.box} | {line.cable for line in rig.lines}
    return [one for one in rig.plan.cable if one.spare and one.kind in kinds and one.code not in used]


def _with_cables(hops: Sequence[Hop], now: Sequence[Hop], spares: Sequence[Cable]) -> list[Hop]:
    """Each hop with its cable; a box keeps the one that it has where that costs no metres."""
    own = {hop.box: hop.cable for hop in now if hop.cable}
    stock = [*own.values(), *spares]
    chosen = cables_for([hop.needed_m for hop in hops], [cable.length_m for cable in stock])
    given = {
        hop.box: replace(hop, cable=stock[k]) if k is not None else hop for hop, k in zip(hops, chosen, strict=True)
    }
    for box, hop in given.items():
        other = next((one for one in given.values() if one.cable is own[box]), None)
        kept = replace(hop, cable=own[box])
        if other is None and hop.cable and hop.cable.length_m == own[box].length_m:
            given[box] = kept
        elif other and kept.reaches and replace(other, cable=hop.cable).reaches:
            given[other.box], given[box] = replace(other, cable=hop.cable), kept
    return list(given.values())


def _judged(rig: Rig, found: ChainOrder) -> ChainOrder:
    """The same with its state: does it reach, is it shorter, does it work."""
    order_m = found.order_m
    if order_m is None:
        return replace(found, state="cables missing")
    if not is_below(order_m, found.now_m):
        return found
    edits = tuple(_edits(rig, found))
    known = {(one.rule, one.level, one.where) for one in review(rig).findings}
    findings = tuple(
        one
        for one in review(with_edits(rig, edits)).findings
        if one.level != "note" and (one.rule, one.level, one.where) not in known
    )
    if any(one.level == "stop" for one in findings):
        return replace(found, state="new stops", findings=findings)
    return replace(found, state="shorter", edits=edits, findings=findings)


def _edits(rig: Rig, found: ChainOrder) -> Iterator[Edit]:
    """What is to be written in the plan: feeds and cables of boxes, and which cables are spares from now on."""
    feed = found.chain
    for hop in found.hops:
        box = rig.boxes[hop.box]
        if box.fed_from != feed:
            yield Edit("box", box.code, "fed_from", feed)
        if hop.cable and box.cable != hop.cable.code:
            yield Edit("box", box.code, "cable", hop.cable.code)
        feed = box.code
    before, after = ([hop.cable for hop in hops if hop.cable] for hops in (found.now, found.hops))
    yield from (Edit("cable", cable.code, "spare", False) for cable in after if cable not in before)
    yield from (Edit("cable", cable.code, "spare", True) for cable in before if cable not in after)
