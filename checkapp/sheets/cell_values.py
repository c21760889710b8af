"""What the values of cells say: shared texts, numbers, dates by their number format.

Clauses named here are those of ECMA-376 part 1, from memory.
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from checkapp.sheets.errors import refused
from checkapp.sheets.grid import MOST_CHARACTERS
from checkapp.sheets.xml_part import Handlers, PartReader

Texts = Sequence[str]
MOST_LETTERS = 20_000_000
"""In all shared texts of a workbook together."""
MOST_FORMATS = 100_000
_DATES = frozenset((*range(14, 23), *range(27, 37), 45, 46, 47, *range(50, 59)))
"""Numbers of the date formats that are built in (18.8.30)."""
_DURATIONS = frozenset((46,))
_ESCAPED = re.compile(r"_x([0-9A-Fa-f]{4})_")
_MOST_WHOLE = 1e15
_MOST_FIGURES = 15
_MOST_PIECES = 64
_MOST_CODE = 255


@dataclass
class Formats:
    """Number formats: for each style the number of its format, and the codes of those that are not built in.

    ``exact``: numbers with all the figures that are saved, not those that a person reads.
    """

    styles: tuple[int, ...]
    codes: dict[int, str]
    from_1904: bool
    exact: bool = False
    _kinds: dict[int, str] = field(default_factory=dict)

    def shown(self, text: str, style: int) -> str | None:
        """A number as a person reads it; dates in ISO form. None when ``text`` is no number."""
        number = self.styles[style] if 0 <= style < len(self.styles) else 0
        kind = self._kinds.get(number)
        if kind is None:
            kind = self._kinds[number] = self._kind(number)
        if not kind and text.isdecimal() and len(text) < _MOST_FIGURES and text.isascii():
            return text.lstrip("0") or "0"
        try:
            value = float(text)
        except ValueError:
            return None
        if not math.isfinite(value):
            return None
        return (kind and self._date(value, kind)) or plain_number(value, exact=self.exact)

    def _kind(self, number: int) -> str:
        """What numbers of a format are: "date", "duration", or "" for plain numbers."""
        code = self.codes.get(number)
        if code is None:
            return "duration" if number in _DURATIONS else "date" if number in _DATES else ""
        from openpyxl.styles.numbers import is_date_format, is_timedelta_format

        return "duration" if is_timedelta_format(code) else "date" if is_date_format(code) else ""

    def _date(self, value: float, kind: str) -> str:
        from openpyxl.utils.datetime import CALENDAR_MAC_1904, CALENDAR_WINDOWS_1900, from_excel

        epoch = CALENDAR_MAC_1904 if self.from_1904 else CALENDAR_WINDOWS_1900
        try:
            return _iso(from_excel(value, epoch, timedelta=kind == "duration"))
        except (OverflowError, ValueError):
            return ""


def _iso(value: object) -> str:
    """A date, a time or both, to the second; a date at midnight without the time."""
    if isinstance(value, timedelta):
        minutes, seconds = divmod(round(value.total_seconds()), 60)
        return f"{minutes // 60}:{minutes % 60:02}" + (f":{seconds:02}" if seconds else "")
    if isinstance(value, datetime):
        value = (value + timedelta(microseconds=500_000)).replace(microsecond=0)
        return str(value.date()) if value == datetime(*value.timetuple()[:3]) else str(value).removesuffix(":00")
    return str(value).partition(".")[0].removesuffix(":00")


def plain_number(value: float, *, exact: bool = False) -> str:
    """A number with as many figures as spreadsheet programs show (15), or all; a whole one without a point."""
    if value.is_integer() and abs(value) < _MOST_WHOLE:
        return str(int(value))
    return repr(value) if exact else f"{value:.15g}"


def unescaped(text: str) -> str:
    """A text with its characters written as _x000D_ put back (22.9.2.19), and one kind of line end."""
    if "_x" in text:
        text = _ESCAPED.sub(lambda found: chr(int(found[1], 16)), text)
        text = text.encode("utf-16", "surrogatepass").decode("utf-16", "replace")
    return text.replace("\r\n", "\n").replace("\r", "\n") if "\r" in text else text


class Letters:
    """The text of one element, which comes in pieces; what is far longer than a cell holds is not kept."""

    __slots__ = ("_pieces",)

    def __init__(self) -> None:
        self._pieces: list[str] = []

    def begin(self, _: object = None) -> None:
        """Begin anew."""
        self._pieces = []

    def add(self, piece: str) -> None:
        """A piece, of some thousand letters at the most."""
        if len(self._pieces) < _MOST_PIECES:
            self._pieces.append(piece)

    def text(self) -> str:
        """All since the beginning."""
        return "".join(self._pieces)


class Runs:
    """A text made of runs, each in an element t; how it is read aloud (rPh) is left out (18.4.8, 18.4.6)."""

    __slots__ = ("_aloud", "_letters", "_runs", "_size")

    def __init__(self, letters: Letters) -> None:
        self._letters = letters
        self._runs: list[str] = []
        self._size = 0
        self._aloud = False

    def begin(self, _: object) -> None:
        """A text of runs begins."""
        self.take()

    def aloud(self, _: object) -> None:
        """What follows says how the text is read aloud."""
        self._aloud = True

    def not_aloud(self) -> None:
        """That ends."""
        self._aloud = False

    def end_run(self) -> None:
        """A run ends; one more than a cell holds is kept, so that it is seen to be too long."""
        if not self._aloud and self._size <= MOST_CHARACTERS:
            self._runs.append(self._letters.text())
            self._size += len(self._runs[-1])

    def take(self) -> str:
        """All of it, and begin anew."""
        text = "".join(self._runs)
        self._runs, self._size, self._aloud = [], 0, False
        return unescaped(text).strip()


def read_texts(reader: PartReader, part: str) -> list[str]:
    """The shared texts of a workbook, without the formats of their runs."""
    texts: list[str] = []
    letters = Letters()
    runs = Runs(letters)
    total = 0

    def end() -> None:
        nonlocal total
        texts.append(runs.take())
        total += len(texts[-1])
        if total > MOST_LETTERS:
            raise refused(reader.archive.name, f"holds more than {MOST_LETTERS} letters", "save only the list")

    ends = {"t": runs.end_run, "rPh": runs.not_aloud, "si": end}
    reader.read(part, Handlers({"t": letters.begin, "rPh": runs.aloud}, ends, letters.add))
    return texts


def read_formats(reader: PartReader, part: str, *, from_1904: bool, exact: bool = False) -> Formats:
    """The number formats of a workbook's styles."""
    codes: dict[int, str] = {}
    styles: list[int] = []
    of_cells = False

    def code(given: dict[str, str]) -> None:
        if len(codes) < MOST_FORMATS:
            codes[whole(given.get("numFmtId"))] = given.get("formatCode", "")[:_MOST_CODE]

    def begin(_: dict[str, str]) -> None:
        nonlocal of_cells
        of_cells = True

    def end() -> None:
        nonlocal of_cells
        of_cells = False

    def style(given: dict[str, str]) -> None:
        if of_cells and len(styles) < MOST_FORMATS:
            styles.append(whole(given.get("numFmtId"), 0))

    reader.read(part, Handlers({"numFmt": code, "cellXfs": begin, "xf": style}, {"cellXfs": end}))
    return Formats(tuple(styles), codes, from_1904, exact)


def whole(text: str | None, otherwise: int = -1) -> int:
    """A whole number of an attribute, or ``otherwise``."""
    return int(text) if text and len(text) < 10 and text.isascii() and text.isdecimal() else otherwise
