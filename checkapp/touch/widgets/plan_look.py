"""Where a drawing lies in its place on the screen, how it is moved and zoomed, what a finger finds: no toolkit."""

import math
from collections.abc import Collection, Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from checkapp.page.drawing import Spot
    from checkapp.page.rect import Point, Rect


@dataclass(frozen=True, slots=True)
class Look:
    """A point x, y of the drawing lies at x * scale + right, y * scale + up, in pixels from the lower left corner."""

    scale: float
    right: float
    up: float

    def at(self, point: "Point") -> "Point":
        """Where a point of the drawing lies."""
        return point[0] * self.scale + self.right, point[1] * self.scale + self.up

    def moved(self, right: float, up: float) -> "Look":
        """Dragged so many pixels."""
        return Look(self.scale, self.right + right, self.up + up)

    def limited(self, factor: float, least: float, most: float) -> float:
        """The factor, or as much of it as leaves the scale between the two."""
        return min(max(self.scale * factor, least), max(least, most)) / self.scale

    def closer(self, factor: float, about: "Point") -> "Look":
        """Zoomed so that what lies at ``about`` stays there."""
        x, y = about
        return Look(self.scale * factor, x - (x - self.right) * factor, y - (y - self.up) * factor)


@dataclass(frozen=True, slots=True)
class Place:
    """A drawing's extent, and the width and height in pixels of the place where it is shown."""

    extent: "Rect"
    width: float
    height: float

    def whole(self) -> Look:
        """The whole drawing, as large as goes in, in the middle."""
        scale = min(self.width / self.extent.width, self.height / self.extent.height)
        x, y = self.extent.middle
        return Look(scale, self.width / 2 - x * scale, self.height / 2 - y * scale)

    def kept(self, look: Look) -> Look:
        """The nearest look of the same scale that leaves no edge bare; what is smaller than its place in its middle."""
        extent, scale = self.extent, look.scale
        right = _inside(look.right, extent.left * scale, extent.right * scale, self.width)
        up = _inside(look.up, extent.bottom * scale, extent.top * scale, self.height)
        return Look(scale, right, up)

    def is_whole(self, look: Look) -> bool:
        """Whether the look shows all there is."""
        return look.scale <= self.whole().scale * 1.001


def _inside(by: float, low: float, high: float, room: float) -> float:
    """The shift nearest to ``by`` at which low to high covers the room, or stands in its middle if it is less."""
    if high - low <= room:
        return (room - low - high) / 2
    return min(max(by, room - high), -low)


@dataclass(frozen=True, slots=True)
class Pinch:
    """Two fingers that moved: how much farther apart they are, about what middle, and how far that went."""

    factor: float
    about: "Point"
    right: float
    up: float


def pinch(before: "tuple[Point, Point]", after: "tuple[Point, Point]") -> Pinch:
    """What two fingers did between two moments."""
    (x1, y1), (x2, y2) = _middle(before), _middle(after)
    return Pinch(math.dist(*after) / max(1.0, math.dist(*before)), (x1, y1), x2 - x1, y2 - y1)


def _middle(points: "tuple[Point, Point]") -> "Point":
    (x1, y1), (x2, y2) = points
    return (x1 + x2) / 2, (y1 + y2) / 2


def found(spots: "Iterable[Spot]", first: Collection[str], look: Look, at: "Point", target: float) -> str | None:
    """The item that a finger means; None where nothing is near.

    Every spot counts as at least ``target`` wide and high. A finger on a spot means that; beside one it means the
    nearest of those that come ``first`` (boxes), failing that the nearest of the rest.
    """
    ranked = []
    for spot in spots:
        rect = spot.rect.moved(look.scale, look.right, look.up)
        (x, y), off = rect.middle, math.dist(rect.nearest_to(at), at)
        if 2 * abs(at[0] - x) <= max(rect.width, target) and 2 * abs(at[1] - y) <= max(rect.height, target):
            ranked.append((off > 0, spot.item not in first, off, math.dist(rect.middle, at), spot.item))
    return min(ranked)[-1] if ranked else None
