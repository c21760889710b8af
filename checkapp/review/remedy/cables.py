"""Cables of the rig's stock that could take the place of a hop's cable.

The stock are the cables that nothing uses. One can serve if its kind is the old one's or suits the link: an impedance
that the link takes, where both are given, or a kind that hops of this link have already; never a multicore, never a
kind that lines and passive boxes use, and a resistance where the link has power. It reaches where it is as long as
the old one or as the places of both ends are apart, as the crow flies; where no places are given nobody knows.
"""

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import islice
from operator import itemgetter

from checkapp.review.limits import is_above, is_below
from checkapp.review.remedy.trial import Steps
from checkapp.review.rules.cable import broken_bound
from checkapp.review.wording import listed
from checkapp.rig.change import NewCable, OtherCable, new_code
from checkapp.rig.distance import distance_m
from checkapp.rig.measures import length_of
from checkapp.rig.model import Box, Cable, Chain
from checkapp.rig.occupied import free_cables
from checkapp.rig.rig import Rig
from checkapp.rig.units import METRES_PER_FOOT
from checkapp.tongue import tr, trn


@dataclass(frozen=True, slots=True)
class Swap:
    """A box's cable and one of the stock that could take its place; ``reaches`` says that it is known to reach."""

    box: str
    old: Cable
    new: Cable
    reaches: bool

    @property
    def change(self) -> OtherCable:
        """The swap as a change of the rig."""
        return OtherCable(self.box, self.new.code)

    @property
    def shorter_m(self) -> float:
        """Metres that the hop becomes shorter."""
        return self.old.length_m - self.new.length_m

    @property
    def said(self) -> str:
        """``spare LK09 (20 m of rope) to SB3 in place of LK03``."""
        return tr(
            "{cable} ({length} of {kind}) to {box} in place of {old}",
            cable=tr("spare {cable}", cable=self.new.code) if self.new.spare else self.new.code,
            length=length_of(self.new),
            kind=self.new.kind,
            box=self.box,
            old=self.old.code,
        )


SwapSet = tuple[Swap, ...]


def swaps_on(rig: Rig, chain: Chain, boxes: Sequence[Box]) -> list[list[Swap]]:
    """For each of these boxes of a chain what could take the place of its cable; see the head of the module."""
    stock = sorted(free_cables(rig), key=lambda cable: not cable.spare)
    of_lines = _kinds_of_lines(rig)
    of_hops = _kinds_of_hops(rig, chain)
    found = []
    for box in boxes:
        old = rig.cables[box.cable or ""]
        fit = [new for new in stock if new.kind == old.kind or _suits(rig, chain, new, of_lines, of_hops)]
        found.append([swap for new in fit if (swap := _swap(rig, box, old, new))])
    return found


def swap_sets(options: Sequence[Sequence[Swap]], size: int, needed_m: float, steps: Steps) -> Iterator[SwapSet]:
    """All sets of ``size`` swaps, a box and a cable once each, that make the hops ``needed_m`` shorter in all.

    Of cables that are alike only the first that is left is taken. A needed length of minus infinity asks for all sets.
    """
    old_m = [max((swap.old.length_m for swap in swaps), default=0.0) for swaps in options]
    stock = sorted({swap.new.code: swap.new.length_m for swaps in options for swap in swaps}.items(), key=itemgetter(1))

    def most_m(k: int, left: int, taken: set[str]) -> float:
        """No ``left`` hops from the k-th on can become shorter by more: the longest of them, the shortest cables."""
        shortest = islice((length_m for code, length_m in stock if code not in taken), left)
        return sum(sorted(old_m[k:], reverse=True)[:left]) - sum(shortest)

    def more(k: int, chosen: SwapSet, short_m: float) -> Iterator[SwapSet]:
        left = size - len(chosen)
        if not left:
            yield chosen
            return
        taken = {swap.new.code for swap in chosen}
        if len(options) - k < left or short_m > most_m(k, left, taken) or not steps.one():
            return
        alike: set[tuple[str, float]] = set()
        for swap in options[k]:
            like = swap.new.kind, swap.new.length_m
            if swap.new.code not in taken and like not in alike:
                alike.add(like)
                yield from more(k + 1, (*chosen, swap), short_m - swap.shorter_m)
        yield from more(k + 1, chosen, short_m)

    yield from more(0, (), needed_m)


