"""The picture of a rig: the stage plan with its title, findings and key beside it, as one page across."""

from collections.abc import Sequence
from typing import Final

from checkapp.page.bands import LEADING, Band, lines_of, placed, space
from checkapp.page.drawing import Drawing, Shape, Stroke
from checkapp.page.pen import Pen
from checkapp.page.rect import Rect
from checkapp.page.text import Measure
from checkapp.review.paper.parts import chain_key, finding_bands, plan_in
from checkapp.review.paper.speaks import MAINS_WORD, cautions_for
from checkapp.review.report import Review
from checkapp.review.stage.plan import Stage, stage
from checkapp.review.summary import detail_of, summary_of
from checkapp.rig.rig import Rig
from checkapp.tongue import tr, trn

PAGE: Final = Rect(0.0, 0.0, 297.0, 210.0)
"""ISO A4 (ISO 216), lying, in mm."""
PICTURE_PX: Final = 2000
"""Width of the picture as PNG."""
_INNER = Rect(10.0, 9.0, 287.0, 202.0)
_HEAD_FOOT = 185.5
_SIDE = 61.0
_GAP = 5.0
_SIZE = 2.6
_NOTE = 2.4


def picture(rig: Rig, review: Review, measure: Measure) -> Drawing:
    """The picture as a drawing in mm; ``measure`` gives the width of words in the type that it will be drawn with."""
    pen = Pen(measure)
    plan = stage(rig, review, measure)
    low = _INNER.bottom + 2 * LEADING * _NOTE + 2.0
    side = _side(rig, review, plan, pen, _HEAD_FOOT - 2.0 - low)
    room = Rect(_INNER.left, low, _INNER.right - _SIDE - _GAP, _HEAD_FOOT - 2.0)
    beside = placed(side, _INNER.right - _SIDE, _HEAD_FOOT - 2.0)
    shapes = (*_head(rig, review, pen), *plan_in(plan, room).shapes, *beside)
    shown = [MAINS_WORD] if rig.supplies else []
    foot = [band for words in cautions_for(shapes, shown) for band in lines_of(pen, words, _INNER.width, _NOTE)]
    return Drawing(PAGE, (*shapes, *placed(foot, _INNER.left, low - 2.0)))


def _head(rig: Rig, review: Review, pen: Pen) -> tuple[Shape, ...]:
    summary = pen.words(summary_of(review), (_INNER.right, 189.0), 4.0, bold=True, align="right")
    return (
        pen.words(rig.name, (_INNER.left, 196.0), 6.5, bold=True, most=_INNER.width),
        pen.words(detail_of(rig), (_INNER.left, 189.0), 3.6, most=_INNER.width - summary.width - 5.0),
        summary,
        Stroke(((_INNER.left, _HEAD_FOOT), (_INNER.right, _HEAD_FOOT)), 0.35),
    )


def _side(rig: Rig, review: Review, plan: Stage, pen: Pen, height: float) -> list[Band]:
    """The key, what must be said of the plan, and as many findings as there is room for."""
    bands = chain_key(pen, rig, review, _SIDE, _SIZE)
    most = int(0.4 * height / bands[0].height) if bands else 0
    if len(bands) > most:
        chains = trn("and {count} chain more", "and {count} chains more", len(bands) - most + 1)
        more = lines_of(pen, chains, _SIDE, _SIZE, tone="quiet")
        bands = [*bands[: most - 1], *more]
    for note in plan.notes:
        bands += [space(0.8), *lines_of(pen, note, _SIDE, _NOTE, tone="quiet")]
    bands.append(space(3.0))
    return [*bands, *_findings(review, pen, height - sum(band.height for band in bands))]


def _findings(review: Review, pen: Pen, height: float) -> Sequence[Band]:
    last = lines_of(pen, _more_words(len(review.findings)), _SIDE, _SIZE)
    bands: list[Band] = []
    for number, finding in enumerate(review.findings, 1):
        next_ = [*finding_bands(pen, number, finding, _SIDE, _SIZE, remedy=False), space(1.2)]
        reserve = 0.0 if number == len(review.findings) else sum(band.height for band in last)
        if sum(band.height for band in (*bands, *next_)) + reserve > height:
            left = len(review.findings) - number + 1
            return [*bands, *lines_of(pen, _more_words(left), _SIDE, _SIZE, tone="quiet")]
        bands += next_
    return bands


def _more_words(count: int) -> str:
    return tr("and {count} more: the review lists them all", count=count)
