"""A label as a picture for a label printer: a pixel for each of the printer's dots, black or white, nothing between."""

import io
from collections.abc import Sequence
from pathlib import Path

from PIL import Image, ImageChops, ImageDraw

from checkapp.page import fonts
from checkapp.page.png import type_of
from checkapp.rig.errors import printable
from checkapp.rig.writing import FileNotWritten, replace_file
from checkapp.tags.label import Label
from checkapp.tags.layout import Step
from checkapp.tags.parts import Code, Layout, Words
from checkapp.tags.qr import bars
from checkapp.tags.stock import Stock

_WHITE = 255
_BLACK_OR_WHITE = [0] * 128 + [_WHITE] * 128
"""What becomes of each grey at the edges of letters."""


def picture(drawn: Layout, stock: Stock) -> Image.Image:
    """The label at the stock's dots an inch, mode ``1``; each module of its QR is a whole number of dots."""
    size = (max(1, round(stock.width_mm / stock.dot_mm)), max(1, round(stock.height_mm / stock.dot_mm)))
    upright = _type(size, [words for words in drawn.words if not words.turned], stock.dot_mm)
    turned = [_righted(words, stock) for words in drawn.words if words.turned]
    if turned:
        upright = ImageChops.darker(upright, _type(size, turned, stock.dot_mm).transpose(Image.Transpose.ROTATE_180))
    image = upright.point(_BLACK_OR_WHITE, "1")
    canvas = ImageDraw.Draw(image)
    for code in drawn.codes:
        _draw_code(canvas, code, stock.dot_mm)
    return image


def write_pictures(
    labels: Sequence[Label], drawn: Sequence[Layout], stock: Stock, folder: Path, step: Step | None = None
) -> None:
    """Write each label as a PNG into ``folder``, which is made if it is not there; ``step`` is called for each.

    `FileNotWritten`: the folder cannot be made or written to.
    """
    _make(folder)
    for label, layout in zip(labels, drawn, strict=True):
        replace_file(folder / file_name(label), png_bytes(layout, stock))
        if step:
            step()


def _make(folder: Path) -> None:
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except (OSError, ValueError) as error:
        why = "is not a folder" if isinstance(error, FileExistsError | NotADirectoryError) else "cannot be made"
        raise FileNotWritten(f"{printable(str(folder))}: {why}; name a folder that is yours") from None


def file_name(label: Label) -> str:
    """The name of a label's picture: the tag without its check character, ``QN_HP01_A.png``.

    Distinct for distinct tags: no part of a tag has an underscore. It begins with no name that a
    system keeps for devices, as ``CON`` or ``AUX``, whatever the code.
    """
    return f"{label.tag.body.replace('.', '_')}.png"


def png_bytes(drawn: Layout, stock: Stock) -> bytes:
    """The label as a PNG that says how many dots an inch it is meant for. The same label gives the same bytes."""
    content = io.BytesIO()
    picture(drawn, stock).save(content, "PNG", dpi=(stock.printer_dpi, stock.printer_dpi))
    return content.getvalue()


def _righted(words: Words, stock: Stock) -> Words:
    """Words that stand on their head, as seen with the label turned."""
    left_mm, base_mm = stock.width_mm - words.left_mm, stock.height_mm - words.base_mm
    return Words(words.text, words.face, words.size_mm, left_mm, base_mm)


def _type(size: tuple[int, int], lines: list[Words], dot_mm: float) -> Image.Image:
    image = Image.new("L", size, _WHITE)
    type_on(image, lines, dot_mm)
    return image


def type_on(image: Image.Image, lines: Sequence[Words], dot_mm: float) -> None:
    """Write upright lines of type on a grey picture whose dots are ``dot_mm`` wide.

    Each letter stands at its own place: left to itself the library rounds every step to a dot.
    """
    canvas = ImageDraw.Draw(image)
    for words in lines:
        left, base, size_px = words.left_mm / dot_mm, round(words.base_mm / dot_mm), words.size_mm / dot_mm
        for piece in fonts.pieces(words.text, words.face):
            font = type_of(fonts.file_of(piece.font), round(size_px * 8) / 8)
            for letter in piece.text:
                canvas.text((round(left), base), letter, fill=0, font=font, anchor="ls")
                left += fonts.piece_width(fonts.Piece(piece.font, letter)) * size_px


def _draw_code(canvas: ImageDraw.ImageDraw, code: Code, dot_mm: float) -> None:
    left, top, dots = round(code.left_mm / dot_mm), round(code.top_mm / dot_mm), code.dots
    for bar in bars(code.symbol):
        x, y = left + bar.column * dots, top + bar.row * dots
        canvas.rectangle((x, y, x + bar.width * dots - 1, y + bar.height * dots - 1), fill=0)
