"""Remedies that work: what to do about each finding that stops a show, tried on a changed copy of the rig first.

Nothing is done for a rig without such findings. For others the work is bounded, whatever the rig: each finding gets
an equal share of what is left, and a search that is cut says less, never more than it knows.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

from checkapp.review.findings import Finding
from checkapp.review.remedy_chain import chain_remedy
from checkapp.review.remedy_hop import hop_remedy
from checkapp.review.remedy_line import line_remedy
from checkapp.review.remedy_link import link_remedy
from checkapp.review.remedy_supply import load_remedy, power_remedy
from checkapp.review.remedy_trial import MOST_WORK, Remedy, Trial
from checkapp.rig.change import OtherCable
from checkapp.rig.rig import Rig

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


def with_remedies(rig: Rig, findings: Sequence[Finding]) -> tuple[Finding, ...]:
    """The findings, in their order, each with the best remedy that is known for it and the ways that were tried."""
    found = list(findings)
    asked = [k for k, finding in enumerate(findings) if finding.rule in _FINDERS]
    if not asked:
        return tuple(found)
    trial, pool = Trial(rig, findings), MOST_WORK
    for done, k in enumerate(asked):
        trial.work_left = share = pool // (len(asked) - done)
        remedy = _FINDERS[findings[k].rule](trial, findings[k])
        pool -= share - max(trial.work_left, 0)
        trial.proposed |= {one.cable for way in remedy.ways for one in way if isinstance(one, OtherCable)}
        found[k] = replace(findings[k], remedy=remedy.text, ways=remedy.ways)
    return tuple(found)
