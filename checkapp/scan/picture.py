"""Pictures: the files that are taken, and the QR codes that are in their pixels.

What a code says is text and nothing more: it is never opened, run or used as a name of a file. Whether it is a tag, and
of what, is for others to say.
"""

import os
import struct
import warnings
import zlib
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Final, cast

import zxingcpp
from PIL import Image, ImageFilter, ImageOps, UnidentifiedImageError

from checkapp.rig.errors import CheckappError, printable

MOST_PX: Final = 89_000_000
"""Pixels of one picture, at most: some 89 million, the bound that the picture library sets against bombs."""
MOST_COLOUR_PX: Final = 50_000_000
"""The same where a pixel takes four bytes or more: in colour, with clear parts, with more than 8 bits of grey. A JPEG's
grey is taken out of it without its colours."""
MOST_SIDE_PX: Final = 65_535
"""Pixels along a side, at most: what the code reader takes."""
MOST_FRAMES_PX: Final = 1_000_000_000
"""Pixels of all pictures of one file together, at most."""
FORMATS: Final = ("JPEG", "PNG", "WEBP", "GIF", "TIFF", "BMP", "PPM", "AVIF")
"""Kinds of files that are taken, where the picture library has them. None of them can name another file or hold a
program, as page descriptions can."""

_LEAST_SIDE_PX: Final = 21
"""A QR has 21 modules a side at least (ISO/IEC 18004)."""
_SHARPEN_UP_TO_PX: Final = 4_000_000
_TILE_PX: Final = 2048
_OVERLAP_PX: Final = 256
"""As large as a code that needs doubling, askew; what is larger is found without."""
_LEAST_CONTRAST: Final = 24
"""Levels of grey, of 255; a part of a picture with fewer holds nothing that can be told from noise."""
_SHARPEN: Final = (1.5, 200, 0)
"""Radius in pixels, percent, threshold: what read most of the drawn codes that were blurred by 0.4 of a module."""
_DAMAGE: Final = (
    OSError,  # with it the library's own: no picture, cut off
    SyntaxError,  # so the library calls a broken header
    ValueError,
    TypeError,
    LookupError,
    ArithmeticError,
    AttributeError,
    EOFError,
    AssertionError,
    RuntimeError,
    MemoryError,
    struct.error,
    zlib.error,
    Image.DecompressionBombError,
    Image.DecompressionBombWarning,
)
"""All that the picture library may raise on a file that was mangled."""

Point = tuple[float, float]
Corners = tuple[Point, Point, Point, Point]


class PictureRefused(CheckappError):
    """A picture file that cannot be read: damaged, far too large, or of a kind that is not taken."""


class NoPicture(PictureRefused):
    """A file that is no picture at all."""


@dataclass(frozen=True, slots=True)
class Sighting:
    """A QR code in a picture.

    ``text`` is what it says: any characters, also control characters. ``corners`` are pixels right and down from the
    upright picture's top left corner, from the code's own top left corner round to its bottom left.
    """

    text: str
    corners: Corners


def read_picture(path: Path) -> tuple[Sighting, ...]:
    """The codes in a picture file, of an animated one in all its frames; each text once.

    Errors: `NoPicture`, `PictureRefused`.
    """
    found: dict[str, Sighting] = {}
    for grey in grey_pictures(path):
        for one in codes_in(grey):
            found.setdefault(one.text, one)
    return tuple(found.values())


def grey_pictures(path: Path) -> Iterator[Image.Image]:
    """The pictures of a file, one after another, grey and upright.

    An animated picture has many; of a camera's file with previews beside the picture the first counts.
    Errors: `NoPicture`, `PictureRefused`.
    """
    Image.init()
    with _reading(path):
        picture = Image.open(path, formats=[kind for kind in FORMATS if kind in Image.OPEN])
    with picture:
        with _reading(path):
            frames = _frames(path, picture)
        for frame in range(frames):
            with _reading(path):
                picture.seek(frame)
                _check_size(path, picture)
                grey = _grey(picture)
            yield grey


@contextmanager
def _reading(path: Path) -> Iterator[None]:
    """One step of reading a file: whatever is wrong with it becomes a plain message, and nothing is printed."""
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            yield
    except (Image.DecompressionBombError, Image.DecompressionBombWarning, MemoryError):
        raise _too_large(path) from None
    except UnidentifiedImageError:
        raise NoPicture(f"{printable(str(path))}: no picture that can be read; {_instead(path)}") from None
    except _DAMAGE as fault:
        raise PictureRefused(f"{printable(str(path))}: {_why(fault)}") from None


