"""The open rig as a picture for the screen: the stage plan, what its strokes mean, the findings that it numbers."""

from dataclasses import dataclass, replace

from checkapp.page import fonts
from checkapp.page.drawing import Drawing
from checkapp.review.paper.parts import KeyRow, key_rows
from checkapp.review.stage.plan import stage
from checkapp.review.summary import cautions_of, summary_of
from checkapp.rig.rig import Rig
from checkapp.show.reviewing import reviewed, rows_of
from checkapp.show.views import FindingRow


@dataclass(frozen=True, slots=True)
class PictureView:
    """The picture screen. ``drawing`` is in metres, its spots are the items that have a card, ``boxes`` among them.

    ``unit_m`` is the size of a box's code in it. Findings bear their numbers in the picture by their order, from 1.
    """

    title: str
    summary: str
    caution: str
    drawing: Drawing
    boxes: frozenset[str]
    unit_m: float
    keys: tuple[KeyRow, ...]
    notes: tuple[str, ...]
    findings: tuple[FindingRow, ...]


def picture_view(rig: Rig) -> PictureView:
    """The stage plan of a rig with its review. Takes some tenths of a second on a large rig."""
    found = reviewed(rig)
    plan = stage(rig, found, fonts.measure)
    spots = tuple(spot for spot in plan.drawing.spots if spot.item in rig.items)
    return PictureView(
        title=rig.name,
        summary=summary_of(found),
        caution=" ".join(cautions_of(rig, found)),
        drawing=replace(plan.drawing, spots=spots),
        boxes=frozenset(rig.boxes),
        unit_m=plan.unit_m,
        keys=key_rows(rig, found),
        notes=plan.notes,
        findings=rows_of(found.findings),
    )
