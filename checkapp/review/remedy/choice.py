"""Remedies that work: what to do about each finding that stops a show, tried on a changed copy of the rig first.

Nothing is done for a rig without such findings. For others the work is bounded, whatever the rig: each finding that is
searched for gets an equal share of what is left, link power first, as other remedies may stand on that; and a search
that is cut says less, never more than it knows.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

from checkapp.review.findings import Finding
from checkapp.review.remedy.chain import chain_remedy
from checkapp.review.remedy.hop import hop_remedy
from checkapp.review.remedy.line import line_remedy
from checkapp.review.remedy.link import link_remedy
from checkapp.review.remedy.supply import load_remedy, power_remedy
from checkapp.review.remedy.trial import MOST_WORK, OR, Remedy, Trial
from checkapp.review.rules.listed import STOP_RULES
from checkapp.rig.change import CannotChange, Change, OtherCable, Way, changed
from checkapp.rig.rig import Rig
from checkapp.tongue import shown_word, tr

_FINDERS: Mapping[str, Callable[[Trial, Finding], Remedy]] = {
    "chain-length": chain_remedy,
    "hop-length": hop_remedy,
    "chain-boxes": chain_remedy,
    "chain-channels": chain_remedy,
    "link-current": link_remedy,
    "link-volts": link_remedy,
    "link-collapse": link_remedy,
    "no-power": power_remedy,
    "level": line_remedy,
    "phantom": line_remedy,
    "mains-load": load_remedy,
}


_LINK_RULES = ("link-current", "link-volts", "link-collapse")
_LINE_RULES = ("level", "phantom")
_MASKED_RULES = ("chain-length", "hop-length", "chain-boxes", "chain-channels", "no-power")
"""What can be cleared at times only where link power works: else another stop of link power comes up in its place."""


def with_remedies(rig: Rig, findings: Sequence[Finding]) -> tuple[Finding, ...]:
    """The findings, in their order, each with the best remedy that is known for it and the ways that were tried."""
    found = list(findings)
    asked = [k for k, finding in enumerate(findings) if finding.rule in _FINDERS]
    if not asked:
        return tuple(found)
    asked.sort(key=lambda k: (findings[k].rule not in _LINK_RULES, findings[k].rule in _LINE_RULES))
    searches = sum(findings[k].rule not in _LINE_RULES for k in asked)
    trial, pool = Trial(rig, findings), MOST_WORK
    for done, k in enumerate(asked):
        trial.work_left = share = pool // max(1, searches - done)
        remedy = _remedy(trial, findings[k])
        pool -= share - max(trial.work_left, 0)
        trial.proposed |= {one.cable for way in remedy.ways for one in way if isinstance(one, OtherCable)}
        text = remedy.text if remedy.claim or remedy.action else findings[k].remedy
        found[k] = replace(findings[k], remedy=text, ways=remedy.ways)
    return tuple(found)


def _remedy(trial: Trial, finding: Finding) -> Remedy:
    found = _FINDERS[finding.rule](trial, finding)
    if found.ways or finding.rule not in _MASKED_RULES:
        return found
    return _beside_link_power(trial, finding) or found


def _beside_link_power(trial: Trial, finding: Finding) -> Remedy | None:
    """What to do together with what mends the sources of link power; None when that is no way either."""
    if trial.mended is None:
        trial.mended = _mended(trial)
    mending, mended = trial.mended
    still = [one for one in mended.findings if (one.rule, one.where) == (finding.rule, finding.where)]
    if not mending or not still:
        return None
    mended.work_left = max(0, trial.work_left)
    found = _FINDERS[finding.rule](mended, still[0])
    trial.work_left = mended.work_left
    way = (*mending, *found.ways[0]) if found.ways else ()
    if not way or not trial.surely_clears(way, [finding]):
        return None
    action = tr(
        "with link power mended as its own findings say, {action}", action=found.action.partition(shown_word(OR))[0]
    )
    return Remedy(action, (way,), found.claim)


def _mended(trial: Trial) -> tuple[Way, Trial]:
    """The changes that mend all sources of link power that can be mended, and a trial of the rig with them."""
    way: list[Change] = []
    for finding in trial.findings:
        if finding.rule in _LINK_RULES:
            ways = link_remedy(trial, finding).ways
            way += [change for change in ways[0] if change not in way] if ways else []
    try:
        rig = changed(trial.rig, way)
    except CannotChange:
        return (), trial
    return tuple(way), Trial(rig, [finding for rule in STOP_RULES for finding in rule(rig)])
