"""QR symbols for tags: their modules, and the largest module that a printer can draw in a given room.

Symbols after ISO/IEC 18004, alphanumeric mode, error correction level Q (a quarter of the code
words may be spoilt), in the smallest version that holds the text.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass

import qrcode
from qrcode.util import MODE_ALPHA_NUM, QRData

_TOLERANCE_MM = 1e-9
QUIET_MODULES = 4
"""White around the symbol on each side (ISO/IEC 18004)."""
LEAST_MODULE_MM = 0.33
"""Smaller modules are not printed: handheld readers miss them (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Symbol:
    """One QR symbol: its text, and its rows of modules from the top, True for dark."""

    text: str
    rows: tuple[tuple[bool, ...], ...]

    @property
    def side(self) -> int:
        """Modules along one side, quiet zone not counted: 4 version + 17."""
        return len(self.rows)

    @property
    def side_with_quiet(self) -> int:
        """Modules along one side with the quiet zone."""
        return self.side + 2 * QUIET_MODULES

    @property
    def version(self) -> int:
        """The symbol's version, 1 to 40."""
        return (self.side - 17) // 4


def symbol(text: str) -> Symbol:
    """The QR symbol of ``text``, which may hold ``0-9 A-Z``, blank and ``$%*+-./:`` only.

    ValueError: another character.
    """
    code = qrcode.QRCode(error_correction=qrcode.ERROR_CORRECT_Q, border=0)
    code.add_data(QRData(text, mode=MODE_ALPHA_NUM))
    code.make(fit=True)
    return Symbol(text, tuple(tuple(bool(module) for module in row) for row in code.modules))


def module_dots(symbol: Symbol, room_mm: float, dot_mm: float) -> int | None:
    """Printer dots along a module, as many as fit a square of ``room_mm`` with the quiet zone.

    None when the modules would be smaller than `LEAST_MODULE_MM`.
    """
    dots = int((room_mm + _TOLERANCE_MM) / (symbol.side_with_quiet * dot_mm))
    return dots if dots >= _least_dots(dot_mm) else None


def least_side_mm(symbol: Symbol, dot_mm: float) -> float:
    """The side, with the quiet zone, of the smallest symbol that is printed with dots of that size."""
    return symbol.side_with_quiet * _least_dots(dot_mm) * dot_mm


def _least_dots(dot_mm: float) -> int:
    return math.ceil((LEAST_MODULE_MM - _TOLERANCE_MM) / dot_mm)


@dataclass(frozen=True, slots=True)
class Bar:
    """A dark rectangle of modules: column and row of its top left module, width and height."""

    column: int
    row: int
    width: int
    height: int


def bars(symbol: Symbol) -> Iterator[Bar]:
    """The dark modules as few rectangles: runs along a row, joined where the next row repeats them."""
    open_runs: dict[tuple[int, int], int] = {}
    for row in range(symbol.side + 1):
        runs = set(_runs(symbol.rows[row])) if row < symbol.side else set()
        for run in [run for run in open_runs if run not in runs]:
            top = open_runs.pop(run)
            yield Bar(run[0], top, run[1], row - top)
        for run in sorted(runs):
            open_runs.setdefault(run, row)


def _runs(row: tuple[bool, ...]) -> Iterator[tuple[int, int]]:
    """First column and length of each run of dark modules."""
    start = 0
    for column in range(len(row) + 1):
        if column < len(row) and row[column]:
            continue
        if column > start:
            yield start, column - start
        start = column + 1
