"""A drawing as plain data: strokes, plates, words and marks, whatever it is drawn with.

All measures of one drawing are in one unit (metres on a stage plan, millimetres on a page), sizes of type and widths
of strokes as well, so that a renderer has one factor to apply and nothing that does not overlap here overlaps there.
x runs to the right, y upward. Ink is all but black, never a colour: a drawing says everything in shape and word.
"""

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Final, Literal

from checkapp.page.rect import Point, Rect

Align = Literal["left", "middle", "right"]
Level = Literal["stop", "caution", "note"]
Style = Literal["solid", "dashed", "dotted", "dash-dot"]
Tone = Literal["ink", "quiet", "faint", "paper"]
GREYS: Final[dict[Tone, float]] = {"ink": 0.0, "quiet": 0.32, "faint": 0.75, "paper": 1.0}
"""The tones as printed: 0 black, 1 white. Text is ink or quiet, 7:1 against paper or better."""
ASCENT, DESCENT = 0.927, 0.244
"""From the base of a line of type to its top and bottom, in parts of the size (Roboto's own figures)."""
CAP_HEIGHT = 0.711
"""Height of a capital, likewise."""
_PATTERNS: Final[dict[Style, tuple[float, ...]]] = {
    "solid": (),
    "dashed": (6.0, 4.0),
    "dotted": (1.0, 2.2),
    "dash-dot": (7.0, 2.6, 1.2, 2.6),
}


@dataclass(frozen=True, slots=True)
class Stroke:
    """A line along ``points``."""

    points: tuple[Point, ...]
    width: float
    style: Style = "solid"
    tone: Tone = "ink"

    def dashes(self) -> Iterator[tuple[Point, ...]]:
        """The stretches that are inked, each a line of its own; for a solid stroke the stroke itself."""
        pattern = [part * self.width for part in _PATTERNS[self.style]]
        if not pattern:
            yield self.points
            return
        yield from _dashed(self.points, pattern)

    @property
    def rect(self) -> Rect:
        """The room it takes."""
        return Rect.around(self.points).grown(self.width / 2)

    def moved(self, scale: float, right: float, up: float) -> "Stroke":
        """The same at another scale and place."""
        return replace(self, points=_moved(self.points, scale, right, up), width=self.width * scale)


@dataclass(frozen=True, slots=True)
class Area:
    """A filled polygon."""

    points: tuple[Point, ...]
    tone: Tone = "ink"

    @property
    def rect(self) -> Rect:
        """The room it takes."""
        return Rect.around(self.points)

    def moved(self, scale: float, right: float, up: float) -> "Area":
        """The same at another scale and place."""
        return replace(self, points=_moved(self.points, scale, right, up))


@dataclass(frozen=True, slots=True)
class Plate:
    """A rectangle with an outline, filled; an ``open`` one has no lower edge, as a desk is drawn."""

    rect: Rect
    width: float
    fill: Tone = "paper"
    open: bool = False
    style: Style = "solid"

    def parts(self) -> tuple[Area, Stroke]:
        """The ground and the outline."""
        r = self.rect
        corners = ((r.left, r.bottom), (r.left, r.top), (r.right, r.top), (r.right, r.bottom))
        outline = corners if self.open else (*corners, corners[0], corners[1])
        return Area(corners, self.fill), Stroke(outline, self.width, self.style)

    def moved(self, scale: float, right: float, up: float) -> "Plate":
        """The same at another scale and place."""
        return replace(self, rect=self.rect.moved(scale, right, up), width=self.width * scale)


@dataclass(frozen=True, slots=True)
class Words:
    """One line of type on the base ``y``; ``x`` is its left end, middle or right end as ``align`` says.

    ``width`` is its width as measured, ``ground`` says that the paper shows round it instead of what is drawn below.
    """

    text: str
    x: float
    y: float
    size: float
    width: float
    bold: bool = False
    align: Align = "left"
    tone: Tone = "ink"
    ground: bool = False

    @property
    def left(self) -> float:
        """Its left end."""
        return self.x - {"left": 0.0, "middle": self.width / 2, "right": self.width}[self.align]

    @property
    def rect(self) -> Rect:
        """The room it takes, from the top of its highest letters to the foot of its lowest."""
        left = self.left
        return Rect(left, self.y - DESCENT * self.size, left + self.width, self.y + ASCENT * self.size)

    def moved(self, scale: float, right: float, up: float) -> "Words":
        """The same at another scale and place."""
        return replace(
            self,
            x=self.x * scale + right,
            y=self.y * scale + up,
            size=self.size * scale,
            width=self.width * scale,
        )


