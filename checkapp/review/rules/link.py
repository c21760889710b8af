"""Does link power reach every box that draws it, from a source that can give it."""

from collections.abc import Iterator

from checkapp.review.findings import Finding
from checkapp.review.link import LinkSource, chain_power, link_draw_w, link_limits
from checkapp.review.power import collapse_watts
from checkapp.review.wording import against
from checkapp.rig.model import Box
from checkapp.rig.rig import Rig
from checkapp.tongue import later, shown_word, tr

_LESS_LOAD = later("Put boxes on supplies of their own, or use shorter or thicker cables.")
"""What to do about a source that fails when nothing better is known."""


def link_current(rig: Rig) -> Iterator[Finding]:
    """More amps are drawn from a source than it can give."""
    for source in _sources(rig):
        if source.flow is not None and source.over_current:
            amps, limit = source.flow.source_amps, source.limits.max_amps
            value_said, limit_said = against(amps, limit, "A")
            yield Finding(
                "link-current",
                "stop",
                source.at,
                tr(
                    "{amps} are drawn from {source}; it gives {limit} at most.",
                    amps=value_said,
                    source=_named(source),
                    limit=limit_said,
                ),
                shown_word(_LESS_LOAD),
                amps,
                limit,
                "A",
            )


def link_volts(rig: Rig) -> Iterator[Finding]:
    """A box that draws gets less than its lowest volts."""
    for source in _sources(rig):
        for station, volts, limit in source.low():
            value_said, limit_said = against(volts, limit, "V")
            yield Finding(
                "link-volts",
                "stop",
                station.code,
                tr(
                    "{box} gets {volts} from {source}; it needs {limit}.",
                    box=station.code,
                    volts=value_said,
                    source=_named(source),
                    limit=limit_said,
                ),
                shown_word(_LESS_LOAD),
                volts,
                limit,
                "V",
            )


def link_collapse(rig: Rig) -> Iterator[Finding]:
    """The draws of a source are more than its cables can carry at any voltage."""
    for source in _sources(rig):
        if source.flow is None:
            limit = collapse_watts(source.ladder)
            value_said, limit_said = against(source.draws_w, limit or 0.0, "W")
            yield Finding(
                "link-collapse",
                "stop",
                source.at,
                tr(
                    "The boxes fed from {source} draw {draw} together; over these cables the voltage"
                    " collapses above {limit}.",
                    source=_named(source),
                    draw=value_said,
                    limit=limit_said,
                ),
                shown_word(_LESS_LOAD),
                source.draws_w,
                limit,
                "W",
            )


def no_power(rig: Rig) -> Iterator[Finding]:
    """A box draws power, is on no supply, and gets none from its link."""
    for box in rig.boxes.values():
        draw_w = rig.box_kind(box).draw_w
        if draw_w and box.supply is None and not _is_fed_by_link(rig, box):
            yield Finding(
                "no-power",
                "stop",
                box.code,
                tr("{box} needs power and gets none: it has no supply, and {why}.", box=box.code, why=_why(rig, box)),
                tr("Put {box} on a supply.", box=box.code),
            )


def _sources(rig: Rig) -> Iterator[LinkSource]:
    for chain in rig.chains.values():
        yield from chain_power(rig, chain).sources


def _is_fed_by_link(rig: Rig, box: Box) -> bool:
    chain = rig.chain_of(box.code)
    has_power = chain is not None and link_limits(rig.link_kind(rig.chains[chain])) is not None
    return has_power and link_draw_w(rig, box) > 0


def _why(rig: Rig, box: Box) -> str:
    kind = rig.box_kind(box)
    if kind.passive:
        return tr("a passive box has no link")
    if not kind.link_powered:
        return tr("{kind} is not link-powered", kind=box.kind)
    return tr("chain {chain} has no link power", chain=rig.chain_of(box.code))


def _named(source: LinkSource) -> str:
    if source.at.startswith("chain "):
        return source.at
    return tr("{box}, which repowers the hops after it", box=source.at)