def best_first(sets: Iterable[SwapSet], proposed: set[str]) -> list[SwapSet]:
    """Sets with cables that no other remedy uses go first, then those known to reach, then the least other cables."""

    def rank(swaps: SwapSet) -> tuple[int, int, int, float]:
        return (
            sum(swap.new.code in proposed for swap in swaps),
            sum(not swap.reaches for swap in swaps),
            sum(swap.new.kind != swap.old.kind for swap in swaps),
            sum(abs(swap.shorter_m) for swap in swaps),
        )

    return sorted(sets, key=rank)


def said(swaps: SwapSet) -> str:
    """``use spare LK09 (20 m of rope) to SB3 in place of LK03``."""
    return tr("use {cables}", cables=listed([swap.said for swap in swaps]))


def if_it_reaches(swaps: SwapSet) -> str:
    """``, if it reaches`` where that is not known."""
    unknown = [swap for swap in swaps if not swap.reaches]
    if not unknown:
        return ""
    if len(swaps) == 1:
        return ", " + tr("if it reaches")
    cables = listed([swap.new.code for swap in unknown])
    return ", " + trn("if {cables} reaches", "if {cables} reach", len(unknown), cables=cables)


def tenth_m(cable: Cable) -> float:
    """A tenth of a metre, or of a foot where the cable is written in feet, in metres."""
    return (1.0 if cable.written_ft is None else METRES_PER_FOOT) / 10


def cut_to(rig: Rig, box: Box, most_m: float) -> tuple[NewCable, str] | None:
    """A cable that the rig does not have, as long as it may be: the change, and its length in words.

    As long as ``most_m`` and a hop of the link may be, or up to `tenth_m` shorter. None when that is nothing, or known
    to be too short.
    """
    old = rig.cables[box.cable or ""]
    most_m = min(most_m, rig.link_kind(rig.chains[rig.chain_of(box.code) or ""]).max_hop_m or math.inf)
    tenths = math.floor(most_m / tenth_m(old) * (1 + 1e-12))
    if tenths < 1:
        return None
    length = {"length_m" if old.written_ft is None else "length_ft": tenths / 10}
    new = Cable.model_validate({"code": new_code(rig, "FURTHER"), "kind": old.kind, **length})
    needed_m = distance_m(rig, box.fed_from, box)
    if needed_m is not None and is_above(needed_m, new.length_m):
        return None
    return NewCable(box.code, new), length_of(new)


def _swap(rig: Rig, box: Box, old: Cable, new: Cable) -> Swap | None:
    """The swap; None when the cable is known to be too short."""
    if not is_below(new.length_m, old.length_m):
        return Swap(box.code, old, new, reaches=True)
    needed_m = distance_m(rig, box.fed_from, box)
    if needed_m is not None and is_above(needed_m, new.length_m):
        return None
    return Swap(box.code, old, new, reaches=needed_m is not None)


def _suits(rig: Rig, chain: Chain, cable: Cable, of_lines: set[str], of_hops: set[str]) -> bool:
    kind = rig.cable_kind(cable)
    powered = rig.link_kind(chain).volts is not None
    if (powered and kind.loop_ohm_per_m is None) or broken_bound(rig, chain, cable) is not None:
        return False
    if cable.kind in of_hops:
        return True
    no_wish = rig.link_kind(chain).impedance_ohm is None or kind.impedance_ohm is not None
    return no_wish and kind.ways == 1 and cable.kind not in of_lines


def _kinds_of_lines(rig: Rig) -> set[str]:
    passive = [box for box in rig.boxes.values() if rig.box_kind(box).passive]
    return {rig.cables[user.cable].kind for user in (*rig.lines, *passive) if user.cable is not None}


def _kinds_of_hops(rig: Rig, chain: Chain) -> set[str]:
    alike = [one.code for one in rig.chains.values() if one.link == chain.link]
    return {rig.cables[box.cable or ""].kind for code in alike for box in rig.boxes_on(code)}
