"""Points and upright rectangles: x to the right, y upward."""

from collections.abc import Iterable
from dataclasses import dataclass

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
        first, last = 0.0, 1.0
        for at, by, low, high in (
            (start[0], end[0] - start[0], self.left, self.right),
            (start[1], end[1] - start[1], self.bottom, self.top),
        ):
            if abs(by) < 1e-12:
                if not low < at < high:
                    return False
                continue
            enter, leave = sorted(((low - at) / by, (high - at) / by))
            first, last = max(first, enter), min(last, leave)
        return last - first > 1e-9
