"""Tags of a rig onto a label stock: as a PDF, as pictures for a label printer, or both."""

import sys
from collections import Counter
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from checkapp.review.summary import counted
from checkapp.rig.errors import CheckappError, printable
from checkapp.rig.planfile import load_plan
from checkapp.rig.rig import Rig
from checkapp.show import places
from checkapp.show.languages import in_language
from checkapp.show.papering import WrongEnding, without_letters
from checkapp.tongue import tr, trn

if TYPE_CHECKING:
    from checkapp.tags.label import Label
    from checkapp.tags.layout import Step
    from checkapp.tags.parts import Layout
    from checkapp.tags.sheet import Where
    from checkapp.tags.stock import Stock


class NowhereToPrint(CheckappError):
    """Neither a PDF nor a folder for pictures was named, or something was asked of a PDF that is not wanted."""


class NotRoundACable(CheckappError):
    """Items asked for by name that are no cables, on a stock that goes round cables."""

    def __init__(self, items: Sequence[str], stock: str) -> None:
        self._items, self._stock = items, stock
        super().__init__(f"{len(items)} items are no cables")

    @property
    def lines(self) -> tuple[str, ...]:
        """One message for each item."""
        right = f"{self._stock} goes round a cable: leave it out of --items or take another --stock"
        return tuple(f"{item} is no cable; {right}" for item in self._items)


@dataclass(frozen=True, slots=True)
class Asked:
    """What is to be printed, and how.

    ``stock`` is the name of a stock in the user's ``labels`` folder or among those that came with the
    program; ``items`` are codes or tags as typed, None for all; ``url`` goes before each tag in the QR.
    ``start`` counts the labels of the first page from 1; the nudges are in mm. ``language`` is that of the words on the
    tags (ISO 639-1), None that which is spoken.
    """

    stock: str = ""
    items: Sequence[str] | None = None
    for_show: bool = False
    url: str | None = None
    start: int = 1
    right_mm: float = 0.0
    down_mm: float = 0.0
    language: str | None = None


AS_IT_COMES = Asked()
"""The asset tags of all items on the stock that is taken when none is named."""


def write_tags(plan: Path, out: Path | None, asked: Asked = AS_IT_COMES, png: Path | None = None) -> str:
    """Write the tags of a rig to a PDF, to a folder of pictures, or both; what was written, in words.

    Nothing is written before all is known to fit. Errors: `NowhereToPrint`, `WrongEnding`,
    `NotRoundACable`, `UnknownLanguage`, those of a plan, of a stock and of what is printed.
    """
    from checkapp.tags.sheet import check_where
    from checkapp.tags.stock import DEFAULT_STOCK, find_stock

    _check_outs(out, png, moved=where_of(asked) != where_of(AS_IT_COMES))
    stock = find_stock(asked.stock or DEFAULT_STOCK, places.folders("labels"))
    check_where(stock, where_of(asked))
    return write_rig_tags(load_plan(plan), stock, out, asked, png)


def write_rig_tags(rig: Rig, stock: "Stock", out: Path | None, asked: Asked, png: Path | None = None) -> str:
    """As `write_tags` for a rig that is open, on a stock that was read."""
    from checkapp.tags.label import labels_of
    from checkapp.tags.layout import NothingToPrint, layouts
    from checkapp.tags.link import link_of
    from checkapp.tags.stock import DEFAULT_STOCK

    link = link_of(asked.url) if asked.url is not None else ""
    name = asked.stock or DEFAULT_STOCK
    with in_language(asked.language):
        every = labels_of(rig, asked.items, for_show=asked.for_show, link=link)
    labels = [label for label in every if stock.takes(label.kind)]
    left_out = [label for label in every if not stock.takes(label.kind)]
    if left_out and asked.items is not None:
        raise NotRoundACable(list(dict.fromkeys(label.tag.code for label in left_out)), name)
    if left_out and not labels:
        raise NothingToPrint(f"no label to print: the rig has no cable, and {name} goes round a cable")
    with _progress(len(labels) * (1 + (out is not None) + (png is not None))) as step:
        drawn = layouts(labels, stock, step)
        with in_language(asked.language):
            pages = _write_pdf(rig, drawn, stock, out, where_of(asked), step) if out is not None else 0
        said = [f"{out}: {counted(len(drawn), 'tag')} on {counted(pages, 'page')}"] if out is not None else []
        said += [_write_pictures(labels, drawn, stock, png, step)] if png is not None else []
    bare = sum(not layout.codes for layout in drawn) if stock.kind == "wrap" else 0
    return "\n".join([*said, *_notes(labels, drawn, left_out, bare)])


def where_of(asked: Asked) -> "Where":
    """Where on a page printing starts, and the nudge."""
    from checkapp.tags.sheet import Where

    return Where(asked.start, asked.right_mm, asked.down_mm)


def title_of(rig: Rig) -> str:
    """What stands in the margin of each page: the rig and its version."""
    return tr("{rig}, version {version}", rig=rig.name, version=rig.version) if rig.version is not None else rig.name


def _check_outs(out: Path | None, png: Path | None, *, moved: bool) -> None:
    if out is None and png is None:
        raise NowhereToPrint("nowhere to print to; add --out FILE.pdf, or --png DIR for pictures")
    if out is None and moved:
        raise NowhereToPrint(
            "--start, --right and --down place labels on a page; pictures have none: add --out FILE.pdf"
        )
    if out is not None and out.suffix.lower() != ".pdf":
        raise WrongEnding(f"--out {printable(str(out))}: not a PDF; end it in .pdf")


def _write_pdf(rig: Rig, drawn: "Sequence[Layout]", stock: "Stock", out: Path, where: "Where", step: "Step") -> int:
    from checkapp.tags.sheet import write_pdf

    return write_pdf(drawn, stock, out, title_of(rig), where, step)


def _write_pictures(
    labels: "Sequence[Label]", drawn: "Sequence[Layout]", stock: "Stock", folder: Path, step: "Step"
) -> str:
    from checkapp.tags.picture import write_pictures

    write_pictures(labels, drawn, stock, folder, step)
    return f"{folder}: {counted(len(labels), 'picture')} of {stock.printer_dpi} dots an inch"


def _notes(
    labels: "Sequence[Label]", drawn: "Sequence[Layout]", left_out: "Sequence[Label]", bare: int
) -> Iterator[str]:
    """What a person would not see at once: items left out, wraps without a code, words cut, missing letter forms."""
    from checkapp.tags.label import without_glyphs

    if left_out:
        counts = Counter(label.kind for label in left_out)
        kinds = ", ".join(counted(count, kind) for kind, count in counts.items())
        yield tr("left out, for a wrap goes round a cable: {kinds}", kinds=kinds)
    if bare:
        yield trn(
            "without a QR, which would not be read round so thin a cable: {count} wrap; a flag has one",
            "without a QR, which would not be read round so thin a cable: {count} wraps; a flag has one",
            bare,
        )
    cut = sum(not layout.whole for layout in drawn)
    if cut:
        yield trn(
            "no room for all words on {count} tag; a larger label has it",
            "no room for all words on {count} tags; a larger label has it",
            cut,
        )
    missing = without_glyphs(labels)
    if missing:
        yield without_letters(missing)


@contextmanager
def _progress(steps: int) -> Iterator["Step"]:
    """A bar on standard error while tags are made, where that is a terminal; what is called for each step."""
    if not sys.stderr.isatty():
        yield lambda: None
        return
    from rich.console import Console
    from rich.progress import Progress

    with Progress(console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task("Tags", total=steps)
        yield lambda: bar.advance(task)
