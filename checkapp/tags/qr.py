"""QR symbols for tags: their modules, and the largest module that a printer can draw in a given room.

Symbols after ISO/IEC 18004, alphanumeric mode, error correction level Q (a quarter of the code
words may be spoilt), in the smallest version that holds the text.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

import qrcode
from qrcode.util import MODE_ALPHA_NUM, QRData, create_data

from checkapp.tags.mask import penalty

_TOLERANCE_MM = 1e-9
_MASKS = range(8)
QUIET_MODULES = 4
"""White around the symbol on each side (ISO/IEC 18004)."""
LEAST_MODULE_MM = 0.33
"""Smaller modules are not printed: handheld readers miss them (common practice, no source)."""

Bits = tuple[int, ...]
"""A square of modules: a number for each row from the top, its lowest bit the left module, 1 for dark."""


@dataclass(frozen=True, slots=True)
class Symbol:
    """One QR symbol: its text and its modules."""

    text: str
    bits: Bits

    @property
    def side(self) -> int:
        """Modules along one side, quiet zone not counted: 4 version + 17."""
        return len(self.bits)

    @property
    def side_with_quiet(self) -> int:
        """Modules along one side with the quiet zone."""
        return self.side + 2 * QUIET_MODULES

    @property
    def version(self) -> int:
        """The symbol's version, 1 to 40."""
        return (self.side - 17) // 4

    @property
    def rows(self) -> tuple[tuple[bool, ...], ...]:
        """The rows of modules from the top, True for dark."""
        return tuple(tuple(bool(row >> column & 1) for column in range(self.side)) for row in self.bits)


def symbol(text: str) -> Symbol:
    """The QR symbol of ``text``, which may hold ``0-9 A-Z``, blank and ``$%*+-./:`` only.

    ValueError: another character.
    """
    code = qrcode.QRCode(error_correction=qrcode.ERROR_CORRECT_Q, border=0)
    code.add_data(QRData(text, mode=MODE_ALPHA_NUM))
    code.best_fit()
    code.data_cache = create_data(code.version, code.error_correction, code.data_list)
    first = _masked(code, 0)
    masked = [tuple(map(int.__xor__, first, change)) for change in _changes(code.version)]
    return Symbol(text, min(masked, key=penalty))


def _masked(code: qrcode.QRCode, mask: int) -> Bits:
    """The finished symbol with one of the eight masks."""
    code.makeImpl(False, mask)
    return tuple(sum(1 << column for column, module in enumerate(row) if module) for row in code.modules)


@cache
def _changes(version: int) -> tuple[Bits, ...]:
    """The modules that differ between mask 0 and each mask, the same whatever the symbol holds."""
    code = qrcode.QRCode(version, qrcode.ERROR_CORRECT_Q, border=0)
    code.add_data(QRData("0", mode=MODE_ALPHA_NUM))
    masked = [_masked(code, mask) for mask in _MASKS]
    return tuple(tuple(map(int.__xor__, masked[0], other)) for other in masked)


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
    for row, bits in enumerate((*symbol.bits, 0)):
        runs = _runs(bits)
        for run in [run for run in open_runs if run not in runs]:
            top = open_runs.pop(run)
            yield Bar(run[0], top, run[1], row - top)
        for run in runs:
            open_runs.setdefault(run, row)


def _runs(bits: int) -> list[tuple[int, int]]:
    """First column and length of each run of dark modules."""
    found, column = [], 0
    while bits:
        light = (bits & -bits).bit_length() - 1
        bits >>= light
        length = (~bits & (bits + 1)).bit_length() - 1
        bits >>= length
        found.append((column + light, length))
        column += light + length
    return found
