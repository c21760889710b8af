"""The plan review, asked by a command or a screen."""

from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from checkapp.review.cautions import MAINS
from checkapp.review.findings import Finding
from checkapp.review.report import Review, review, to_json
from checkapp.rig.measures import area_unit, length_unit
from checkapp.rig.planfile import load_plan
from checkapp.rig.rig import Rig
from checkapp.show.views import FindingRow
from checkapp.tongue import language, shown_word


@dataclass(frozen=True, slots=True)
class Reviewed:
    """A rig and what the review says of it, in which language."""

    rig: Rig
    review: Review
    language: str


def review_plan(path: Path) -> Reviewed:
    """Load a plan and review it. `PlanRefused`: the file has faults."""
    rig = load_plan(path)
    return Reviewed(rig, review(rig), language())


def reviewed(rig: Rig) -> Review:
    """The review of a rig, made once for each: nothing in a rig changes, and a changed rig is another one."""
    return _reviewed(rig, (language(), length_unit(), area_unit()))


@lru_cache(maxsize=4)
def _reviewed(rig: Rig, _said_in: tuple[str | None, ...]) -> Review:
    return review(rig)


def document(found: Reviewed) -> dict[str, object]:
    """The JSON document of the review."""
    return to_json(found.review)


def status(found: Reviewed) -> int:
    """The exit status: 1 when something cannot work."""
    return 1 if found.review.has_stop else 0


def rows_of(findings: tuple[Finding, ...]) -> tuple[FindingRow, ...]:
    """Findings as rows of a list. The caution about mains stands with them once, where they are shown, not in each."""
    return tuple(
        FindingRow(one.level, one.rule, one.where, one.message, one.remedy.replace(shown_word(MAINS), "").strip())
        for one in findings
    )
