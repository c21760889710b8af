"""What the picture and the paper both have: findings as bands, the key of the chains, the stage plan in a room."""

from collections.abc import Sequence
from dataclasses import dataclass

from checkapp.page.bands import LEADING, Band, indented, lines_of
from checkapp.page.drawing import CAP_HEIGHT, Drawing, Mark, Shape, Stroke
from checkapp.page.pen import Pen
from checkapp.page.rect import Rect
from checkapp.review.findings import Finding
from checkapp.review.report import Review
from checkapp.review.stage import look as stage_look
from checkapp.review.stage.plan import Stage
from checkapp.review.summary import counted
from checkapp.rig.measures import in_unit, length
from checkapp.rig.rig import Rig
from checkapp.tongue import shown_names, shown_word, tr
from checkapp.tongue.numbers import number

_LARGEST_CODE_MM = 5.2
_SAMPLE_MM = 13.0
_SAMPLE_SCALE = 2.6


def finding_bands(pen: Pen, number: int, finding: Finding, width: float, size: float, *, remedy: bool) -> list[Band]:
    """A finding: its mark, number, level and place, then what is so, and what to do if that is asked for."""
    base = -(LEADING + CAP_HEIGHT) / 2 * size
    mark = Mark(finding.level, 0.55 * size, base + CAP_HEIGHT / 2 * size, 1.05 * size)
    shapes: list[Shape] = [mark, pen.words(str(number), (1.5 * size, base), size, bold=True)]
    level = pen.words(shown_word(finding.level), (_right(shapes) + 0.6 * size, base), size)
    where = _right([level]) + 0.8 * size
    shapes += [level, pen.words(shown_names(finding.where), (where, base), size, bold=True, most=width - where)]
    basis = f" ({finding.basis})" if finding.basis != "plan" and remedy else ""
    said = lines_of(pen, finding.message + basis, width - 1.5 * size, size)
    if remedy and finding.remedy:
        said += lines_of(pen, finding.remedy, width - 1.5 * size, size, tone="quiet")
    return [Band(LEADING * size, tuple(shapes)), *indented(said, 1.5 * size)]


@dataclass(frozen=True, slots=True)
class KeyRow:
    """How the hops of a chain are drawn, its code and what there is to say of it.

    ``width`` is that of the stroke in the size of a code; ``code`` is empty for what is no chain.
    """

    style: stage_look.Style
    width: float
    code: str
    words: str


def key_rows(rig: Rig, review: Review) -> tuple[KeyRow, ...]:
    """How each chain is drawn, and its length and boxes; the multicore of a passive box where there is one."""
    rows = []
    for chain in review.chains:
        limit_m = rig.link_kind(rig.chains[chain.code]).max_length_m
        along = tr("{value} of {limit}", value=number(in_unit(chain.length_m)), limit=length(limit_m))
        words = f"{counted(chain.boxes, 'box')}, {along}"
        rows.append(KeyRow(*stage_look.chain_stroke(rig, chain.code), chain.code, words))
    if any(rig.box_kind(box).passive for box in rig.boxes.values()):
        rows.append(KeyRow("solid", stage_look.MULTICORE, "", tr("multicore of a passive box")))
    return tuple(rows)


def chain_key(pen: Pen, rig: Rig, review: Review, width: float, size: float) -> list[Band]:
    """The rows of the key, as bands."""
    return [_key_row(pen, row, width, size) for row in key_rows(rig, review)]


def _key_row(pen: Pen, row: KeyRow, width: float, size: float) -> Band:
    height = 1.45 * size
    base = -height / 2 - CAP_HEIGHT / 2 * size
    sample = Stroke(((0.0, -height / 2), (_SAMPLE_MM, -height / 2)), row.width * _SAMPLE_SCALE, row.style)
    shapes: list[Shape] = [sample]
    left = _SAMPLE_MM + 2.0
    if row.code:
        shapes.append(pen.words(row.code, (left, base), size, bold=True))
        left = _right(shapes) + 1.5
    shapes.append(pen.words(row.words, (left, base), size, most=max(1.0, width - left)))
    return Band(height, tuple(shapes))


def plan_in(stage: Stage, room: Rect) -> Drawing:
    """The stage plan in the middle of a room in mm, as large as it goes without being coarse."""
    extent = stage.drawing.extent
    scale = min(room.width / extent.width, room.height / extent.height, _LARGEST_CODE_MM / stage.unit_m)
    x, y = room.middle
    half_width, half_height = extent.width * scale / 2, extent.height * scale / 2
    return stage.drawing.within(Rect(x - half_width, y - half_height, x + half_width, y + half_height))


def _right(shapes: Sequence[Shape]) -> float:
    return max(shape.rect.right for shape in shapes)
