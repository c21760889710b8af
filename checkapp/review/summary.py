"""A rig and its review in a few words and figures, as every screen, command and page says them."""

from checkapp.review.cautions import MAINS, PHANTOM
from checkapp.review.report import ChainReview, Review
from checkapp.rig.model import Input
from checkapp.rig.rig import Rig


def summary_of(review: Review) -> str:
    """``2 stops, 1 caution``, or that there is none."""
    counts = {level: sum(1 for one in review.findings if one.level == level) for level in ("stop", "caution", "note")}
    words = [counted(count, level) for level, count in counts.items() if count]
    return ", ".join(words) if words else "no problems found in the plan"


def cautions_of(rig: Rig, review: Review) -> tuple[str, ...]:
    """The cautions that belong here: mains with supplies, planned or advised; phantom when a line needs it."""
    mains = bool(rig.supplies) or any("suppl" in finding.remedy for finding in review.findings)
    phantom = any(isinstance(line, Input) and line.phantom for line in rig.lines)
    return tuple(words for words, said in ((MAINS, mains), (PHANTOM, phantom)) if said)


def detail_of(rig: Rig) -> str:
    """Version, counts and plan mark in one line."""
    version = f"version {rig.version}, " if rig.version is not None else ""
    ins = sum(1 for line in rig.lines if isinstance(line, Input))
    counts = ((ins, "input"), (len(rig.lines) - ins, "output"), (len(rig.boxes), "box"))
    return f"{version}{', '.join(counted(*count) for count in counts)}, plan {rig.mark}"


def counted(count: int, word: str) -> str:
    """``1 box``, ``2 boxes``."""
    return f"{count} {word}" if count == 1 else f"{count} {word}{'es' if word.endswith('x') else 's'}"


def chain_cells(rig: Rig, chain: ChainReview) -> tuple[str, ...]:
    """A chain in figures, each against its limit where the plan gives one.

    Its code, length, boxes, slots, how link power stands, the lowest volts.
    """
    limits = rig.link_kind(rig.chains[chain.code])
    power: str = chain.power.state
    first = next((source for source in chain.power.sources if source.flow), None)
    if first is not None and first.flow is not None:
        power = f"{power}, {first.flow.source_amps:.2f} of {limits.max_amps:g} A"
    volts = [box.volts for box in chain.power.boxes if box.volts is not None]
    return (
        chain.code,
        f"{chain.length_m:.4g} of {limits.max_length_m:g} m",
        _of(chain.boxes, limits.max_boxes),
        _of(chain.channels_used, limits.max_channels),
        power,
        f"{min(volts):.2f} V" if volts else "",
    )


def _of(value: int, limit: int | None) -> str:
    return f"{value} of {limit}" if limit is not None else str(value)
