"""A drawing painted into a canvas in the colours of the theme."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise
from typing import Any, Final

from kivy.core.text import Label as CoreLabel
from kivy.graphics import Color, Mesh, Rectangle

from checkapp.page.drawing import CAP_HEIGHT, DESCENT, Area, Mark, Plate, Shape, Stroke, Words
from checkapp.page.rect import Point, Rect
from checkapp.touch.listing import LEVEL_MARKS
from checkapp.touch.theme import theme
from checkapp.touch.widgets.mark import draw_mark

FAINT: Final = 0.4
_LEAST_WORDS: Final = 0.5
"""Words below this size, in that of notes, are left out."""
_LEAST_MARK: Final = 0.9
"""Marks are at least so large, in the size of notes."""
_MOST_CORNERS: Final = 16000

_Type = tuple[str, float, bool]
_WRITTEN: Final[dict[_Type, Any]] = {}
"""The words that were painted last, as pictures: while a drawing is dragged they are the same from frame to frame."""


def tone_of(shape: Area | Stroke | Words) -> Any:
    """The colour of a tone: ink is text, paper the ground."""
    if shape.tone == "faint":
        return (*theme.quiet[:3], FAINT)
    return {"ink": theme.text, "quiet": theme.quiet, "paper": theme.ground}[shape.tone]


def paint(shapes: Sequence[Shape], least_px: float) -> None:
    """Paint shapes whose measures are pixels, called with a canvas as context; strokes are ``least_px`` or wider.

    Words too small to be read are left out; a plate's code then takes the room that they had.
    """
    brush, written = _Brush(), dict[_Type, Any]()
    for shape in _legible(shapes):
        if isinstance(shape, Plate):
            ground, outline = shape.parts()
            brush.fill(ground.points, theme.panel)
            _stroke(brush, outline, least_px)
        elif isinstance(shape, Mark):
            brush.flush()
            tint, side = theme.of(LEVEL_MARKS[shape.level]), max(shape.side, _LEAST_MARK * theme.note_px)
            draw_mark(LEVEL_MARKS[shape.level], shape.x - side / 2, shape.y - side / 2, side, tint, theme.ground)
        elif isinstance(shape, Words):
            _write(brush, shape, written)
        elif isinstance(shape, Area):
            brush.fill(shape.points, tone_of(shape))
        else:
            _stroke(brush, shape, least_px)
    brush.flush()
    if written:
        _WRITTEN.clear()
        _WRITTEN.update(written)


def _legible(shapes: Sequence[Shape]) -> Iterator[Shape]:
    """The shapes without words too small to be read, nor the ground of those; a code left alone on its plate larger."""
    for before, shape, after in zip((None, *shapes), shapes, (*shapes[1:], None), strict=False):
        if isinstance(shape, Words):
            alone = isinstance(before, Plate) and before.rect.holds(shape.rect) and not _drawn(after, before.rect)
            if alone and isinstance(before, Plate) and shape.size < theme.note_px:
                yield _code_alone(shape, before.rect)
            elif not _is_small(shape):
                yield shape
        elif not (isinstance(shape, Area) and shape.tone == "paper" and isinstance(after, Words) and _is_small(after)):
            yield shape


def _is_small(words: Words) -> bool:
    return bool(words.size < _LEAST_WORDS * theme.note_px)


def _drawn(shape: Shape | None, plate: Rect) -> bool:
    """Whether that is words on the plate that can be read."""
    return isinstance(shape, Words) and plate.holds(shape.rect) and not _is_small(shape)


def _code_alone(words: Words, plate: Rect) -> Words:
    """A code as large as its plate takes it, up to the size of notes, in the plate's middle."""
    size = min(theme.note_px, 0.94 * plate.width / words.width * words.size, 0.8 * plate.height)
    factor, (x, y) = max(size, words.size) / words.size, plate.middle
    larger = words.moved(factor, 0.0, 0.0)
    return replace(larger, x=x, y=y - CAP_HEIGHT * larger.size / 2, align="middle")


class _Brush:
    """Gathers areas of one colour, so that a thousand dashes are one instruction."""

    def __init__(self) -> None:
        self._colour: Any = None
        self._corners: list[float] = []
        self._indices: list[int] = []

    def fill(self, points: Sequence[Point], colour: Any) -> None:
        """Fill a polygon without dents."""
        if self._colour is not None and (list(colour) != list(self._colour) or len(self._corners) > 4 * _MOST_CORNERS):
            self.flush()
        self._colour = colour
        first = len(self._corners) // 4
        for x, y in points:
            self._corners += (x, y, 0.0, 0.0)
        for corner in range(1, len(points) - 1):
            self._indices += (first, first + corner, first + corner + 1)

    def flush(self) -> None:
        """Paint what was gathered."""
        if self._indices:
            Color(*self._colour)
            Mesh(vertices=self._corners, indices=self._indices, mode="triangles")
        self._colour, self._corners, self._indices = None, [], []


def _stroke(brush: _Brush, stroke: Stroke, least_px: float) -> None:
    colour, half = tone_of(stroke), max(stroke.width, least_px) / 2
    for points in stroke.dashes():
        for corners in _bars(points, half):
            brush.fill(corners, colour)


def _bars(points: Sequence[Point], half: float) -> Iterator[tuple[Point, ...]]:
    """A bar for each stretch of a line; where it bends they reach into each other."""
    last = len(points) - 2
    for number, ((x1, y1), (x2, y2)) in enumerate(pairwise(points)):
        reach = math.hypot(x2 - x1, y2 - y1)
        if reach == 0:
            continue
        right, up = (x2 - x1) / reach * half, (y2 - y1) / reach * half
        if number > 0:
            x1, y1 = x1 - right, y1 - up
        if number < last:
            x2, y2 = x2 + right, y2 + up
        yield (x1 - up, y1 + right), (x1 + up, y1 - right), (x2 + up, y2 - right), (x2 - up, y2 + right)


def _write(brush: _Brush, words: Words, written: dict[_Type, Any]) -> None:
    if words.ground:
        brush.fill(words.rect.grown(0.12 * words.size).corners, theme.ground)
    brush.flush()
    type_ = words.text, round(words.size * 2) / 2, words.bold
    texture = written[type_] = written.get(type_) or _WRITTEN.get(type_) or _texture(type_)
    if texture is None:
        return
    wide, high = texture.size
    Color(*tone_of(words))
    left, low = words.rect.middle[0] - wide / 2, words.y - DESCENT * words.size
    Rectangle(texture=texture, pos=(round(left), round(low)), size=(wide, high))


def _texture(type_: _Type) -> Any:
    text, size_px, bold = type_
    label = CoreLabel(text=text, font_size=size_px, bold=bold)
    label.refresh()
    return label.texture
