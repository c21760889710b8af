"""Which of a QR symbol's eight masks is best: the penalties of ISO/IEC 18004, reckoned on whole rows at once.

A row is a number, one bit a module, 1 for dark. The four rules and their weights are those of the
standard's clause on evaluating masked symbols.
"""

from collections.abc import Sequence
from itertools import pairwise

_RUN, _BLOCK, _FINDER, _PROPORTION = 3, 3, 40, 10


def penalty(rows: Sequence[int]) -> int:
    """How easily a symbol can be taken for something else; of its eight masks the one with the least is used."""
    side = len(rows)
    alike = [_alike(row, side) for row in rows]
    blocks = sum(
        (same & below_same & ~(row ^ below)).bit_count()
        for (same, below_same), (row, below) in zip(pairwise(alike), pairwise(rows), strict=True)
    )
    columns = _turned(rows)
    runs = sum(map(_long_runs, alike)) + sum(_long_runs(_alike(column, side)) for column in columns)
    finders = sum(_finders(line, side) for line in (*rows, *columns))
    return runs + _BLOCK * blocks + _FINDER * finders + _PROPORTION * _uneven(rows)


def _turned(rows: Sequence[int]) -> list[int]:
    """The columns as numbers."""
    side = len(rows)
    return [int("".join(column), 2) for column in zip(*(f"{row:0{side}b}" for row in rows), strict=True)]


def _alike(line: int, side: int) -> int:
    """A bit for each module that is as the next one."""
    return ~(line ^ line >> 1) & (1 << side - 1) - 1


def _long_runs(alike: int) -> int:
    """3 for each run of five modules alike, and one more for each module above five."""
    five = alike & alike >> 1
    five &= five >> 2
    return five.bit_count() + (_RUN - 1) * (five & ~(five << 1)).bit_count()


def _finders(line: int, side: int) -> int:
    """Modules dark and light as 1:1:3:1:1, as in a finder's middle, with four light ones before or after."""
    core = line & line >> 2 & line >> 3 & line >> 4 & line >> 6 & ~(line >> 1) & ~(line >> 5)
    if not core:
        return 0
    light = ~line & (1 << side) - 1
    light &= light >> 1
    light &= light >> 2
    return (core & light >> 7).bit_count() + (core & light << 4).bit_count()


def _uneven(rows: Sequence[int]) -> int:
    """Whole steps of 5 % between the share of dark modules and a half."""
    dark = sum(row.bit_count() for row in rows)
    return int(abs(100 * dark / len(rows) ** 2 - 50) / 5)
