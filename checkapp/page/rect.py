"""Points and upright rectangles: x to the right, y upward."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from math import floor

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Rect:
    """An upright rectangle."""

    left: float
    bottom: float
    right: float
    top: float

    @classmethod
    def around(cls, points: Iterable[Point]) -> "Rect":
        """The least rectangle that holds all points. ValueError: no point."""
        xs, ys = zip(*points, strict=True)
        return cls(min(xs), min(ys), max(xs), max(ys))

    @classmethod
    def around_all(cls, rects: Iterable["Rect"]) -> "Rect":
        """The least rectangle that holds all rectangles. ValueError: none."""
        return cls.around(point for rect in rects for point in ((rect.left, rect.bottom), (rect.right, rect.top)))

    @property
    def width(self) -> float:
        """From left to right."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """From bottom to top."""
        return self.top - self.bottom

    @property
    def middle(self) -> Point:
        """The point in its middle."""
        return (self.left + self.right) / 2, (self.bottom + self.top) / 2

    @property
    def corners(self) -> tuple[Point, Point, Point, Point]:
        """From the lower left one, with the clock."""
        return (self.left, self.bottom), (self.left, self.top), (self.right, self.top), (self.right, self.bottom)

    def grown(self, by: float) -> "Rect":
        """The same with every edge moved outward."""
        return Rect(self.left - by, self.bottom - by, self.right + by, self.top + by)

    def shifted(self, right: float, up: float) -> "Rect":
        """The same at another place."""
        return Rect(self.left + right, self.bottom + up, self.right + right, self.top + up)

    def moved(self, scale: float, right: float, up: float) -> "Rect":
        """The same at another scale and place."""
        return Rect(
            self.left * scale + right, self.bottom * scale + up, self.right * scale + right, self.top * scale + up
        )

    def overlaps(self, other: "Rect") -> bool:
        """Whether they share more than an edge."""
        return (
            self.left < other.right and other.left < self.right and self.bottom < other.top and other.bottom < self.top
        )

    def holds(self, other: "Rect", slack: float = 1e-9) -> bool:
        """Whether the other lies within."""
        inner = self.grown(slack)
        return (
            inner.left <= other.left
            and inner.bottom <= other.bottom
            and other.right <= inner.right
            and other.top <= inner.top
        )

    def nearest_to(self, point: Point) -> Point:
        """The point of the rectangle that is nearest."""
        return min(max(point[0], self.left), self.right), min(max(point[1], self.bottom), self.top)

    def crossed_by(self, start: Point, end: Point) -> bool:
        """Whether the straight line from one point to the other runs through its inside."""
        (x1, y1), (x2, y2) = start, end
        left, bottom, right, top = self.left, self.bottom, self.right, self.top
        if (x1 <= left and x2 <= left) or (x1 >= right and x2 >= right):
            return False
        if (y1 <= bottom and y2 <= bottom) or (y1 >= top and y2 >= top):
            return False
        dx, dy = x2 - x1, y2 - y1
        sides = [(x - x1) * dy - (y - y1) * dx for x, y in ((left, bottom), (left, top), (right, top), (right, bottom))]
        return min(sides) < -1e-9 and max(sides) > 1e-9


class Crowd:
    """Many rectangles, found by where they are."""

    def __init__(self, rects: Iterable[Rect] = (), side: float = 8.0) -> None:
        self._side = side
        self._cells: dict[tuple[int, int], list[Rect]] = {}
        self.top = float("-inf")
        for rect in rects:
            self.add(rect)

    def add(self, rect: Rect) -> None:
        """One more."""
        self.top = max(self.top, rect.top)
        for cell in self._over(rect):
            self._cells.setdefault(cell, []).append(rect)

    def touches(self, rect: Rect) -> bool:
        """Whether any of them overlaps this one."""
        cells = self._cells
        return any(rect.overlaps(other) for cell in self._over(rect) if cell in cells for other in cells[cell])

    def crossed_by(self, start: Point, end: Point) -> Rect | None:
        """One of those that the straight line from one point to the other runs through, if there is any."""
        cells = self._cells
        for cell in self._along(start, end):
            for rect in cells.get(cell, ()):
                if rect.crossed_by(start, end):
                    return rect
        return None

    def _along(self, start: Point, end: Point) -> Iterator[tuple[int, int]]:
        """The cells that a straight line goes through, column by column, and some that it only nears."""
        (x1, y1), (x2, y2) = sorted((start, end))
        side = self._side
        for column in range(floor(x1 / side), floor(x2 / side) + 1):
            first, last = max(x1, column * side), min(x2, (column + 1) * side)
            slope = (y2 - y1) / (x2 - x1) if x2 > x1 else 0.0
            ends = (y1 + slope * (first - x1), y1 + slope * (last - x1)) if x2 > x1 else (y1, y2)
            for row in range(floor(min(ends) / side - 1e-9), floor(max(ends) / side + 1e-9) + 1):
                yield column, row

    def _over(self, rect: Rect) -> Iterator[tuple[int, int]]:
        left, right = floor(rect.left / self._side), floor(rect.right / self._side)
        low, high = floor(rect.bottom / self._side), floor(rect.top / self._side)
        for column in range(left, right + 1):
            for row in range(low, high + 1):
                yield column, row
