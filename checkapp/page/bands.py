"""Bands: what stands across a page from left to right, one below the other, and how they fall onto pages.

A band's shapes are about its upper left corner: x from the left edge of the column, y upward, so that all of it lies
below 0. Millimetres.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace

from checkapp.page.drawing import ASCENT, DESCENT, Shape, Tone
from checkapp.page.pen import Pen

LEADING = 1.28
"""From one line of type to the next, in parts of the size."""


@dataclass(frozen=True, slots=True)
class Band:
    """Shapes of a given height. ``keep`` binds it to the next band, ``head`` is said again where a page begins with it.

    ``shown`` names what it shows without a word for it that needs a caution on its page.
    """

    height: float
    shapes: tuple[Shape, ...] = ()
    keep: bool = False
    head: tuple["Band", ...] = ()
    shown: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class NewPage:
    """A new page begins, of a section of that name."""

    section: str


@dataclass(slots=True)
class Page:
    """The bands of one page and the section that it belongs to."""

    section: str
    bands: list[Band] = field(default_factory=list)

    @property
    def height(self) -> float:
        """Height of all its bands."""
        return sum(band.height for band in self.bands)

    @property
    def shown(self) -> frozenset[str]:
        """All that its bands show without a word for it."""
        return frozenset().union(*(band.shown for band in self.bands))


def lines_of(
    pen: Pen, text: str, width: float, size: float, *, bold: bool = False, tone: Tone = "ink", lines: int = 0
) -> list[Band]:
    """``text`` wrapped to a width, a band for each line; with ``lines`` no more than so many."""
    base = -(LEADING + ASCENT - DESCENT) / 2 * size
    return [
        Band(LEADING * size, (pen.words(line, (0.0, base), size, bold=bold, tone=tone),))
        for line in pen.wrapped(text, size, width, bold=bold, lines=lines)
    ]


def space(height: float) -> Band:
    """White."""
    return Band(height)


def kept(bands: Sequence[Band]) -> list[Band]:
    """The same, bound together and to what follows."""
    return [replace(band, keep=True) for band in bands]


def together(bands: Sequence[Band]) -> list[Band]:
    """The same, bound together."""
    return [*kept(bands[:-1]), *bands[-1:]]


def showing(bands: Iterable[Band], what: str) -> list[Band]:
    """The same, showing this as well."""
    return [replace(band, shown=band.shown | {what}) for band in bands]


def indented(bands: Iterable[Band], by: float) -> list[Band]:
    """The same, moved to the right."""
    return [replace(band, shapes=tuple(shape.moved(1.0, by, 0.0) for shape in band.shapes)) for band in bands]


def side_by_side(left: Sequence[Band], right: Sequence[Band], at: float) -> list[Band]:
    """Two columns of bands, line by line beside each other, the right one beginning at ``at``."""
    found = []
    for number in range(max(len(left), len(right))):
        pair = [bands[number] for bands in (left, indented(right, at)) if number < len(bands)]
        height = max(band.height for band in pair)
        found.append(Band(height, tuple(shape for band in pair for shape in band.shapes)))
    return found


def placed(bands: Iterable[Band], left: float, top: float) -> Iterator[Shape]:
    """The shapes of bands, one below the other from ``top``."""
    for band in bands:
        yield from (shape.moved(1.0, left, top) for shape in band.shapes)
        top -= band.height


def paged(items: Iterable[Band | NewPage], height: float) -> list[Page]:
    """Let bands fall onto pages of that height; a `NewPage` comes first.

    Bands that are bound together stay on one page where they fit; a page that begins within a table has its head again.
    """
    pages: list[Page] = []
    for group in _groups(items):
        if isinstance(group, NewPage):
            pages.append(Page(group.section))
            continue
        page = pages[-1]
        if page.bands and page.height + sum(band.height for band in group) > height + 1e-6:
            page = Page(page.section, list(group[0].head))
            pages.append(page)
        for band in group:
            if page.bands and page.height + band.height > height + 1e-6:
                page = Page(page.section, list(band.head))
                pages.append(page)
            page.bands.append(band)
    return pages


def _groups(items: Iterable[Band | NewPage]) -> Iterator[NewPage | list[Band]]:
    group: list[Band] = []
    for item in items:
        if isinstance(item, NewPage):
            if group:
                yield group
            group = []
            yield item
            continue
        group.append(item)
        if not item.keep:
            yield group
            group = []
    if group:
        yield group
