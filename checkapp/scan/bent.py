"""Codes that are bent round a cable, drawn flat again.

A reader takes a code for a flat square seen from some side. Round a cable its rows along the cable stay straight, but
the way from one row to the next is that of a circle: rows are closer the more they turn away, and where the cable leans
towards the camera they are shifted along it. How far the code is rolled and the cable leant is not known, so a few ways
are tried; the code's error correction tells which was right.
"""

from collections.abc import Iterator
from itertools import pairwise
from math import cos, radians, sin
from typing import Final

from PIL import Image

Point = tuple[float, float]
Corners = tuple[Point, Point, Point, Point]
"""In pixels right and down, from a code's own top left corner round to its bottom left."""

_SIDE_PX: Final = 120
"""Of the code drawn flat: some 6 pixels a module of the smallest, and it is white around by a fifth of that."""
_WHITE_PX: Final = 24
_STRIPS: Final = 14
_HALF_ARC: Final = 0.57
"""Half of the angle that a code goes round its cable, in radians: a wrap's code is a little under 0.6 of the jacket's
diameter high, and so half of it the same part of the radius."""
_ROLLS: Final = tuple(radians(degrees) for degrees in (0, -12, 12, -22, 22))
_LEANS: Final = (0.0, 0.2, -0.2, 0.4, -0.4, 0.6, -0.6)
"""Tangents of the cable's lean."""


def flattened(grey: Image.Image, corners: Corners) -> Iterator[Image.Image]:
    """The code at these corners drawn flat, for each way in which it may be bent, likely ones first.

    The cable lies along the code's rows.
    """
    for roll in _ROLLS:
        for lean in _LEANS:
            yield _flat(grey, _Bend(corners, roll, lean))


class _Bend:
    """Where a code's points are in the picture when it is rolled by so many radians on a cable of that lean."""

    def __init__(self, corners: Corners, roll: float, lean: float) -> None:
        self._at, right, _, down = corners
        self._along = right[0] - self._at[0], right[1] - self._at[1]
        self._round = down[0] - self._at[0], down[1] - self._at[1]
        self._roll, self._lean = roll, lean
        top, bottom = self._angle(0.0), self._angle(1.0)
        self._sines, self._cosines = (sin(top), sin(bottom)), (cos(top), cos(bottom))

    def _angle(self, row: float) -> float:
        return (2 * row - 1) * _HALF_ARC - self._roll

    def point(self, column: float, row: float) -> Point:
        """The place of a point of the code, both from 0 to 1 across it; beyond it goes on round the cable."""
        angle = self._angle(row)
        down = (sin(angle) - self._sines[0]) / (self._sines[1] - self._sines[0])
        straight = self._cosines[0] + (self._cosines[1] - self._cosines[0]) * down
        right = column + self._lean * (cos(angle) - straight) / (2 * _HALF_ARC)
        return (
            self._at[0] + right * self._along[0] + down * self._round[0],
            self._at[1] + right * self._along[1] + down * self._round[1],
        )


def _flat(grey: Image.Image, bend: _Bend) -> Image.Image:
    """The code with its white as strips of rows, each drawn straight."""
    side = _SIDE_PX + 2 * _WHITE_PX
    left, right = -_WHITE_PX / _SIDE_PX, 1 + _WHITE_PX / _SIDE_PX
    edges = [round(strip * side / _STRIPS) for strip in range(_STRIPS + 1)]
    mesh = []
    for top_px, bottom_px in pairwise(edges):
        top, bottom = ((edge - _WHITE_PX) / _SIDE_PX for edge in (top_px, bottom_px))
        seen = (bend.point(left, top), bend.point(left, bottom), bend.point(right, bottom), bend.point(right, top))
        mesh.append(((0, top_px, side, bottom_px), tuple(value for point in seen for value in point)))
    return grey.transform((side, side), Image.Transform.MESH, mesh, Image.Resampling.BILINEAR, fillcolor=255)
