"""Plain rectangles: grounds, bars and frames, all of one colour in one go; where there are none nothing is painted."""

from collections.abc import Sequence
from typing import Any, Final

from kivy.factory import Factory
from kivy.graphics import Mesh

Place = tuple[float, float, float, float]
"""Left, bottom, width and height in pixels."""
_CORNERS: Final = (0, 1, 2, 0, 2, 3)
"""The two triangles of a rectangle, by its corners from the lower left one round."""


class Fills(Mesh):
    """Fills ``places`` with the colour of now. In layouts it is an instruction like any other."""

    def __init__(self, places: Sequence[Place] = (), **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.mode = "triangles"
        self._places: tuple[Place, ...] = ()
        self.places = places

    @property
    def places(self) -> Sequence[Place]:
        """The rectangles."""
        return self._places

    @places.setter
    def places(self, places: Sequence[Place]) -> None:
        there = tuple(place for place in places if place[2] > 0 and place[3] > 0)
        if there != self._places:
            self._places = there
            self.vertices = [number for place in there for number in _corners_of(*place)]
            self.indices = [4 * count + corner for count in range(len(there)) for corner in _CORNERS]


def frame_of(x: float, y: float, wide: float, high: float, thick: float) -> tuple[Place, ...]:
    """The four sides of a frame inside a place; no two of them overlap, so that it is even where it lets light through.

    One that is no larger than its sides are thick has none.
    """
    inner = high - 2 * thick
    if inner <= 0 or wide <= 2 * thick:
        return ()
    return (
        (x, y, wide, thick),
        (x, y + high - thick, wide, thick),
        (x, y + thick, thick, inner),
        (x + wide - thick, y + thick, thick, inner),
    )


def around(outer: Place, inner: Place) -> tuple[Place, ...]:
    """What is left of a place around another one inside it; all of it around one of no size."""
    (x, y, wide, high), (left, low, inner_wide, inner_high) = outer, inner
    if inner_wide <= 0 or inner_high <= 0:
        return (outer,)
    right, top = left + inner_wide, low + inner_high
    return (
        (x, y, wide, low - y),
        (x, top, wide, y + high - top),
        (x, low, left - x, inner_high),
        (right, low, x + wide - right, inner_high),
    )


def _corners_of(x: float, y: float, wide: float, high: float) -> tuple[float, ...]:
    right, top = x + wide, y + high
    return (x, y, 0, 0, right, y, 0, 0, right, top, 0, 0, x, top, 0, 0)


Factory.register("Fills", cls=Fills)
