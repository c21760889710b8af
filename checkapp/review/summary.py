"""A rig and its review in a few words and figures, as every screen, command and page says them."""

from collections.abc import Callable
from typing import Final

from checkapp.review.cautions import MAINS, PHANTOM
from checkapp.review.report import ChainReview, Review
from checkapp.rig.measures import in_unit, length
from checkapp.rig.model import Input
from checkapp.rig.rig import Rig
from checkapp.tongue import later, shown_word, tr, trn
from checkapp.tongue.numbers import fixed, number

_SUPPLY: Final = later("suppl")
"""What a remedy that asks for a supply, or for other ones, has in its words."""


def summary_of(review: Review) -> str:
    """``2 stops, 1 caution``, or that there is none."""
    counts = {level: sum(1 for one in review.findings if one.level == level) for level in ("stop", "caution", "note")}
    words = [counted(count, level) for level, count in counts.items() if count]
    return ", ".join(words) if words else tr("no problems found in the plan")


def cautions_of(rig: Rig, review: Review) -> tuple[str, ...]:
    """The cautions that belong here: mains with supplies, planned or advised; phantom when a line needs it."""
    mains = bool(rig.supplies) or any(shown_word(_SUPPLY) in finding.remedy for finding in review.findings)
    phantom = any(isinstance(line, Input) and line.phantom for line in rig.lines)
    return tuple(shown_word(words) for words, said in ((MAINS, mains), (PHANTOM, phantom)) if said)


def detail_of(rig: Rig) -> str:
    """Version, counts and plan mark in one line."""
    version = [tr("version {version}", version=rig.version)] if rig.version is not None else []
    ins = sum(1 for line in rig.lines if isinstance(line, Input))
    counts = ((ins, "input"), (len(rig.lines) - ins, "output"), (len(rig.boxes), "box"))
    said = [*version, *(counted(*count) for count in counts), tr("plan {mark}", mark=rig.mark)]
    return ", ".join(said)


def counted(count: int, word: str) -> str:
    """``1 box``, ``2 boxes``."""
    if word in _COUNTED:
        return _COUNTED[word](count)
    return f"{count} {word}" if count == 1 else f"{count} {word}{'es' if word.endswith('x') else 's'}"


_COUNTED: Final[dict[str, Callable[[int], str]]] = {
    "box": lambda count: trn("{count} box", "{count} boxes", count),
    "chain": lambda count: trn("{count} chain", "{count} chains", count),
    "line": lambda count: trn("{count} line", "{count} lines", count),
    "input": lambda count: trn("{count} input", "{count} inputs", count),
    "output": lambda count: trn("{count} output", "{count} outputs", count),
    "cable": lambda count: trn("{count} cable", "{count} cables", count),
    "supply": lambda count: trn("{count} supply", "{count} supplies", count),
    "source": lambda count: trn("{count} source", "{count} sources", count),
    "stop": lambda count: trn("{count} stop", "{count} stops", count),
    "caution": lambda count: trn("{count} caution", "{count} cautions", count),
    "note": lambda count: trn("{count} note", "{count} notes", count),
    "check": lambda count: trn("{count} check", "{count} checks", count),
    "show": lambda count: trn("{count} show", "{count} shows", count),
    "item": lambda count: trn("{count} item", "{count} items", count),
    "fault": lambda count: trn("{count} fault", "{count} faults", count),
    "page": lambda count: trn("{count} page", "{count} pages", count),
    "tag": lambda count: trn("{count} tag", "{count} tags", count),
    "open fault": lambda count: trn("{count} open fault", "{count} open faults", count),
    "confirmed fault": lambda count: trn("{count} confirmed fault", "{count} confirmed faults", count),
}


def chain_cells(rig: Rig, chain: ChainReview) -> tuple[str, ...]:
    """A chain in figures, each against its limit where the plan gives one.

    Its code, length, boxes, slots, how link power stands, the lowest volts.
    """
    limits = rig.link_kind(rig.chains[chain.code])
    power: str = shown_word(chain.power.state)
    first = next((source for source in chain.power.sources if source.flow), None)
    if first is not None and first.flow is not None:
        flow = _of(fixed(first.flow.source_amps, 2), number(limits.max_amps or 0.0))
        power = f"{power}, {flow} A"
    volts = [box.volts for box in chain.power.boxes if box.volts is not None]
    return (
        chain.code,
        tr("{value} of {limit}", value=number(in_unit(chain.length_m)), limit=length(limits.max_length_m)),
        _of(chain.boxes, limits.max_boxes),
        _of(chain.channels_used, limits.max_channels),
        power,
        f"{fixed(min(volts), 2)} V" if volts else "",
    )


def _of(value: object, limit: object | None) -> str:
    return tr("{value} of {limit}", value=value, limit=limit) if limit is not None else str(value)
