"""What to do about a chain with too many metres, boxes or slots.

The last boxes of the chain go to the ends of other chains of its link kind, each on its own cable; or shorter cables
of the stock take the place of its hops' cables. The way with the fewest boxes or cables is told, of these the one that
leaves the chains most room; chains of the same desk go before those of another. Every way has been tried.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from checkapp.review.findings import Finding
from checkapp.review.limits import SLACK, is_above
from checkapp.review.remedy.cables import Swap, best_first, cut_to, if_it_reaches, said, swap_sets, swaps_on
from checkapp.review.remedy.trial import OR, OutOfWork, Remedy, Steps, Trial
from checkapp.review.slots import slots_taken
from checkapp.review.wording import listed
from checkapp.rig.change import NewChain, OtherChain, Way, new_codes
from checkapp.rig.distance import distance_m
from checkapp.rig.model import Box, Chain, LinkKind
from checkapp.rig.rig import Rig
from checkapp.tongue import shown_word, tr

_Blocks = list[tuple[Sequence[Box], str]]
"""Boxes that move together, each block with the chain that it goes to, in the order in which they move."""


def chain_remedy(trial: Trial, finding: Finding) -> Remedy:
    """What to do about a chain that is too long, or has too many boxes or slots."""
    search = _Search(trial, trial.rig.chains[finding.where.removeprefix("chain ")], finding)
    try:
        found = search.fewest()
    except OutOfWork:
        found, search.finished = None, False
    return found or search.with_what_the_rig_lacks()


@dataclass(frozen=True, slots=True)
class _Load:
    """What is on a chain: metres, boxes, slots."""

    length_m: float = 0.0
    boxes: int = 0
    slots: int = 0

    def plus(self, rig: Rig, box: Box) -> "_Load":
        """The load with that box and its cable."""
        length_m = self.length_m + rig.cables[box.cable or ""].length_m
        return _Load(length_m, self.boxes + 1, self.slots + slots_taken(rig, box))

    def room(self, kind: LinkKind) -> float:
        """The smallest share of its limits that a chain has left; below 0 when it has too much."""
        return min(1 - has / limit for has, limit in self._against(kind))

    def fits(self, kind: LinkKind) -> bool:
        """Whether a chain carries it."""
        return not any(is_above(has, limit) for has, limit in self._against(kind))

    def _against(self, kind: LinkKind) -> Iterator[tuple[float, float]]:
        yield self.length_m, kind.max_length_m
        if kind.max_boxes is not None:
            yield self.boxes, kind.max_boxes
        if kind.max_channels is not None:
            yield self.slots, kind.max_channels


_Loads = Mapping[str, _Load]


class _Search:
    """A search for the fewest boxes to move or cables to change; ``finished`` until it is cut."""

    def __init__(self, trial: Trial, chain: Chain, finding: Finding) -> None:
        self.trial, self.rig = trial, trial.rig
        self.chain, self.finding = chain, finding
        self.kind = self.rig.link_kind(chain)
        self.boxes = self.rig.boxes_on(chain.code)
        self.cable_steps, self.box_steps = Steps(), Steps()
        self.finished = True

    def fewest(self) -> Remedy | None:
        """The way with the fewest cables or boxes; None when there is none."""
        others = [one for one in self.rig.chains.values() if one.link == self.chain.link and one is not self.chain]
        near = [one for one in others if not self._other_desk(one)]
        sizes = range(1, len(self.boxes) + 1)
        for size in sizes:
            if found := self._shorter_cables(size) or self._split(size, near):
                return found
        if len(near) == len(others):
            return None
        return next((found for size in sizes if (found := self._split(size, others))), None)

    def with_what_the_rig_lacks(self) -> Remedy:
        """What is left to say when no way was found: a further chain, a cable as long as it may be."""
        found = [*self._further_chains(), *self._other_length()]
        why = self._why() if self.finished else ""
        return Remedy(shown_word(OR).join(text for text, _ in found), tuple(way for _, way in found), why)

    def _why(self) -> str:
        link = self.chain.link
        if self.finding.rule == "chain-length":
            return tr("No other chain of {link} has room and no spare is short enough", link=link)
        return tr("No other chain of {link} has room", link=link)

    def _further_chains(self) -> Iterator[tuple[str, Way]]:
        """The fewest last boxes on chains that the rig does not have, as few chains as possible."""
        for size in range(1, len(self.boxes)):
            blocks = self._full_chains(self.boxes[-size:]) if self._clear_without(size) else None
            way = self._on_further_chains(blocks) if blocks else ()
            if blocks and self.trial.surely_clears(way, [self.finding]):
                parts = [listed([box.code for box in block]) for block in blocks]
                first = tr("feed {boxes} from a further chain of {link}", boxes=parts[0], link=self.chain.link)
                yield listed([first, *(tr("{boxes} from another", boxes=part) for part in parts[1:])]), way
                return

    def _full_chains(self, tail: Sequence[Box]) -> list[list[Box]] | None:
        """The tail in blocks, each as much as a chain carries; None when a single box is too much."""
        blocks: list[list[Box]] = []
        load = _Load()
        for box in tail:
            load = load.plus(self.rig, box)
            if not blocks or not load.fits(self.kind):
                load = _Load().plus(self.rig, box)
                blocks.append([])
            blocks[-1].append(box)
            if not load.fits(self.kind):
                return None
        return blocks

    def _on_further_chains(self, blocks: Sequence[Sequence[Box]]) -> Way:
        desk = desk_of(self.rig, self.chain)
        codes = new_codes(self.rig, "FURTHER", len(blocks))
        new = [NewChain(Chain(code=code, link=self.chain.link, desk=desk)) for code in codes]
        placed = list(zip(blocks, codes, strict=True))
        return (*new, *(OtherChain(tuple(box.code for box in block), code) for block, code in reversed(placed)))

    def _other_length(self) -> Iterator[tuple[str, Way]]:
        if self.finding.rule == "chain-length":
            longest = max(self.boxes, key=lambda box: self.rig.cables[box.cable or ""].length_m)
            cut = cut_to(self.rig, longest, self.rig.cables[longest.cable or ""].length_m - self._excess_m)
            if cut and self.trial.surely_clears((cut[0],), [self.finding]):
                yield tr("use a cable of at most {length} to {box}", length=cut[1], box=longest.code), (cut[0],)

    @property
    def _excess_m(self) -> float:
        return (self.finding.value or 0.0) - self.kind.max_length_m

    @cached_property
    def _swaps(self) -> list[list[Swap]]:
        return [[one for one in swaps if one.shorter_m > 0] for swaps in swaps_on(self.rig, self.chain, self.boxes)]

    def _shorter_cables(self, size: int) -> Remedy | None:
        if self.finding.rule != "chain-length":
            return None
        needed_m = self._excess_m - 2 * SLACK * self.kind.max_length_m
        for swaps in best_first(swap_sets(self._swaps, size, needed_m, self.cable_steps), self.trial.proposed):
            way = tuple(swap.change for swap in swaps)
            if self.trial.clears(way, [self.finding]):
                return Remedy(f"{said(swaps)}{if_it_reaches(swaps)}", (way,))
        self.finished = self.finished and not self.cable_steps.cut
        return None

    def _clear_without(self, size: int) -> bool:
        """Whether the chain without its last ``size`` boxes is within the limit that it breaks now."""
        load = _load(self.rig, self.boxes[: len(self.boxes) - size])
        has = {"chain-length": load.length_m, "chain-boxes": load.boxes, "chain-channels": load.slots}
        return not is_above(has[self.finding.rule], self.finding.limit or 0.0)

    def _split(self, size: int, targets: Sequence[Chain]) -> Remedy | None:
        if not self._clear_without(size):
            return None
        tail = self.boxes[-size:]
        roomiest = sorted(self._placings(tail, targets, self.box_steps), key=lambda found: found[0], reverse=True)
        for _, places in roomiest:
            blocks = _blocks(tail, places)
            reach = _reach(self.rig, blocks)
            way = tuple(OtherChain(tuple(box.code for box in block), chain) for block, chain in blocks)
            if reach is not False and self.trial.clears(way, [self.finding]):
                return Remedy(self._told(blocks, reach is None), (way,))
        self.finished = self.finished and not self.box_steps.cut
        return None

    def _placings(
        self, tail: Sequence[Box], targets: Sequence[Chain], steps: Steps
    ) -> Iterator[tuple[float, tuple[str, ...]]]:
        """A chain with room for each box of the tail; first the least share of its limits that any has left then."""

        def more(k: int, places: tuple[str, ...], loads: _Loads) -> Iterator[tuple[float, tuple[str, ...]]]:
            if k == len(tail):
                yield min(loads[code].room(self.kind) for code in places), places
                return
            for code, load in loads.items():
                after = load.plus(self.rig, tail[k])
                if after.fits(self.kind) and steps.one():
                    yield from more(k + 1, (*places, code), {**loads, code: after})

        yield from more(0, (), {chain.code: _load(self.rig, self.rig.boxes_on(chain.code)) for chain in targets})

    def _other_desk(self, chain: Chain) -> str | None:
        """The desk of another chain when it is another one; where a chain does not name its desk, there is one only."""
        desk, here = desk_of(self.rig, chain), desk_of(self.rig, self.chain)
        return desk if here is not None and desk != here else None

    def _told(self, blocks: _Blocks, unknown: bool) -> str:
        parts = []
        for block, code in blocks:
            end = tr("the end of chain {chain}", chain=code) if self.rig.boxes_on(code) else f"chain {code}"
            desk = self._other_desk(self.rig.chains[code])
            end = tr("{end} of desk {desk}", end=end, desk=desk) if desk else end
            parts.append(tr("{boxes} to {end}", boxes=listed([box.code for box in block]), end=end))
        one = sum(len(block) for block, _ in blocks) == 1
        moved = listed(parts)
        if unknown:
            if one:
                return tr("move {boxes}, on its own cable, if that reaches", boxes=moved)
            return tr("move {boxes}, each on its own cable, if those reach", boxes=moved)
        if one:
            return tr("move {boxes}, on its own cable", boxes=moved)
        return tr("move {boxes}, each on its own cable", boxes=moved)


def desk_of(rig: Rig, chain: Chain) -> str | None:
    """The desk that a chain comes from in the end."""
    while chain.start is not None:
        chain = rig.chains[rig.chain_of(chain.start) or ""]
    return chain.desk


def _load(rig: Rig, boxes: Sequence[Box]) -> _Load:
    load = _Load()
    for box in boxes:
        load = load.plus(rig, box)
    return load


def _blocks(tail: Sequence[Box], places: Sequence[str]) -> _Blocks:
    """Neighbours that go to the same chain stay together; the last block moves first."""
    blocks: list[tuple[list[Box], str]] = []
    for box, chain in zip(tail, places, strict=True):
        if blocks and blocks[-1][1] == chain:
            blocks[-1][0].append(box)
        else:
            blocks.append(([box], chain))
    return list(reversed(blocks))


def _reach(rig: Rig, blocks: _Blocks) -> bool | None:
    """Whether the first cable of each block is as long as its new hop needs; None where places are missing."""
    ends: dict[str, str] = {}
    known = True
    for block, chain in blocks:
        on_it = rig.boxes_on(chain)
        feeder = ends.get(chain, on_it[-1].code if on_it else chain)
        needed_m = distance_m(rig, feeder, block[0])
        if needed_m is None:
            known = False
        elif is_above(needed_m, rig.cables[block[0].cable or ""].length_m):
            return False
        ends[chain] = block[-1].code
    return True if known else None
