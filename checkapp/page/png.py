"""A drawing as a PNG, grey on white."""

import io
from functools import lru_cache
from typing import Final

from PIL import Image, ImageDraw, ImageFont

from checkapp.page import fonts
from checkapp.page.drawing import GREYS, Area, Drawing, Stroke, Words
from checkapp.page.rect import Point

_FINER = 2
"""Drawn so many times larger and brought down, which smooths slanting strokes."""
MOST_SIZES: Final = 24
"""So many fonts, each at one size, are kept open."""


def png_bytes(drawing: Drawing, width_px: int) -> bytes:
    """The drawing as a PNG that is so many pixels wide, as high as its extent asks for. The same gives the same."""
    extent = drawing.extent
    scale = width_px / extent.width
    size = (width_px, max(1, round(extent.height * scale)))
    image = Image.new("L", (size[0] * _FINER, size[1] * _FINER), 255)
    canvas = _Canvas(image, scale * _FINER, extent.left, extent.top)
    for part in drawing.parts():
        canvas.draw(part)
    content = io.BytesIO()
    image.resize(size, Image.Resampling.BOX).save(content, "PNG", optimize=True)
    return content.getvalue()


class _Canvas:
    def __init__(self, image: Image.Image, scale: float, left: float, top: float) -> None:
        self._draw = ImageDraw.Draw(image)
        self._scale, self._left, self._top = scale, left, top

    def draw(self, part: Area | Stroke | Words) -> None:
        """Draw one part."""
        grey = round(255 * GREYS[part.tone])
        if isinstance(part, Words):
            self._write(part, grey)
        elif isinstance(part, Area):
            self._draw.polygon([self._at(point) for point in part.points], fill=grey)
        else:
            width = max(1, round(part.width * self._scale))
            for points in part.dashes():
                self._draw.line([self._at(point) for point in points], fill=grey, width=width, joint="curve")

    def _write(self, words: Words, grey: int) -> None:
        face = fonts.bold_face() if words.bold else fonts.plain_face()
        size_px = words.size * self._scale
        left, base = self._at((words.left, words.y))
        for piece in fonts.pieces(words.text, face):
            font = type_of(fonts.file_of(piece.font), round(size_px * 4) / 4)
            self._draw.text((left, base), piece.text, fill=grey, font=font, anchor="ls")
            left += fonts.piece_width(piece) * size_px

    def _at(self, point: Point) -> Point:
        return (point[0] - self._left) * self._scale, (self._top - point[1]) * self._scale


@lru_cache(maxsize=MOST_SIZES)
def type_of(file: str, size_px: float) -> ImageFont.FreeTypeFont:
    """The font in that file at that size. A few are kept open: each holds its whole file in memory."""
    return ImageFont.truetype(file, size_px, layout_engine=ImageFont.Layout.BASIC)
