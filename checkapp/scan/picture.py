"""Picture files: which are taken, and the codes in them. Damaged and huge ones are refused in one plain line."""

import struct
import warnings
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Final, cast

from PIL import Image, ImageOps, UnidentifiedImageError

from checkapp.rig.errors import CheckappError, printable
from checkapp.scan.codes import Sighting, codes_in

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


class PictureRefused(CheckappError):
    """A picture file that cannot be read: damaged, far too large, or of a kind that is not taken."""


class NoPicture(PictureRefused):
    """A file that is no picture at all."""


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
