"""What works but is nearly used up."""

from collections.abc import Iterator

from checkapp.review.findings import Finding, Unit
from checkapp.review.limits import is_above
from checkapp.review.link import chain_power
from checkapp.review.rules.chain import chain_length_m, hops_of
from checkapp.review.slots import channels_used
from checkapp.review.wording import figure, length
from checkapp.rig.model import Chain
from checkapp.rig.rig import Rig

SHARE = 0.9
"""Share of a maximum above which it is worth a word: common practice, no source."""


def margin(rig: Rig) -> Iterator[Finding]:
    """A chain's metres, slots or amps are above 90 % of the most that its link kind carries, and not above the most."""
    for chain in rig.chains.values():
        kind = rig.link_kind(chain)
        total_m = chain_length_m(rig, chain)
        if _is_near(total_m, kind.max_length_m):
            said = length(hops_of(rig, chain), f"{figure(total_m)} m")
            yield _near(chain, f"{said} of hops", "carries", total_m, kind.max_length_m, "m")
        slots = channels_used(rig, chain.code)
        if kind.max_channels is not None and _is_near(slots, kind.max_channels):
            yield _near(chain, f"{slots} slots", "has", slots, kind.max_channels, "slots")
        amps = _start_amps(rig, chain)
        if amps is not None and kind.max_amps is not None and _is_near(amps, kind.max_amps):
            yield _near(chain, f"{figure(amps)} A", "gives", amps, kind.max_amps, "A")


def _start_amps(rig: Rig, chain: Chain) -> float | None:
    """Amps that leave the chain's own start; None without link power or when it collapsed."""
    sources = chain_power(rig, chain).sources
    return sources[0].flow.source_amps if sources and sources[0].flow else None


def _is_near(value: float, most: float) -> bool:
    return is_above(value, SHARE * most) and not is_above(value, most)


def _near(chain: Chain, used: str, verb: str, value: float, most: float, unit: Unit) -> Finding:
    left = figure(max(0.0, most - value))
    what = "nothing" if left == "0" else f"{left} {'slot' if (left, unit) == ('1', 'slots') else unit}"
    return Finding(
        "margin",
        "note",
        f"chain {chain.code}",
        f"Chain {chain.code} uses {used}, {figure(100 * value / most)} % of the {figure(most)} {unit} that {chain.link}"
        f" {verb}.",
        f"Mind it when something changes on the day: {what} left.",
        value,
        SHARE * most,
        unit,
    )
