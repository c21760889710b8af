"""A shorter chain, asked by a command: what can be put in another order, and the plan that says so."""

import math
from collections.abc import Sequence
from dataclasses import asdict, dataclass, replace
from pathlib import Path

from checkapp.review.chain_order import SLACK_SHARE, ChainOrder, Hop, order_chain
from checkapp.rig.codes import did_you_mean
from checkapp.rig.edit import Edit, edited, edits_between, with_edits
from checkapp.rig.errors import CheckappError, PlanRefused, UnknownCode, printable
from checkapp.rig.planfile import load_plan
from checkapp.rig.rig import Rig
from checkapp.rig.writing import replace_file

SLACK_M = 1.5
"""What a hop gets besides a tenth of its distance, when nobody says otherwise. Common practice, no source."""
MOST_SLACK_M = 1000.0


class SlackRefused(CheckappError):
    """A slack that is no length of cable."""


class OutRefused(CheckappError):
    """A file that the changed plan cannot be written to."""


@dataclass(frozen=True, slots=True)
class Ordered:
    """What ordering came to: the rig as planned, each chain that was asked for, the rig as it would be.

    ``written`` names the file that holds the changed plan; None when none was asked for or there was none to write.
    """

    rig: Rig
    slack_m: float
    chains: tuple[ChainOrder, ...]
    new: Rig
    edits: tuple[Edit, ...]
    written: Path | None = None

    @property
    def answered(self) -> bool:
        """Whether every chain could be ordered, or is best as it is."""
        return all(chain.state in ("shorter", "kept") for chain in self.chains)


def order_plan(plan: Path, chain: str | None = None, slack_m: float = SLACK_M, out: Path | None = None) -> Ordered:
    """Order the chains of a plan, or the one named, and write the changed plan to ``out``.

    Chains are taken in the plan's order, and again as long as one becomes shorter: what one sets free is a spare for
    the others. ``slack_m`` is from 0 to
    `MOST_SLACK_M`. Where every chain was answered and nothing is to be changed, ``out`` becomes a copy of the plan;
    where some were not, it is written only when others change. Errors: `PlanRefused`, `UnknownCode`, `SlackRefused`,
    `OutRefused`, `PlacesTooFar`, `FileNotWritten`.
    """
    if not 0 <= slack_m <= MOST_SLACK_M:
        raise SlackRefused(f"slack is {slack_m:g} m; give a length from 0 to {MOST_SLACK_M:g} m")
    rig = load_plan(plan)
    codes = [_known(rig, chain)] if chain is not None else list(rig.chains)
    if out is not None:
        _check_out(rig, plan, out)
    chains, new = _rounds(rig, codes, slack_m)
    ordered = Ordered(rig, slack_m, chains, new, edits_between(rig, new))
    return ordered if out is None else _written(ordered, plan, out)


def status(found: Ordered) -> int:
    """The exit status: 1 when a chain could not be ordered."""
    return 0 if found.answered else 1


def document(found: Ordered) -> dict[str, object]:
    """The JSON document of the order."""
    return {
        "rig": found.rig.name,
        "slack_m": found.slack_m,
        "slack_share": SLACK_SHARE,
        "chains": [_chain(chain) for chain in found.chains],
        "written": None if found.written is None else str(found.written),
    }


def _chain(chain: ChainOrder) -> dict[str, object]:
    better = chain.hops if chain.state == "shorter" else ()
    return {
        "code": chain.chain,
        "state": chain.state,
        "old_m": chain.now_m,
        "new_m": chain.order_m if better else chain.now_m,
        "order": [hop.box for hop in better] or list(chain.boxes),
        "old": _way(chain.now),
        "shortest": _way(chain.hops),
        "missing_m": [hop.needed_m for hop in chain.missing],
        "without_place": list(chain.without_place),
        "findings": [asdict(finding) for finding in chain.findings],
    }


def _way(hops: tuple[Hop, ...]) -> dict[str, object] | None:
    if not hops:
        return None
    return {
        "order": [hop.box for hop in hops],
        "distance_m": math.fsum(hop.distance_m for hop in hops),
        "hops": [
            {
                "from": hop.start,
                "to": hop.box,
                "distance_m": hop.distance_m,
                "needed_m": hop.needed_m,
                "cable": hop.cable.code if hop.cable else None,
                "length_m": hop.cable.length_m if hop.cable else None,
            }
            for hop in hops
        ],
    }


def _known(rig: Rig, typed: str) -> str:
    code = typed.strip().upper()
    if code not in rig.chains:
        raise UnknownCode("; ".join(did_you_mean("chain", code, rig.chains)))
    return code


def _rounds(rig: Rig, codes: Sequence[str], slack_m: float) -> tuple[tuple[ChainOrder, ...], Rig]:
    """Each chain from what is planned to the last that was found for it, and the rig with all that is shorter."""
    found: dict[str, ChainOrder] = {}
    new, metres_fall = rig, True
    while metres_fall:
        metres_fall = False
        for code in codes:
            one, before = order_chain(new, code, slack_m), found.get(code)
            new = with_edits(new, one.edits)
            metres_fall = metres_fall or one.state == "shorter"
            if before is None or before.state != "shorter":
                found[code] = one
            elif one.state == "shorter":
                found[code] = before.then(one)
    return tuple(found.values()), new


def _check_out(rig: Rig, plan: Path, out: Path) -> None:
    """`OutRefused`: the files that the plan uses would not be found, or one of them would be overwritten."""
    shown, used = printable(str(out)), rig.plan.use
    if not used:
        return
    if not (out.parent.exists() and out.parent.samefile(plan.parent)):
        beside = printable(str(plan.parent / out.name))
        raise OutRefused(f"{shown}: the plan uses {used[0]}, which it finds beside itself; write it to {beside}")
    if out.exists() and any(out.samefile(plan.parent / name) for name in used):
        raise OutRefused(f"{shown} is a file that the plan uses; name another file")


def _written(found: Ordered, plan: Path, out: Path) -> Ordered:
    """The same, with the plan written where that is of use; what is written has been read again and compared."""
    if not found.edits and (not found.answered or (out.exists() and out.samefile(plan))):
        return found
    try:
        content = edited(plan.read_bytes(), found.edits)
        same = load_plan(out, content).plan == found.new.plan
    except (OSError, ValueError, KeyError, PlanRefused):
        same = False
    if not same:
        raise OutRefused(f"{printable(str(plan))} was changed while its chains were ordered; run the command again")
    replace_file(out, content)
    return replace(found, written=out)