@dataclass(frozen=True, slots=True)
class Mark:
    """The shape of a finding's level in a square of that ``side`` about the middle ``x, y``.

    A stop is a square on its corner with a bar through it, a caution a triangle, a note a short
    stroke: it is no status, and must not look like the ring of what is open.
    """

    level: Level
    x: float
    y: float
    side: float

    @property
    def rect(self) -> Rect:
        """The room it takes."""
        half = self.side / 2
        return Rect(self.x - half, self.y - half, self.x + half, self.y + half)

    def parts(self) -> tuple["Area | Stroke", ...]:
        """What it is drawn of."""
        x, y, half = self.x, self.y, self.side / 2
        if self.level == "stop":
            corners = ((x - half, y), (x, y + half), (x + half, y), (x, y - half))
            bar = Rect(x - 0.56 * half, y - 0.16 * half, x + 0.56 * half, y + 0.16 * half)
            return Area(corners), Area(bar.corners, "paper")
        if self.level == "caution":
            return (Area(((x - half, y - 0.88 * half), (x, y + 0.88 * half), (x + half, y - 0.88 * half))),)
        return (Stroke(((x - 0.8 * half, y), (x + 0.8 * half, y)), 0.2 * self.side),)

    def moved(self, scale: float, right: float, up: float) -> "Mark":
        """The same at another scale and place."""
        return Mark(self.level, self.x * scale + right, self.y * scale + up, self.side * scale)


Shape = Stroke | Area | Plate | Words | Mark


@dataclass(frozen=True, slots=True)
class Spot:
    """The place of an item, to be tapped: its name as the rig has it, and where it is."""

    item: str
    rect: Rect


@dataclass(frozen=True, slots=True)
class Drawing:
    """Shapes, the first one lowest, within an extent; ``spots`` say what stands where."""

    extent: Rect
    shapes: tuple[Shape, ...]
    spots: tuple[Spot, ...] = ()

    def within(self, room: Rect) -> "Drawing":
        """The whole drawing as large as the room takes it, in its middle."""
        scale = min(room.width / self.extent.width, room.height / self.extent.height)
        right = (room.left + room.right - scale * (self.extent.left + self.extent.right)) / 2
        up = (room.bottom + room.top - scale * (self.extent.bottom + self.extent.top)) / 2
        return self.moved(scale, right, up)

    def moved(self, scale: float, right: float, up: float) -> "Drawing":
        """The same at another scale and place."""
        shapes = tuple(shape.moved(scale, right, up) for shape in self.shapes)
        spots = tuple(Spot(spot.item, spot.rect.moved(scale, right, up)) for spot in self.spots)
        return Drawing(self.extent.moved(scale, right, up), shapes, spots)

    def parts(self) -> Iterator[Area | Stroke | Words]:
        """All that is to be drawn, in order, as areas, strokes and words; the ground of words as areas."""
        for shape in self.shapes:
            if isinstance(shape, Plate | Mark):
                yield from shape.parts()
            elif isinstance(shape, Words) and shape.ground:
                yield Area(shape.rect.grown(0.12 * shape.size).corners, "paper")
                yield shape
            else:
                yield shape


def _moved(points: Iterable[Point], scale: float, right: float, up: float) -> tuple[Point, ...]:
    return tuple((x * scale + right, y * scale + up) for x, y in points)


def _dashed(points: tuple[Point, ...], pattern: list[float]) -> Iterator[tuple[Point, ...]]:
    """Walk along the points, ink the even parts of the pattern."""
    part, left = 0, pattern[0]
    inked: list[Point] = [points[0]]
    for start, end in pairwise(points):
        length = math.dist(start, end)
        gone = 0.0
        while length - gone > left:
            gone += left
            at = (start[0] + (end[0] - start[0]) * gone / length, start[1] + (end[1] - start[1]) * gone / length)
            if part % 2 == 0:
                yield (*inked, at)
            part = (part + 1) % len(pattern)
            left = pattern[part]
            inked = [at]
        left -= length - gone
        inked.append(end)
    if part % 2 == 0 and len(inked) > 1:
        yield tuple(inked)
