"""The plan review, asked by a command or a screen."""

from dataclasses import dataclass
from pathlib import Path

from checkapp.review.findings import Finding
from checkapp.review.report import Review, review, to_json
from checkapp.rig.model import Input
from checkapp.rig.planfile import load_plan
from checkapp.rig.rig import Rig
from checkapp.show.cautions import MAINS, PHANTOM
from checkapp.show.views import FindingRow


@dataclass(frozen=True, slots=True)
class Reviewed:
    """A rig and what the review says of it."""

    rig: Rig
    review: Review


def review_plan(path: Path) -> Reviewed:
    """Load a plan and review it. `PlanRefused`: the file has faults."""
    rig = load_plan(path)
    return Reviewed(rig, review(rig))


def document(found: Reviewed) -> dict[str, object]:
    """The JSON document of the review."""
    return to_json(found.review)


def status(found: Reviewed) -> int:
    """The exit status: 1 when something cannot work."""
    return 1 if found.review.has_stop else 0


def rows_of(findings: tuple[Finding, ...]) -> tuple[FindingRow, ...]:
    """Findings as rows of a list."""
    return tuple(FindingRow(one.level, one.rule, one.where, one.message, one.remedy) for one in findings)


def summary_of(review_: Review) -> str:
    """``2 stops, 1 caution``, or that the plan can work."""
    counts = {level: sum(1 for one in review_.findings if one.level == level) for level in ("stop", "caution", "note")}
    words = [counted(count, level) for level, count in counts.items() if count]
    return ", ".join(words) if words else "nothing found: as planned, it can work"


def cautions_of(rig: Rig) -> tuple[str, ...]:
    """The cautions that belong to this rig: mains when it has supplies, phantom when a line needs it."""
    phantom = any(isinstance(line, Input) and line.phantom for line in rig.lines)
    return tuple(words for words, said in ((MAINS, bool(rig.supplies)), (PHANTOM, phantom)) if said)


def detail_of(rig: Rig) -> str:
    """Version, counts and plan mark in one line."""
    version = f"version {rig.version}, " if rig.version is not None else ""
    ins = sum(1 for line in rig.lines if isinstance(line, Input))
    counts = ((ins, "input"), (len(rig.lines) - ins, "output"), (len(rig.boxes), "box"))
    return f"{version}{', '.join(counted(*count) for count in counts)}, plan {rig.mark}"


def counted(count: int, word: str) -> str:
    """``1 box``, ``2 boxes``."""
    return f"{count} {word}" if count == 1 else f"{count} {word}{'es' if word.endswith('x') else 's'}"
