"""The whole review of a rig, and the JSON document that other programs read."""

from dataclasses import asdict, dataclass

from checkapp.review.findings import Finding, worst_first
from checkapp.review.link import ChainPower, LinkSource, chain_power
from checkapp.review.remedy.choice import with_remedies
from checkapp.review.rules.chain import chain_length_m
from checkapp.review.rules.listed import RULES
from checkapp.review.slots import SlotRow, channels_used, slot_table
from checkapp.rig.model import Chain
from checkapp.rig.rig import Rig

_FINDING_KEYS = ("rule", "level", "where", "value", "limit", "unit", "message", "remedy", "basis")


@dataclass(frozen=True, slots=True)
class ChainReview:
    """A chain in figures: metres of all hops, boxes (passive ones aside), slots taken, link power, the slot table."""

    code: str
    length_m: float
    boxes: int
    channels_used: int
    power: ChainPower
    slots: tuple[SlotRow, ...]


@dataclass(frozen=True, slots=True)
class Review:
    """All findings of a rig, worst first, and its chains in figures."""

    rig: str
    findings: tuple[Finding, ...]
    chains: tuple[ChainReview, ...]

    @property
    def has_stop(self) -> bool:
        """Whether something in the plan cannot work."""
        return any(finding.level == "stop" for finding in self.findings)


def review(rig: Rig) -> Review:
    """Apply every rule to a rig, find remedies for what it cannot do, and put its chains in figures."""
    findings = worst_first(finding for rule in RULES for finding in rule(rig))
    return Review(rig.name, with_remedies(rig, findings), tuple(_chain(rig, chain) for chain in rig.chains.values()))


def to_json(review: Review) -> dict[str, object]:
    """The review as the document of ``checkapp review --json``: plain values only."""
    return {
        "rig": review.rig,
        "findings": [{key: getattr(finding, key) for key in _FINDING_KEYS} for finding in review.findings],
        "chains": [
            {
                "code": chain.code,
                "length_m": chain.length_m,
                "boxes": chain.boxes,
                "channels_used": chain.channels_used,
                "power": _power(chain.power),
                "slots": [asdict(row) for row in chain.slots],
            }
            for chain in review.chains
        ],
    }


def _chain(rig: Rig, chain: Chain) -> ChainReview:
    return ChainReview(
        chain.code,
        chain_length_m(rig, chain),
        len(rig.boxes_on(chain.code)),
        channels_used(rig, chain.code),
        chain_power(rig, chain),
        slot_table(rig, chain.code),
    )


def _power(power: ChainPower) -> dict[str, object]:
    sources = [_source(source) for source in power.sources]
    start = sources[0] if sources else {"amps": None, "watts": None}
    return {
        "state": power.state,
        "source_amps": start["amps"],
        "source_watts": start["watts"],
        "sources": sources,
        "boxes": [asdict(box) for box in power.boxes],
    }


def _source(source: LinkSource) -> dict[str, object]:
    flow = source.flow
    return {
        "at": source.at,
        "amps": flow.source_amps if flow else None,
        "watts": flow.source_watts if flow else None,
    }
