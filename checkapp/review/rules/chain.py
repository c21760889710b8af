"""Is each chain short enough, with few enough boxes and channels."""

from collections.abc import Iterator

from checkapp.review.findings import Finding
from checkapp.review.limits import is_above
from checkapp.review.slots import channels_used
from checkapp.review.wording import against, length
from checkapp.rig.model import Cable, Chain
from checkapp.rig.rig import Rig
from checkapp.tongue import tr


def hops_of(rig: Rig, chain: Chain) -> tuple[Cable, ...]:
    """The hop cables of a chain in order from its start."""
    return tuple(rig.cables[box.cable or ""] for box in rig.boxes_on(chain.code))


def chain_length_m(rig: Rig, chain: Chain) -> float:
    """Metres of all hops of a chain."""
    return sum(cable.length_m for cable in hops_of(rig, chain))


def chain_length(rig: Rig) -> Iterator[Finding]:
    """All hops of a chain together are longer than its link kind carries."""
    for chain in rig.chains.values():
        total_m, limit_m = chain_length_m(rig, chain), rig.link_kind(chain).max_length_m
        if is_above(total_m, limit_m):
            metres, limit_said = against(total_m, limit_m, "m")
            said = length(hops_of(rig, chain), metres)
            yield Finding(
                "chain-length",
                "stop",
                f"chain {chain.code}",
                tr(
                    "The hops of chain {chain} are {length} long together; {link} carries {limit}.",
                    chain=chain.code,
                    length=said,
                    link=chain.link,
                    limit=limit_said,
                ),
                tr("Use shorter hop cables, or feed the last boxes from a chain of their own."),
                total_m,
                limit_m,
                "m",
            )


def hop_length(rig: Rig) -> Iterator[Finding]:
    """A hop is longer than its link kind carries."""
    for chain in rig.chains.values():
        limit_m = rig.link_kind(chain).max_hop_m
        for box in rig.boxes_on(chain.code):
            cable = rig.cables[box.cable or ""]
            if limit_m is not None and is_above(cable.length_m, limit_m):
                metres, limit_said = against(cable.length_m, limit_m, "m")
                said = length([cable], metres)
                yield Finding(
                    "hop-length",
                    "stop",
                    cable.code,
                    tr(
                        "{cable}, from {start} to {box}, is {length} long; a hop of {link} carries {limit}.",
                        cable=cable.code,
                        start=_feeder(chain, box.fed_from),
                        box=box.code,
                        length=said,
                        link=chain.link,
                        limit=limit_said,
                    ),
                    tr("Use a shorter cable to {box}, or put a box half way.", box=box.code),
                    cable.length_m,
                    limit_m,
                    "m",
                )


def chain_boxes(rig: Rig) -> Iterator[Finding]:
    """More boxes on a chain than its link kind takes; passive boxes do not count."""
    for chain in rig.chains.values():
        count, limit = len(rig.boxes_on(chain.code)), rig.link_kind(chain).max_boxes
        if limit is not None and count > limit:
            yield Finding(
                "chain-boxes",
                "stop",
                f"chain {chain.code}",
                tr(
                    "Chain {chain} has {count} boxes; {link} takes {limit}.",
                    chain=chain.code,
                    count=count,
                    link=chain.link,
                    limit=limit,
                ),
                tr("Move boxes to another chain, or put fewer and larger ones."),
                count,
                limit,
                "boxes",
            )


def chain_channels(rig: Rig) -> Iterator[Finding]:
    """The boxes of a chain take more slots than its link kind has."""
    for chain in rig.chains.values():
        count, limit = channels_used(rig, chain.code), rig.link_kind(chain).max_channels
        if limit is not None and count > limit:
            yield Finding(
                "chain-channels",
                "stop",
                f"chain {chain.code}",
                tr(
                    "The boxes of chain {chain} take {count} slots, used or not; {link} has {limit}.",
                    chain=chain.code,
                    count=count,
                    link=chain.link,
                    limit=limit,
                ),
                tr("Move a box to another chain, use a smaller one, or let one repeat another's outputs."),
                count,
                limit,
                "slots",
            )


def _feeder(chain: Chain, fed_from: str) -> str:
    if fed_from != chain.code:
        return fed_from
    return chain.start or tr("the desk")
