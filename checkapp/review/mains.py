"""What each supply carries: its other load, the boxes on it, and the link power that they feed on."""

from checkapp.review.link import chain_power
from checkapp.rig.model import Box
from checkapp.rig.rig import Rig

CONTINUOUS_SHARE = 0.8
"""Share of a breaker that a continuous load may take: the device is at least 125 % of it (NFPA 70 210.20(A))."""


def supply_amps(rig: Rig) -> dict[str, float]:
    """Amps on each supply: (other_load_w + loads)/volts."""
    watts = {supply.code: supply.other_load_w for supply in rig.supplies.values()}
    for code, box_w in box_loads_w(rig).items():
        watts[rig.boxes[code].supply or ""] += box_w
    return {code: watts[code] / supply.volts for code, supply in rig.supplies.items()}


def box_loads_w(rig: Rig) -> dict[str, float]:
    """Watts with which each box that has a supply loads it.

    A box loads its supply with draw_w / power_factor; one that repowers the link also with the watts that its source
    of link power delivers, through the same power factor. A source that collapsed counts nothing: its watts are not
    known.
    """
    repowered_w = _repowered_watts(rig)
    on_supply = [box for box in rig.boxes.values() if box.supply is not None]
    return {box.code: load_w(rig, box, repowered_w.get(box.code, 0.0)) for box in on_supply}


def load_w(rig: Rig, box: Box, repowered_w: float = 0.0) -> float:
    """Watts with which a box loads, or would load, its supply when it delivers ``repowered_w`` into the link."""
    kind = rig.box_kind(box)
    return (kind.draw_w + repowered_w) / kind.power_factor


def _repowered_watts(rig: Rig) -> dict[str, float]:
    return {
        source.at: source.flow.source_watts
        for chain in rig.chains.values()
        for source in chain_power(rig, chain).sources[1:]
        if source.flow is not None
    }
