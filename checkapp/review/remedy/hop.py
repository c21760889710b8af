"""What to do about a hop that is longer than its link kind carries: a shorter cable, of the stock if there is one."""

from checkapp.review.findings import Finding
from checkapp.review.limits import is_above
from checkapp.review.remedy.cables import best_first, cut_to, if_it_reaches, said, swaps_on
from checkapp.review.remedy.trial import OutOfWork, Remedy, Trial
from checkapp.rig.distance import distance_m
from checkapp.rig.measures import length
from checkapp.rig.model import Box
from checkapp.tongue import tr


def hop_remedy(trial: Trial, finding: Finding) -> Remedy:
    """What to do about a hop that is too long."""
    box = next(box for box in trial.rig.boxes.values() if box.cable == finding.where)
    why = tr("nothing in the rig helps")
    try:
        found = _from_stock(trial, finding, box)
    except OutOfWork:
        found, why = None, ""
    return found or _with_what_the_rig_lacks(trial, finding, box, why)


def _from_stock(trial: Trial, finding: Finding, box: Box) -> Remedy | None:
    rig = trial.rig
    swaps = swaps_on(rig, rig.chains[rig.chain_of(box.code) or ""], [box])[0]
    fit = [(one,) for one in swaps if not is_above(one.new.length_m, finding.limit or 0.0)]
    for (one,) in best_first(fit, trial.proposed):
        if trial.clears((one.change,), [finding]):
            return Remedy(f"{said((one,))}{if_it_reaches((one,))}", ((one.change,),))
    return None


def _with_what_the_rig_lacks(trial: Trial, finding: Finding, box: Box, why: str) -> Remedy:
    cut = cut_to(trial.rig, box, finding.limit or 0.0)
    if cut and trial.surely_clears((cut[0],), [finding]):
        return Remedy(tr("use a cable of at most {length} to {box}", length=cut[1], box=box.code), ((cut[0],),), why)
    apart_m = distance_m(trial.rig, box.fed_from, box)
    if apart_m is not None and is_above(apart_m, finding.limit or 0.0):
        return Remedy(tr("its ends stand {length} apart, so put a box half way", length=length(apart_m)), claim=why)
    return Remedy("", claim=why)
