"""Where the items of a run go: plain geometry, no toolkit.

A run is a level stroke from source (left) to desk (right). Cables are the stroke itself with their code on it, so are
chains; everything else has its code under it; a supply hangs below its box. Codes above the stroke and codes under it
do not get in each other's way, so a run is shorter than the sum of its codes. A run that is longer than its place goes
on in a further row. On items that may be to blame stand bars, as high as that is likely, each with its number.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from checkapp.show.views import RunItem

STROKES: Final = frozenset({"cable", "hop", "chain"})
HUNG: Final = "supply"
_BODY: Final = {"source": 1.0, "port": 0.5, "box": 3.0, "desk": 1.5, "cable": 3.0, "hop": 3.0, "chain": 3.0}


@dataclass(frozen=True, slots=True)
class Place:
    """One item in its row: its stretch of the stroke, from ``left`` to ``right``, and its code's width, all in pixels.

    The code stands in the middle: above the stroke for what is a stroke, under it for everything else. ``hung`` holds
    the supply below a box. ``bar_width`` is that of the number on the bar, which stands above the stroke in any case.
    """

    item: "RunItem"
    left: float
    right: float
    code_width: float
    hung: "RunItem | None" = None
    hung_width: float = 0.0
    bar_width: float = 0.0

    @property
    def middle(self) -> float:
        """Where the code stands."""
        return (self.left + self.right) / 2

    @property
    def above(self) -> bool:
        """Whether the code stands on the stroke."""
        return self.item.kind in STROKES

    @property
    def code_left(self) -> float:
        """Where the code, or the wider one of box and supply, begins."""
        return self.middle - max(self.code_width, self.hung_width) / 2

    @property
    def code_right(self) -> float:
        """Where the code, or the wider one of box and supply, ends."""
        return self.middle + max(self.code_width, self.hung_width) / 2

    @property
    def half_above(self) -> float:
        """Half the width of what stands above the stroke."""
        return max(self.code_width, self.hung_width) / 2 if self.above else self.bar_width / 2

    def moved(self, by: float, longer: float = 0.0) -> "Place":
        """The same place, moved to the right and made longer."""
        left, right = self.left + by, self.right + by + longer
        return Place(self.item, left, right, self.code_width, self.hung, self.hung_width, self.bar_width)


Row = tuple[Place, ...]


def is_barred(row: Row) -> bool:
    """Whether a bar stands on any item of the row."""
    return any(place.item.share_words for place in row)


def lay_out(items: Sequence["RunItem"], width: float, unit: float, width_of: Callable[[str], float]) -> tuple[Row, ...]:
    """The rows of a run in a place ``width`` pixels wide.

    ``unit`` is the measure in pixels, ``width_of`` gives the width of a code in pixels.
    """
    rows: list[list[Place]] = [[]]
    for place in _bodies(items, unit, width_of):
        row = rows[-1]
        moved = place.moved(_after(row, place, unit))
        if row and max(moved.right, moved.code_right) > width:
            rows.append([place.moved(_after([], place, unit))])
        else:
            row.append(moved)
    return tuple(_stretch(row, width) for row in rows)


def _bodies(items: Sequence["RunItem"], unit: float, width_of: Callable[[str], float]) -> list[Place]:
    places: list[Place] = []
    for item in items:
        if item.kind == HUNG and places:
            places[-1] = replace(places[-1], hung=item, hung_width=width_of(hung_words(item)) + 2 * unit)
        else:
            bar = width_of(item.share_words) if item.share_words else 0.0
            wide = max(width_of(item.label), bar)
            places.append(Place(item, 0.0, _BODY.get(item.kind, 1.0) * unit, wide, bar_width=bar))
    return places


def hung_words(item: "RunItem") -> str:
    """What stands beside a supply: its code, and how likely it is to blame, for no bar can stand on it."""
    return f"{item.label}  {item.share_words}" if item.share_words else item.label


def _after(row: Sequence[Place], place: Place, unit: float) -> float:
    """How far right ``place``, which stands at 0, must move to stand after the row."""
    least = max(0.0, (0.6 * unit if place.hung else 0.0) - place.code_left)
    if row:
        least = max(least, row[-1].right + (0.0 if place.above or row[-1].above else unit))
    for before in row:
        if before.above == place.above or (before.item.share_words and place.item.share_words):
            least = max(least, before.code_right + unit - place.code_left)
        elif before.half_above and place.half_above:
            gap = before.half_above + place.half_above + unit / 2
            least = max(least, before.middle + gap - place.middle)
    return least


def _stretch(row: Sequence[Place], width: float) -> Row:
    """The row made as long as its place, by its cables; without cables it stays short."""
    end = max((max(place.right, place.code_right) for place in row), default=0.0)
    cables = sum(place.above for place in row)
    longer = max(0.0, width - end) / cables if cables else 0.0
    done: list[Place] = []
    by = 0.0
    for place in row:
        done.append(place.moved(by, longer if place.above else 0.0))
        by += longer if place.above else 0.0
    return tuple(done)
