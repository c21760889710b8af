"""What lines ran through as numbers: a plan's lines with all the paths that swaps and moves ever gave them."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Numbers = NDArray[np.int64]


class Numbered(dict[str, int]):
    """Texts with numbers, from 0 in the order in which they are first asked for."""

    def __missing__(self, text: str) -> int:
        self[text] = number = len(self)
        return number

    def number(self, texts: Iterable[str]) -> list[int]:
        """The numbers of these."""
        return [self[text] for text in texts]


class PlanLines:
    """A plan's lines. ``versions`` are numbers of a line, of changes made before, and of the items from then on.

    ``changes``: how many changes there are in all. Items are numbered by one `Numbered` for all plans.
    """

    def __init__(self, versions: Iterable[tuple[int, int, list[int]]], changes: int) -> None:
        self._step = changes + 1
        told = sorted((line * self._step + moment, items) for line, moment, items in versions)
        self._keys = np.array([key for key, _ in told], np.int64)
        self._row = np.repeat(np.arange(len(told)), [len(items) for _, items in told])
        self._items = np.array([item for _, items in told for item in items], np.int64)
        self._found: dict[bytes, Numbers] = {}

    def changed(self, first: int, last: int) -> Numbers:
        """The lines that changed after so many changes, up to so many."""
        lines, moments = np.divmod(self._keys, self._step)
        changed: Numbers = lines[(moments > first) & (moments <= last)]
        return changed

    def through(self, lines: Numbers, moments: Numbers) -> Numbers:
        """All items that these lines, each after so many changes, ran through, each once; unknown lines count not.

        One check is mostly as the other: the same lines as before give the very same array.
        """
        if not len(self._items):
            return np.empty(0, np.int64)
        rows = np.searchsorted(self._keys, lines * self._step + moments, side="right") - 1
        rows = rows[(rows >= 0) & (self._keys[rows] // self._step == lines)]
        used = np.zeros(len(self._keys), bool)
        used[rows] = True
        key = used.tobytes()
        if key not in self._found:
            self._found[key] = self._met(used)
        return self._found[key]

    def _met(self, used: NDArray[np.bool_]) -> Numbers:
        """The items of these of all versions of lines, each once."""
        met = np.zeros(int(self._items.max()) + 1, bool)
        met[self._items[used[self._row]]] = True
        return np.flatnonzero(met)
