"""The chances of the model: how likely an item is faulty, goes unheard, and sounds like what."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import TYPE_CHECKING

from checkapp.rig.words import SYMPTOMS, ItemKind, Symptom

if TYPE_CHECKING:
    from checkapp.rig.model import Diagnose, Item

SOURCE = "defaults, no source; crews' settings override them"

FALSE_ALARM = 0.002
"""Chance that a line whose items are all good is marked faulty. Defaults, no source."""

PRIOR: Mapping[ItemKind, float] = MappingProxyType(
    {
        "source": 0.010,
        "cable": 0.010,
        "hop": 0.005,
        "port": 0.002,
        "box": 0.002,
        "chain": 0.0005,
        "supply": 0.001,
        "desk": 0.002,
    }
)
"""Chance that an item is faulty before anything is heard, by kind. Defaults, no source."""

MISS: Mapping[ItemKind, float] = MappingProxyType(
    {
        "source": 0.05,
        "cable": 0.10,
        "hop": 0.05,
        "port": 0.05,
        "box": 0.02,
        "chain": 0.01,
        "supply": 0.01,
        "desk": 0.01,
    }
)
"""Chance that a faulty item leaves a line through it sounding ok, by kind. Defaults, no source."""

_HEARD: Mapping[ItemKind, tuple[float, ...]] = {
    # in the order of SYMPTOMS: silent, hum, crackle, low, distorted, polarity, wrong line, noisy
    "source": (0.40, 0.08, 0.08, 0.14, 0.10, 0.02, 0.10, 0.08),
    "cable": (0.35, 0.15, 0.25, 0.08, 0.02, 0.08, 0.02, 0.05),
    "hop": (0.70, 0.01, 0.20, 0.01, 0.03, 0.01, 0.01, 0.03),
    "port": (0.40, 0.10, 0.25, 0.10, 0.03, 0.03, 0.05, 0.04),
    "box": (0.75, 0.04, 0.06, 0.03, 0.04, 0.01, 0.02, 0.05),
    "chain": (0.80, 0.01, 0.10, 0.01, 0.03, 0.01, 0.02, 0.02),
    "supply": (0.70, 0.20, 0.04, 0.01, 0.01, 0.01, 0.01, 0.02),
    "desk": (0.35, 0.01, 0.02, 0.22, 0.10, 0.10, 0.18, 0.02),
}
HEAR: Mapping[ItemKind, Mapping[Symptom, float]] = MappingProxyType(
    {kind: MappingProxyType(dict(zip(SYMPTOMS, row, strict=True))) for kind, row in _HEARD.items()}
)
"""Chance of each symptom when one item of a kind is at fault; each kind adds up to 1. Defaults, no source."""


@dataclass(frozen=True, slots=True)
class Chances:
    """What the model reckons with. All chances are above 0 and at most 1; a symptom left out of a kind has none.

    ``items`` holds the priors of single items, by name, where more is known of them than of their kind.
    """

    false_alarm: float = FALSE_ALARM
    prior: Mapping[ItemKind, float] = field(default_factory=lambda: PRIOR)
    miss: Mapping[ItemKind, float] = field(default_factory=lambda: MISS)
    hear: Mapping[ItemKind, Mapping[Symptom, float]] = field(default_factory=lambda: HEAR)
    items: Mapping[str, float] = field(default_factory=dict)

    def prior_of(self, item: Item) -> float:
        """Chance that the item is faulty before anything is heard."""
        return self.items.get(item.name, self.prior[item.kind])


def chances_of(settings: Diagnose, items: Mapping[str, float] | None = None) -> Chances:
    """The plan's ``[diagnose]`` over the defaults; ``items`` are priors of single items by name, learned elsewhere.

    A kind's table of symptoms replaces the default's as a whole.
    """
    return Chances(
        false_alarm=FALSE_ALARM if settings.false_alarm is None else settings.false_alarm,
        prior={**PRIOR, **settings.prior},
        miss={**MISS, **settings.miss},
        hear={**HEAR, **settings.hear},
        items=dict(items or {}),
    )
