"""What works but is nearly used up."""

from collections.abc import Iterator

from checkapp.review.findings import Finding, Unit
from checkapp.review.limits import is_above
from checkapp.review.link import chain_power
from checkapp.review.rules.chain import chain_length_m, hops_of
from checkapp.review.slots import channels_used
from checkapp.review.wording import figure, length
from checkapp.rig.measures import length as length_words
from checkapp.rig.model import Chain
from checkapp.rig.rig import Rig
from checkapp.tongue import tr, trn

SHARE = 0.9
"""Share of a maximum above which it is worth a word: common practice, no source."""


def margin(rig: Rig) -> Iterator[Finding]:
    """A chain's metres, slots or amps are above 90 % of the most that its link kind carries, and not above the most."""
    for chain in rig.chains.values():
        kind = rig.link_kind(chain)
        total_m = chain_length_m(rig, chain)
        if _is_near(total_m, kind.max_length_m):
            said = length(hops_of(rig, chain), length_words(total_m))
            used = tr(
                "Chain {chain} uses {length} of hops, {share} % of the {most} that {link} carries.",
                **_told(chain, total_m, kind.max_length_m),
                length=said,
                most=length_words(kind.max_length_m),
            )
            left = length_words(max(0.0, kind.max_length_m - total_m))
            yield _near(chain, used, left, total_m, kind.max_length_m, "m")
        slots = channels_used(rig, chain.code)
        if kind.max_channels is not None and _is_near(slots, kind.max_channels):
            used = tr(
                "Chain {chain} uses {slots} slots, {share} % of the {most} slots that {link} has.",
                **_told(chain, slots, kind.max_channels),
                slots=slots,
                most=kind.max_channels,
            )
            left = trn("{count} slot", "{count} slots", kind.max_channels - slots)
            yield _near(chain, used, left, slots, kind.max_channels, "slots")
        amps = _start_amps(rig, chain)
        if amps is not None and kind.max_amps is not None and _is_near(amps, kind.max_amps):
            used = tr(
                "Chain {chain} uses {amps} A, {share} % of the {most} A that {link} gives.",
                **_told(chain, amps, kind.max_amps),
                amps=figure(amps),
                most=figure(kind.max_amps),
            )
            yield _near(chain, used, f"{figure(max(0.0, kind.max_amps - amps))} A", amps, kind.max_amps, "A")


def _start_amps(rig: Rig, chain: Chain) -> float | None:
    """Amps that leave the chain's own start; None without link power or when it collapsed."""
    sources = chain_power(rig, chain).sources
    return sources[0].flow.source_amps if sources and sources[0].flow else None


def _is_near(value: float, most: float) -> bool:
    return is_above(value, SHARE * most) and not is_above(value, most)


def _told(chain: Chain, value: float, most: float) -> dict[str, str]:
    return {"chain": chain.code, "share": figure(100 * value / most), "link": chain.link}


def _near(chain: Chain, used: str, left: str, value: float, most: float, unit: Unit) -> Finding:
    is_left = figure(max(0.0, most - value)) != "0"
    mind = tr("Mind it when something changes on the day: {what} left.", what=left)
    return Finding(
        "margin",
        "note",
        f"chain {chain.code}",
        used,
        mind if is_left else tr("Mind it when something changes on the day: nothing left."),
        value,
        SHARE * most,
        unit,
    )
