"""QR codes in the pixels of a picture.

What a code says is text and nothing more: it is never opened, run or used as a name of a file. Whether it is a tag, and
of what, is for others to say.
"""

import os
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from math import dist, sqrt
from typing import Final, cast

import zxingcpp
from PIL import Image, ImageFilter

from checkapp.scan.bent import Corners, Point, flattened

_LEAST_SIDE_PX: Final = 21
"""A QR has 21 modules a side at least (ISO/IEC 18004)."""
_SHARPEN_UP_TO_PX: Final = 4_000_000
_TILE_PX: Final = 2048
_OVERLAP_PX: Final = 256
"""As large as a code that needs doubling, askew; what is larger is found without."""
_LEAST_CONTRAST: Final = 24
"""Levels of grey, of 255; a part of a picture with fewer holds nothing that can be told from noise."""
_MOST_BENT: Final = 4
"""Codes of one picture that are tried to be read as bent: each takes some hundredths of a second."""
_SHARPEN: Final = (1.5, 200, 0)
"""Radius in pixels, percent, threshold: what read most of the drawn codes that were blurred by 0.4 of a module."""


@dataclass(frozen=True, slots=True)
class Sighting:
    """A QR code in a picture.

    ``text`` is what it says: any characters, also control characters. ``corners`` are pixels right and down from the
    upright picture's top left corner, from the code's own top left corner round to its bottom left.
    """

    text: str
    corners: Corners


def codes_in(grey: Image.Image, *, thorough: bool = True) -> tuple[Sighting, ...]:
    """The QR codes in a grey picture (mode L), in reading order; of the same text only the largest.

    It is looked at as it is, and then doubled, which finds codes of 2 to 3 pixels a module that are missed otherwise.
    Where it is no larger than 4 million pixels, or nothing was found yet, it is looked at once more sharpened, for
    codes out of focus; and codes that go round a cable are drawn flat. Neither where ``thorough`` is false, as for one
    frame of many.
    """
    if min(grey.size) < _LEAST_SIDE_PX:
        return ()
    seen = [*_doubled(grey, sharpen=False), *_read(grey)]
    if thorough and (not any(one.text for one in seen) or grey.width * grey.height <= _SHARPEN_UP_TO_PX):
        seen += _doubled(grey, sharpen=True)
    found = [one for one in seen if one.text]
    if thorough:
        found += _bent(grey, found, [one for one in seen if not one.text])
    largest = {one.text: one for one in sorted(found, key=_area)}
    return tuple(sorted(largest.values(), key=lambda one: min((y, x) for x, y in one.corners)))


def _bent(grey: Image.Image, found: Sequence[Sighting], unread: Sequence[Sighting]) -> Iterator[Sighting]:
    """Codes that were seen and could not be read, for they go round a cable."""
    known = list(found)
    for one in unread:
        if len(known) - len(found) < _MOST_BENT and not any(_same_place(one, other) for other in known):
            known.append(one)
            flats = (read for flat in flattened(grey, one.corners) for read in _read(flat, smaller=False) if read.text)
            read = next(flats, None)
            if read:
                yield Sighting(read.text, one.corners)


def _same_place(one: Sighting, other: Sighting) -> bool:
    """Whether the middle of one is within half a side of the other's."""
    apart = dist(_middle(one), _middle(other))
    return apart < sqrt(max(_area(one), _area(other))) / 2


def _middle(found: Sighting) -> Point:
    return sum(x for x, _ in found.corners) / 4, sum(y for _, y in found.corners) / 4


def _read(grey: Image.Image, *, smaller: bool = True) -> list[Sighting]:
    """What is seen at the size it has and, unless ``smaller`` is false, at parts of it, for very large codes.

    The text of a code that could not be read is empty.
    """
    pixels = memoryview(grey.tobytes()).cast("B", (grey.height, grey.width))
    kinds = zxingcpp.BarcodeFormats([zxingcpp.BarcodeFormat.QRCodeModel2])
    codes = zxingcpp.read_barcodes(pixels, formats=kinds, try_invert=False, try_downscale=smaller, return_errors=True)
    return [Sighting(_text(code.bytes) if code.valid else "", _corners(code.position)) for code in codes]


def _text(held: bytes) -> str:
    """What a code holds as text: UTF-8 where it is that, else each byte as the character of its number."""
    try:
        return held.decode()
    except UnicodeDecodeError:
        return held.decode("latin-1")


def _corners(position: zxingcpp.Position) -> Corners:
    first, second, third, fourth = (
        (float(at.x), float(at.y))
        for at in (position.top_left, position.top_right, position.bottom_right, position.bottom_left)
    )
    return first, second, third, fourth


def _area(found: Sighting) -> float:
    """Square pixels within the corners."""
    points = found.corners
    return abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(points, points[1:] + points[:1], strict=True))) / 2


def _doubled(grey: Image.Image, *, sharpen: bool) -> list[Sighting]:
    """What is found in twice the size. A large picture is taken in tiles that overlap, several at a time."""
    tiles = [
        (left, top, min(left + _TILE_PX, grey.width), min(top + _TILE_PX, grey.height))
        for top in _starts(grey.height)
        for left in _starts(grey.width)
    ]
    if len(tiles) == 1:
        return _doubled_tile(grey, tiles[0], sharpen)
    with ThreadPoolExecutor(min(len(tiles), os.cpu_count() or 1, 4)) as pool:
        parts = pool.map(lambda tile: _doubled_tile(grey, tile, sharpen), tiles)
        return [one for part in parts for one in part]


def _starts(length_px: int) -> range:
    """Where the tiles begin along a side of a picture."""
    return range(0, max(1, length_px - _OVERLAP_PX), _TILE_PX - _OVERLAP_PX)


def _doubled_tile(grey: Image.Image, tile: tuple[int, int, int, int], sharpen: bool) -> list[Sighting]:
    part = grey.crop(tile)
    darkest, lightest = cast("tuple[int, int]", part.getextrema())
    if lightest - darkest < _LEAST_CONTRAST:
        return []
    if sharpen:
        part = part.filter(ImageFilter.UnsharpMask(*_SHARPEN))
    large = part.resize((2 * part.width, 2 * part.height), Image.Resampling.BILINEAR)
    return [_halved(one, tile[0], tile[1]) for one in _read(large, smaller=False)]


def _halved(found: Sighting, left: int, top: int) -> Sighting:
    first, second, third, fourth = ((x / 2 + left, y / 2 + top) for x, y in found.corners)
    return Sighting(found.text, (first, second, third, fourth))
