"""Do a chain's cables suit its link and each other, and is there a spare of each kind."""

from collections.abc import Iterator
from itertools import pairwise

from checkapp.review.findings import Finding
from checkapp.review.impedance import reflected_share, return_loss_db
from checkapp.review.limits import is_above, is_below
from checkapp.review.rules.chain import hops_of
from checkapp.review.wording import against, figure, first_of, listed
from checkapp.rig.measures import length_of
from checkapp.rig.model import Cable, Chain
from checkapp.rig.occupied import cables_used
from checkapp.rig.rig import Rig
from checkapp.tongue import tr
from checkapp.tongue.numbers import with_sign


def cable_impedance(rig: Rig) -> Iterator[Finding]:
    """A hop's cable has an impedance outside what its link takes; only where the plan gives both."""
    for chain in rig.chains.values():
        for cable in hops_of(rig, chain):
            ohm, bound = rig.cable_kind(cable).impedance_ohm, broken_bound(rig, chain, cable)
            if ohm is not None and bound is not None:
                yield _unsuited(rig, chain, cable, ohm, bound)


def mixed_cables(rig: Rig) -> Iterator[Finding]:
    """The hops of a chain are of more than one kind of cable."""
    for chain in rig.chains.values():
        hops = hops_of(rig, chain)
        kinds = list(dict.fromkeys(cable.kind for cable in hops))
        if len(kinds) > 1:
            yield Finding(
                "mixed-cables",
                "note",
                f"chain {chain.code}",
                tr(
                    "The hops of chain {chain} are of {count} kinds of cable: {kinds}.",
                    chain=chain.code,
                    count=len(kinds),
                    kinds=listed(kinds),
                )
                + _worst_step(rig, hops),
                tr(
                    "Use one kind for all of it where you can: spares then fit everywhere, and nothing is reflected"
                    " where two kinds meet."
                ),
            )


def no_spare(rig: Rig) -> Iterator[Finding]:
    """Kinds of cable are in use of which there is no spare."""
    used = cables_used(rig)
    spare = {cable.kind for cable in rig.cables.values() if cable.spare and cable.code not in used}
    lacking: dict[str, str] = {}
    for cable in rig.cables.values():
        if cable.code in used and cable.kind not in spare:
            lacking.setdefault(cable.kind, cable.code)
    if lacking:
        yield Finding(
            "no-spare",
            "note",
            next(iter(lacking.values())),
            tr("There is no spare of {kinds}.", kinds=first_of(list(lacking))),
            tr("Take one of each along, as long as the longest in use, and write it into the plan as spare."),
        )


def broken_bound(rig: Rig, chain: Chain, cable: Cable) -> float | None:
    """The bound of the link's impedance that the cable breaks, in ohm; None when it breaks none or none is given."""
    ohm, link = rig.cable_kind(cable).impedance_ohm, rig.link_kind(chain)
    if ohm is None or link.impedance_ohm is None:
        return None
    low_ohm = link.impedance_ohm * (1 - link.impedance_tolerance)
    high_ohm = link.impedance_ohm * (1 + link.impedance_tolerance)
    if is_above(ohm, high_ohm):
        return high_ohm
    return low_ohm if is_below(ohm, low_ohm) else None


def _unsuited(rig: Rig, chain: Chain, cable: Cable, ohm: float, bound: float) -> Finding:
    wanted = rig.link_kind(chain).impedance_ohm or 0.0
    value_said, limit_said = against(ohm, bound, "ohm")
    told = {"cable": cable.code, "kind": cable.kind, "ohm": value_said, "link": chain.link, "wanted": figure(wanted)}
    if ohm > bound:
        message = tr(
            "{cable} is {kind} of {ohm}; {link} wants {wanted} ohm, no more than {limit}.", **told, limit=limit_said
        )
    else:
        message = tr(
            "{cable} is {kind} of {ohm}; {link} wants {wanted} ohm, no less than {limit}.", **told, limit=limit_said
        )
    step = tr(
        "The step has a return loss of {loss} dB: {share} % of the voltage comes back.",
        loss=figure(return_loss_db(ohm, wanted)),
        share=with_sign(f"{100 * reflected_share(ohm, wanted):.3g}"),
    )
    return Finding(
        "cable-impedance",
        "caution",
        cable.code,
        f"{message} {step}",
        tr("Use cable of {wanted} ohm for this hop.", wanted=figure(wanted)) + _suited(rig, chain),
        ohm,
        bound,
        "ohm",
    )


def _suited(rig: Rig, chain: Chain) -> str:
    """The spares that suit the link."""
    spares = [cable for cable in rig.cables.values() if cable.spare and rig.cable_kind(cable).impedance_ohm is not None]
    fit = [f"{cable.code} ({length_of(cable)})" for cable in spares if broken_bound(rig, chain, cable) is None]
    return " " + tr("Spare and suited: {cables}.", cables=first_of(fit)) if fit else ""


def _worst_step(rig: Rig, hops: tuple[Cable, ...]) -> str:
    """Where two neighbours reflect most; empty when their impedances are alike or not given."""
    steps = []
    for near, far in pairwise(hops):
        near_ohm, far_ohm = rig.cable_kind(near).impedance_ohm, rig.cable_kind(far).impedance_ohm
        if near_ohm is not None and far_ohm is not None and near_ohm != far_ohm:
            steps.append((return_loss_db(far_ohm, near_ohm), near.code, far.code))
    if not steps:
        return ""
    loss_db, near_code, far_code = min(steps)
    told = {"near": near_code, "far": far_code, "loss": figure(loss_db)}
    return " " + tr("Where {near} meets {far} the return loss is {loss} dB.", **told)
