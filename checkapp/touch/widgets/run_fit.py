"""How large a run is drawn in the place that it has: plain choice, no toolkit.

As large as goes in on one row, or in several that leave some air; failing that as large as goes in. A
run for which even the smallest type is too large is shown page by page, in whole rows, the source's end first.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from checkapp.touch.widgets.run_layout import Row, is_barred, lay_out

if TYPE_CHECKING:
    from checkapp.show.views import RunItem

_AIRY: Final = 2 / 3
"""Share of its place that a run of several rows takes where it can be chosen."""
BAR: Final = 2.0
"""Height of the bar of what is surely to blame, in sizes of the type."""
WidthOf = Callable[[str, float], float]
LineHeight = Callable[[float], float]


@dataclass(frozen=True, slots=True)
class Type:
    """Type in which codes are written.

    ``sizes_px``, largest first. ``width_of`` gives the width of a code in a size, ``line_height`` the height of a line.
    """

    sizes_px: tuple[float, ...]
    width_of: WidthOf
    line_height: LineHeight

    def rows(self, items: Sequence["RunItem"], size_px: float, width_px: float) -> tuple[Row, ...]:
        """The rows of a run in this size."""
        return lay_out(items, width_px, size_px * 0.5, lambda code: self.width_of(code, size_px))

    def row_height(self, row: Row, size_px: float) -> float:
        """Height of a row: bars, a code above the stroke, the stroke with its plates, a code below, supplies below."""
        hung = any(place.hung for place in row)
        return self.bars_height(row, size_px) + self.line_height(size_px) * (3 if hung else 2) + size_px

    def bars_height(self, row: Row, size_px: float) -> float:
        """Height of the bars of a row with their numbers; none where it has no bar."""
        return BAR * size_px + self.line_height(size_px) if is_barred(row) else 0.0

    def height(self, rows: Sequence[Row], size_px: float) -> float:
        """Height of some rows."""
        return sum(self.row_height(row, size_px) for row in rows)


@dataclass(frozen=True, slots=True)
class Fit:
    """A run as it is drawn: the size of its codes, and its rows page by page."""

    size_px: float
    pages: tuple[tuple[Row, ...], ...]


def fit(items: Sequence["RunItem"], width_px: float, room_px: float, aside_px: float, kind: Type) -> Fit:
    """The run in a place of that width and height; pages leave ``aside_px`` of the width free."""
    tried: dict[float, tuple[Row, ...]] = {}
    for share in (_AIRY, 1.0):
        for size in kind.sizes_px:
            rows = tried.get(size) or tried.setdefault(size, kind.rows(items, size, width_px))
            if kind.height(rows, size) <= (room_px if len(rows) <= 1 else share * room_px):
                return Fit(size, (rows,))
    least = kind.sizes_px[-1]
    return Fit(least, _pages(kind.rows(items, least, width_px - aside_px), room_px, least, kind))


def least_height(items: Sequence["RunItem"], width_px: float, aside_px: float, kind: Type) -> float:
    """The least height of a place for the run: that of its highest row in the smallest type."""
    least = kind.sizes_px[-1]
    rows = kind.rows(items, least, width_px - aside_px)
    if len(rows) > 1:  # on one row there, it is the same row in more width
        rows += kind.rows(items, least, width_px)
    return max((kind.row_height(row, least) for row in rows if row), default=0.0)


def _pages(rows: Sequence[Row], room_px: float, size_px: float, kind: Type) -> tuple[tuple[Row, ...], ...]:
    pages: list[list[Row]] = [[]]
    for row in rows:
        if pages[-1] and kind.height([*pages[-1], row], size_px) > room_px:
            pages.append([])
        pages[-1].append(row)
    return tuple(tuple(page) for page in pages)
