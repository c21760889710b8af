"""The paper that a crew falls back on: findings, chains, stage plan, a patch sheet for each box, the line check sheet.

A4 upright, grey on white, as drawings in millimetres; on every page the rig, its version, the plan's digest, the date,
and which page of how many it is.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from checkapp.page.bands import Band, NewPage, Page, lines_of, paged, placed
from checkapp.page.drawing import Drawing, Shape, Stroke
from checkapp.page.pen import Pen
from checkapp.page.rect import Rect
from checkapp.page.text import Measure
from checkapp.review.paper.check_sheet import check_sheet
from checkapp.review.paper.findings import chain_pages, finding_page, plan_page
from checkapp.review.paper.look import WIDTH
from checkapp.review.paper.patch_sheets import patch_sheets
from checkapp.review.paper.speaks import cautions_for
from checkapp.review.report import Review
from checkapp.rig.rig import Rig
from checkapp.tongue import tr
from checkapp.tongue.numbers import paper_day

PAGE: Final = Rect(0.0, 0.0, 210.0, 297.0)
"""ISO A4 (ISO 216), upright, in mm."""
DIGEST_SHOWN = 12
"""Hex digits of the plan file's SHA-256 that each page carries, beside the four characters of the mark."""
_LEFT = (PAGE.width - WIDTH) / 2
_RIGHT = PAGE.width - _LEFT
_TOP, _FOOT = 273.0, 21.0


@dataclass(frozen=True, slots=True)
class Sheet:
    """One page: the section that it belongs to, and what is on it."""

    section: str
    drawing: Drawing


def paper(rig: Rig, review: Review, measure: Measure, date: str) -> tuple[Sheet, ...]:
    """All pages; ``date`` (ISO 8601) is printed, ``measure`` gives the width of words."""
    pen = Pen(measure)
    pages = paged(_items(rig, review, pen, measure), _TOP - _FOOT)
    return tuple(
        Sheet(page.section, Drawing(PAGE, tuple(_page(rig, pen, page, date, f"{number}/{len(pages)}"))))
        for number, page in enumerate(pages, 1)
    )


def _items(rig: Rig, review: Review, pen: Pen, measure: Measure) -> Iterator[Band | NewPage]:
    yield from finding_page(rig, review, pen)
    yield from chain_pages(rig, review, pen)
    yield from plan_page(rig, review, pen, measure, _TOP - _FOOT)
    yield from patch_sheets(rig, review, pen)
    yield from check_sheet(rig, pen)


def _page(rig: Rig, pen: Pen, page: Page, date: str, number: str) -> Iterator[Shape]:
    """What stands on every page, whose it is, which plan, which page; its bands; the cautions for what it speaks of."""
    which = pen.words(tr("page {page}", page=number), (_RIGHT, 283.5), 3.4, bold=True, align="right")
    yield which
    yield pen.words(rig.name, (_LEFT, 283.5), 4.6, bold=True, most=WIDTH - which.width - 4.0)
    section = pen.words(page.section, (_RIGHT, 278.5), 2.8, align="right", most=70.0)
    yield section
    yield pen.words(_plan_words(rig, date), (_LEFT, 278.5), 2.8, most=WIDTH - section.width - 4.0)
    yield Stroke(((_LEFT, 276.3), (_RIGHT, 276.3)), 0.35)
    shapes = tuple(placed(page.bands, _LEFT, _TOP))
    yield from shapes
    said = [band for words in cautions_for(shapes, page.shown) for band in lines_of(pen, words, WIDTH, 2.4)]
    yield from placed(said, _LEFT, 9.0 + sum(band.height for band in said))


def _plan_words(rig: Rig, date: str) -> str:
    """Which plan it is, and when it was printed."""
    told = {"mark": rig.mark, "digest": rig.digest[:DIGEST_SHOWN], "day": paper_day(date)}
    if rig.version is None:
        return tr("plan {mark}, file digest {digest}, printed {day}", **told)
    return tr("version {version}, plan {mark}, file digest {digest}, printed {day}", version=rig.version, **told)