def codes_in(grey: Image.Image, *, thorough: bool = True) -> tuple[Sighting, ...]:
    """The QR codes in a grey picture (mode L), in reading order; of the same text only the largest.

    It is looked at as it is, and then doubled, which finds codes of 2 to 3 pixels a module that are missed otherwise.
    Where it is no larger than 4 million pixels, or nothing was found yet, it is looked at once more sharpened, for
    codes out of focus; but not where ``thorough`` is false, as for one frame of many.
    """
    if min(grey.size) < _LEAST_SIDE_PX:
        return ()
    found = [*_read(grey), *_doubled(grey, sharpen=False)]
    if thorough and (not found or grey.width * grey.height <= _SHARPEN_UP_TO_PX):
        found += _doubled(grey, sharpen=True)
    largest: dict[str, Sighting] = {}
    for one in sorted(found, key=_area):
        largest[one.text] = one
    return tuple(sorted(largest.values(), key=lambda one: min((y, x) for x, y in one.corners)))


def _read(grey: Image.Image, *, smaller: bool = True) -> list[Sighting]:
    """What is found at the size it has and, unless ``smaller`` is false, at parts of it, for very large codes."""
    pixels = memoryview(grey.tobytes()).cast("B", (grey.height, grey.width))
    kinds = zxingcpp.BarcodeFormats([zxingcpp.BarcodeFormat.QRCodeModel2])
    codes = zxingcpp.read_barcodes(pixels, formats=kinds, try_invert=False, try_downscale=smaller)
    return [Sighting(_text(code.bytes), _corners(code.position)) for code in codes if code.bytes]


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


def _frames(path: Path, picture: Image.Image) -> int:
    """How many pictures of a file are to be read."""
    _check_size(path, picture)
    frames: int = 1 if picture.format == "MPO" else getattr(picture, "n_frames", 1)
    if frames * picture.width * picture.height > MOST_FRAMES_PX:
        size = f"{frames} pictures of {picture.width} x {picture.height} pixels"
        raise PictureRefused(f"{printable(str(path))}: {size} are more than is read at once; cut it into parts")
    return frames


def _check_size(path: Path, picture: Image.Image) -> None:
    if picture.width * picture.height > _most_px(picture) or max(picture.size) > MOST_SIDE_PX:
        raise _too_large(path)


def _most_px(picture: Image.Image) -> int:
    thin = picture.mode in ("1", "L", "P") or (picture.format in ("JPEG", "MPO") and picture.mode == "RGB")
    return MOST_PX if thin and not picture.has_transparency_data else MOST_COLOUR_PX


def _grey(picture: Image.Image) -> Image.Image:
    """The picture as it is now, grey (mode L), upright, clear parts white."""
    picture.draft("L", picture.size)
    if picture.mode.startswith(("I", "F")):
        grey = _eight_bits(picture)
    elif picture.has_transparency_data:
        clear = picture if picture.mode == "RGBA" else picture.convert("RGBA")
        grey = Image.composite(clear.convert("L"), Image.new("L", clear.size, 255), clear.getchannel("A"))
    else:
        grey = picture.getchannel("L") if picture.mode == "LAB" else picture.convert("L")
    return ImageOps.exif_transpose(grey)


def _eight_bits(picture: Image.Image) -> Image.Image:
    """A picture of more than 8 bits a pixel from its darkest to its lightest, for scales differ from kind to kind."""
    wide = picture.convert("F")
    low, high = (float(value) for value in cast("tuple[float, float]", wide.getextrema()))
    steep = 255.0 / ((high - low) or 1.0)
    return wide.point(lambda value: value * steep - low * steep).convert("L")


def _too_large(path: Path) -> PictureRefused:
    most = f"{MOST_COLOUR_PX // 1_000_000} million pixels, {MOST_PX // 1_000_000} million as JPEG or grey"
    sides = f"{MOST_SIDE_PX} along a side"
    return PictureRefused(f"{printable(str(path))}: the picture is too large; at most {most}, {sides}")


def _why(fault: BaseException) -> str:
    if isinstance(fault, OSError) and fault.strerror:
        return f"cannot be read, {fault.strerror[0].lower()}{fault.strerror[1:]}"
    return "the picture is damaged; save or take it again"


def _instead(path: Path) -> str:
    try:
        with path.open("rb") as file:
            head = file.read(16)
    except OSError:
        head = b""
    if head[4:8] == b"ftyp" and head[8:12] in (b"heic", b"heix", b"heim", b"heis", b"mif1", b"msf1"):
        return "it is a HEIC picture: save it as JPEG"
    return "take JPEG, PNG, WebP, GIF, TIFF or BMP"
