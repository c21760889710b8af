"""What history teaches the suspects: how likely an item is faulty, and what a faulty one of its kind sounds like.

A kind's chance, and that of each item in the log, is the plan's own prior, or the default's, sharpened by all faults
and exposures (`checkapp.history.few_bad`). A prior that the plan states in ``[diagnose]`` stays as it is for its kind,
and only items differ. An item of which nothing is known has its kind's chance; none that is learned is ever 0 or 1.

What is heard: each kind's table of symptoms counts as `HEAR_FAULTS` faults heard before the log begins, and each
confirmed culprit adds one, shared out among the symptoms that were heard (the mean of a Dirichlet posterior). A table
that the plan states stays as it is.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

from checkapp.diagnose.chances import chances_of
from checkapp.history.analysis import count_of
from checkapp.history.few_bad import FewBad
from checkapp.history.rates import Count
from checkapp.rig.words import SYMPTOMS
from checkapp.tongue import trn

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from checkapp.diagnose.chances import Chances
    from checkapp.history.lives import FaultMade, Life, Tally
    from checkapp.rig.model import Diagnose
    from checkapp.rig.words import ItemKind, Symptom

HEAR_FAULTS = 100.0
"""A kind's table of symptoms counts as so many culprits heard. A choice, no source."""
UNKNOWN = Count(0, 0.0)
LEAST, MOST = 1e-6, 0.5
"""An item's chance is kept within these. A choice, no source."""


def learned(tally: Tally, names: Mapping[str, str], settings: Diagnose) -> Chances:
    """The chances of the plan's settings, sharpened by what a tally tells.

    ``names`` gives the name in the tally (owner and code) of each item of the rig, by the name that the rig has for it.
    """
    told = chances_of(settings)
    kinds = _kinds(tally.lives, told, settings)
    lives = {life.item: life for life in tally.lives}
    prior = {kind: _kept(*of.chances([UNKNOWN])) for kind, of in kinds.items() if kind not in settings.prior}
    known = {item: lives[name] for item, name in names.items() if name in lives and lives[name].kind in kinds}
    items = dict(_items(known, kinds))
    hear = {**told.hear, **_hear(tally.faults, told, settings)}
    return replace(told, prior={**told.prior, **prior}, hear=hear, items=items)


def without(whole: Tally, shown: Tally, show: str) -> Tally:
    """A tally without the shows of a name, of which ``shown`` is the tally: what it heard is no prior of it."""
    own = {life.item: life for life in shown.lives}
    lives = tuple(_less(life, own[life.item]) if life.item in own else life for life in whole.lives)
    return replace(whole, lives=lives, faults=tuple(fault for fault in whole.faults if fault.show != show))


def _less(life: Life, own: Life) -> Life:
    left = len(life.faults) - len(own.faults)
    return replace(life, exposures=max(0, life.exposures - own.exposures), faults=life.faults[:left])


def _kinds(lives: Iterable[Life], told: Chances, settings: Diagnose) -> dict[ItemKind, FewBad]:
    """The kinds of which an item was exposed; not those for which the plan states `MOST` or more."""
    counts: dict[ItemKind, list[Count]] = {}
    for life in lives:
        if life.exposures > 0 and told.prior[life.kind] < MOST:
            counts.setdefault(life.kind, []).append(count_of(life))
    return {kind: FewBad(of, told.prior[kind], stated=kind in settings.prior) for kind, of in counts.items()}


def _items(known: Mapping[str, Life], kinds: Mapping[ItemKind, FewBad]) -> Iterator[tuple[str, float]]:
    """The chance of each item."""
    for kind, of in kinds.items():
        own = [(item, count_of(life)) for item, life in known.items() if life.kind == kind]
        counts = sorted({count for _, count in own})
        chances = dict(zip(counts, of.chances(counts), strict=True))
        yield from ((item, _kept(chances[count])) for item, count in own)


def _kept(chance: float) -> float:
    return min(MOST, max(LEAST, chance))


def _hear(faults: Iterable[FaultMade], told: Chances, settings: Diagnose) -> dict[ItemKind, dict[Symptom, float]]:
    """The table of symptoms of each kind that was a culprit and of which the plan states none."""
    heard: dict[ItemKind, dict[Symptom, float]] = {}
    for fault in faults:
        known = [symptom for symptom in SYMPTOMS if symptom in fault.symptoms]
        if fault.kind in settings.hear or not known:
            continue
        counts = heard.setdefault(fault.kind, {})
        for symptom in known:
            counts[symptom] = counts.get(symptom, 0.0) + 1 / len(known)
    return {kind: _table(told.hear[kind], counts) for kind, counts in heard.items()}


def _table(before: Mapping[Symptom, float], counts: Mapping[Symptom, float]) -> dict[Symptom, float]:
    whole = HEAR_FAULTS * math.fsum(before.values()) + math.fsum(counts.values())
    return {one: (HEAR_FAULTS * before.get(one, 0.0) + counts.get(one, 0.0)) / whole for one in SYMPTOMS}


def history_words(life: Life | None) -> str:
    """How often an item failed, for the fault sheet; empty where it was in no check: ``failed in 3 of 38 checks``."""
    if life is None or life.exposures < 1:
        return ""
    times = len(set(life.faults))
    if not times:
        return trn("never failed in {count} check", "never failed in {count} checks", life.exposures)
    return trn("failed in {times} of {count} check", "failed in {times} of {count} checks", life.exposures, times=times)
