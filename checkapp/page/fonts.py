"""Typefaces of all that is printed: Roboto as on the screens, Roboto Mono for codes of tags, DejaVu Sans for the rest.

Roboto Mono tells O from a slashed 0 and I from 1. The three come with the Kivy wheel as files and
are found there without importing it; should they be missing, ReportLab's own Vera is taken. All are
embedded, so a page looks the same everywhere.
"""

import unicodedata
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cache, lru_cache, partial
from importlib.util import find_spec
from itertools import groupby
from pathlib import Path

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

from checkapp.page import text as page_text
from checkapp.rig.errors import printable

NO_GLYPH = "\N{WHITE SQUARE}"
"""Printed for a character that none of the typefaces has; Vera, without it, prints a question mark."""
_RIGHT_TO_LEFT = ("R", "AL")


@dataclass(frozen=True, slots=True)
class Face:
    """A weight of type: the registered fonts that are asked in turn for each character."""

    fonts: tuple[str, ...]
    cap_height: float
    """Height of a capital in parts of the size."""


@cache
def code_face() -> Face:
    """The face of codes and tags: every character as wide as the next, noughts slashed."""
    return _face("RobotoMono-Regular", "VeraBd")


@cache
def bold_face() -> Face:
    """The face of names."""
    return _face("Roboto-Bold", "VeraBd")


@cache
def plain_face() -> Face:
    """The face of all else."""
    return _face("Roboto-Regular", "Vera")


def _face(first: str, instead: str) -> Face:
    fonts = [font for name in (first, "DejaVuSans") if (font := _font("kivy", name))]
    fonts = fonts or [TTFont(instead, f"{instead}.ttf")]
    for font in fonts:
        pdfmetrics.registerFont(font)
    return Face(tuple(font.fontName for font in fonts), fonts[0].face.capHeight / 1000)


def _font(package: str, name: str) -> TTFont | None:
    """The TrueType font that lies among a package's data; the package is found, not imported."""
    spec = find_spec(package)
    for folder in (spec.submodule_search_locations or ()) if spec else ():
        path = Path(folder, "data", "fonts", f"{name}.ttf")
        if path.is_file():
            return TTFont(name, str(path))
    return None


@dataclass(frozen=True, slots=True)
class Piece:
    """Characters that are set in one font."""

    font: str
    text: str


@lru_cache(maxsize=2048)
def pieces(text: str, face: Face) -> tuple[Piece, ...]:
    """``text`` cut into pieces by the font that has its characters, right-to-left words turned.

    What no font has becomes `NO_GLYPH`. Letters of joined scripts stand unjoined.
    """
    fonts = [(name, pdfmetrics.getFont(name).face.charToGlyph) for name in face.fonts]
    chosen = []
    for character in as_seen(text):
        font = next((name for name, glyphs in fonts if ord(character) in glyphs), None)
        chosen.append((font, character) if font else (face.fonts[-1], NO_GLYPH))
    runs = groupby(chosen, key=lambda pair: pair[0])
    return tuple(Piece(font, "".join(character for _, character in run)) for font, run in runs)


def has_glyphs(text: str, face: Face) -> bool:
    """Whether every character of ``text`` can be printed."""
    return as_seen(text).count(NO_GLYPH) == _written(pieces(text, face)).count(NO_GLYPH)


def width(text: str, face: Face) -> float:
    """Width of ``text`` in parts of the size."""
    return sum(piece_width(piece) for piece in pieces(text, face))


def piece_width(piece: Piece) -> float:
    """Width of a piece in parts of the size."""
    return float(pdfmetrics.stringWidth(piece.text, piece.font, 1.0))


def measure(text: str, bold: bool) -> float:
    """Width of ``text`` in parts of the size, in the face of names or of all else."""
    return width(text, bold_face() if bold else plain_face())


def cut(text: str, face: Face, most: float) -> str:
    """``text``, or as much of its beginning with an ellipsis as is at most ``most`` wide."""
    return page_text.cut(text, most, partial(width, face=face))


def file_of(font: str) -> str:
    """The file of a font that is in use."""
    return str(pdfmetrics.getFont(font).face.filename)


def _written(found: Iterable[Piece]) -> str:
    return "".join(piece.text for piece in found)


def as_seen(text: str) -> str:
    """``text`` composed, on one line, its characters from left to right as the eye finds them.

    The plain case of the Unicode bidirectional algorithm (UAX 9): words of one direction in a line
    of the other, no marks that embed or override. A text that begins from right to left but for the
    most part runs the other way, as a sentence about a name, runs from left to right (HL1).
    """
    shown = printable(unicodedata.normalize("NFC", text))
    directions = [unicodedata.bidirectional(character) for character in shown]
    if not any(direction in _RIGHT_TO_LEFT for direction in directions):
        return shown
    strong = [direction != "L" for direction in directions if direction in ("L", *_RIGHT_TO_LEFT)]
    right_first = strong[0] and 2 * sum(strong) >= len(strong)
    pairs = zip(_turned(directions, right_first), shown, strict=True)
    runs = [
        "".join(reversed(list(_clusters(run))) if turned else run)
        for turned, group in groupby(pairs, key=lambda pair: pair[0])
        for run in ["".join(character for _, character in group)]
    ]
    return "".join(reversed(runs) if right_first else runs)


def _turned(directions: list[str], right_first: bool) -> list[bool]:
    """Whether each character runs right to left.

    What has no direction goes with its neighbours, or where they differ with the whole text.
    """
    known: list[bool | None] = []
    for direction in directions:
        if direction == "NSM" and known:
            known.append(known[-1])
        elif direction in ("L", "EN", "AN", *_RIGHT_TO_LEFT):
            known.append(direction in _RIGHT_TO_LEFT)
        else:
            known.append(None)
    turned: list[bool] = []
    for value, group in groupby([*known, right_first]):
        count = len(list(group))
        if value is None:
            left = turned[-1] if turned else right_first
            right = [*known, right_first][len(turned) + count]
            value = left if left == right else right_first
        turned += [value] * count
    return turned[: len(known)]


def _clusters(text: str) -> Iterator[str]:
    """Letters, each with the marks that stand on it."""
    start = 0
    for end in range(1, len(text) + 1):
        if end == len(text) or not unicodedata.combining(text[end]):
            yield text[start:end]
            start = end
