"""Does each supply carry what hangs on it."""

from collections.abc import Iterator

from checkapp.review import cautions
from checkapp.review.findings import Finding
from checkapp.review.limits import is_above
from checkapp.review.link import chain_power
from checkapp.review.wording import against
from checkapp.rig.model import Supply
from checkapp.rig.rig import Rig

CONTINUOUS_SHARE = 0.8
"""Share of a breaker that a continuous load may take: the device is at least 125 % of it (NFPA 70 210.20(A))."""


def mains_load(rig: Rig) -> Iterator[Finding]:
    """A supply carries more amps than its breaker, or more than 80 % of it, which is the most for a continuous load."""
    amps_on = supply_amps(rig)
    for supply in rig.supplies.values():
        amps, breaker = amps_on[supply.code], supply.breaker_amps
        if is_above(amps, breaker):
            yield _too_much(supply, amps)
        elif is_above(amps, CONTINUOUS_SHARE * breaker):
            yield _too_much_for_long(supply, amps)


def supply_amps(rig: Rig) -> dict[str, float]:
    """Amps on each supply: (other_load_w + loads)/volts.

    A box loads its supply with draw_w / power_factor; one that repowers the link also with the watts that its source
    of link power delivers, through the same power factor. A source that collapsed counts nothing: its watts are not
    known.
    """
    repowered_w = _repowered_watts(rig)
    watts = {supply.code: supply.other_load_w for supply in rig.supplies.values()}
    for box in rig.boxes.values():
        if box.supply is not None:
            kind = rig.box_kind(box)
            watts[box.supply] += (kind.draw_w + repowered_w.get(box.code, 0.0)) / kind.power_factor
    return {code: watts[code] / supply.volts for code, supply in rig.supplies.items()}


def _repowered_watts(rig: Rig) -> dict[str, float]:
    return {
        source.at: source.flow.source_watts
        for chain in rig.chains.values()
        for source in chain_power(rig, chain).sources[1:]
        if source.flow is not None
    }


def _too_much(supply: Supply, amps: float) -> Finding:
    value_said, limit_said = against(amps, supply.breaker_amps, "A")
    return Finding(
        "mains-load",
        "stop",
        supply.code,
        f"{supply.code} carries {value_said}; its breaker is {limit_said}.",
        f"Move load to another supply. {cautions.MAINS}",
        amps,
        supply.breaker_amps,
        "A",
    )


def _too_much_for_long(supply: Supply, amps: float) -> Finding:
    limit = CONTINUOUS_SHARE * supply.breaker_amps
    value_said, limit_said = against(amps, limit, "A")
    return Finding(
        "mains-load",
        "caution",
        supply.code,
        f"{supply.code} carries {value_said}; for hours on end a breaker of"
        f" {against(amps, supply.breaker_amps, 'A')[1]} is good for {limit_said}.",
        f"Move load to another supply. {cautions.MAINS}",
        amps,
        limit,
        "A",
        "NFPA 70",
    )
