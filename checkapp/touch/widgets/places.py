"""The strip of places: rig, set-up, line check and the others, each one tap away.

A column at the edge of a wide window, else a row at its top, of as many rows as whole words need. The place where one
is has a panel, a thick stroke at its edge and bold type.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil
from pathlib import Path
from typing import Any, Final

from kivy.clock import Clock
from kivy.lang import Builder
from kivy.properties import BooleanProperty, DictProperty, ListProperty, NumericProperty, ObjectProperty, StringProperty
from kivy.uix.behaviors.button import ButtonBehavior
from kivy.uix.layout import Layout

from checkapp.tongue import shown_word
from checkapp.touch.measure import width_of
from checkapp.touch.theme import theme
from checkapp.touch.whereabouts import PLACES, Place
from checkapp.touch.widgets import fills as _fills  # noqa: F401  it is drawn with in our layout
from checkapp.touch.widgets.written import Trim

_WIDE_UNITS: Final = 75.0
"""So wide, in the one measure, a screen keeps its wide layout: the column takes nothing of that."""
_FOOT_UNITS: Final = 17.0
"""So much above the window's foot the column ends: beside ok and faulty there is nothing else to hit."""


def column_width(words: Sequence[str], size_px: float, unit: float) -> float:
    """Width in pixels of a column of these words."""
    return max(width_of(word, size_px, bold=True) for word in words) + 4.0 * unit


def is_column(window: tuple[float, float], column_px: float, count: int, unit: float, target: float) -> bool:
    """Whether the window has room for a column ``column_px`` wide of ``count`` places: beside a wide screen, above its
    foot."""
    wide, high = window
    room = high - _FOOT_UNITS * unit
    return wide > high and wide - column_px >= _WIDE_UNITS * unit and room >= count * target


def rows_of(widths_px: Sequence[float], room_px: float) -> list[list[int]]:
    """The numbers of the cells in each row, as few rows as hold them in their order, about as many cells in each."""
    rows: list[list[int]] = []
    for count in range(1, len(widths_px) + 1):
        most = ceil(len(widths_px) / count)
        rows = [list(range(at, min(at + most, len(widths_px)))) for at in range(0, len(widths_px), most)]
        if all(sum(widths_px[cell] for cell in row) <= room_px for row in rows):
            break
    return rows


class PlaceButton(ButtonBehavior, Trim):
    """One place: its word, and how many things wait there; ``shut`` while there is no way to it yet."""

    place = StringProperty("")
    here = BooleanProperty(False)
    shut = BooleanProperty(False)
    upright = BooleanProperty(True)
    size_px = NumericProperty("18sp")


class Places(Layout):
    """The strip, with ``edges`` along the places; ``on_place`` tells the place tapped.

    ``names`` are the places there are, ``here`` the one where one is, ``waits`` how many things wait at a place;
    ``shut`` are those to which there is no way before a rig is open. ``over``: it lies over a screen.
    """

    names = ListProperty([])
    here = StringProperty("")
    waits = DictProperty({})
    shut = ListProperty([])
    column = BooleanProperty(True)
    over = BooleanProperty(False)
    edges = ObjectProperty(())
    __events__ = ("on_place",)

    def __init__(self, **kwargs: Any) -> None:
        self._size_px = float(theme.body_px)
        self._rows: list[list[int]] = []
        self._widths: list[float] = []
        super().__init__(**kwargs)
        self._relay = Clock.create_trigger(self.do_layout, -1)
        for name in ("pos", "size", "column"):
            self.fbind(name, self._relay)
        self.fbind("names", self._make)
        for name in ("names", "here", "waits", "shut"):
            self.fbind(name, self.renew)
        theme.follow(self._restyle, "unit", "left_handed")
        self._make()

    def _restyle(self, *_: object) -> None:
        self._relay()

    def on_place(self, _place: str) -> None:
        """A place was tapped."""

    def fit(self, window: tuple[float, float]) -> None:
        """Become a column or rows, as large as a window of that size in pixels asks for."""
        whole = [self._words(place, place.word) for place in self._places()]
        wide = column_width(whole, theme.body_px, theme.unit)
        self.column = is_column(window, wide, len(whole), theme.unit, theme.target)
        hint: tuple[float | None, float | None]
        if self.column:
            self._size_px = float(theme.body_px)
            hint, self.width = (None, 1.0), wide
        else:
            hint, self.height = (1.0, None), self._fit_rows(window[0])
        self.size_hint = hint
        self.renew()

    def renew(self, *_: object) -> None:
        """Say where one is and what waits, in the language spoken now."""
        for button, place in zip(reversed(self.children), self._places(), strict=True):
            button.text = self._words(place, place.word if self._is_whole else place.short)
            button.here, button.shut = place.name == self.here, place.name in self.shut
            button.upright, button.size_px = self.column, self._size_px
        self._relay()

    def on_touch_up(self, touch: Any) -> bool:
        """A finger that went down elsewhere means nothing here; a button that was touched is told all the same."""
        return False

    def do_layout(self, *_: object) -> None:
        """Put the places where they belong: from the top down, or in rows."""
        cells = list(reversed(self.children))
        if self.column:
            room = self.height - _FOOT_UNITS * theme.unit
            high = max(float(theme.target), min(1.25 * theme.row, room / max(1, len(cells))))
            for number, cell in enumerate(cells):
                cell.pos, cell.size = (self.x, self.top - (number + 1) * high), (self.width, high)
            wide, long = 0.25 * theme.unit, len(cells) * high
            self.edges = ((self.right - wide if theme.left_handed else self.x, self.top - long, wide, long),)
            return
        high = self.height / max(1, len(self._rows))
        lows = [self.top - (number + 1) * high for number in range(len(self._rows))]
        self.edges = tuple((self.x, low, self.width, 0.125 * theme.unit) for low in lows)
        for low, row in zip(lows, self._rows, strict=True):
            more = (self.width - sum(self._widths[cell] for cell in row)) / len(row)
            x = self.x
            for cell in row:
                cells[cell].pos = x, low
                cells[cell].size = self._widths[cell] + more, high
                x += self._widths[cell] + more

    @property
    def _is_whole(self) -> bool:
        return self.column or (len(self._rows) == 1 and self._size_px > theme.note_px)

    def _places(self) -> list[Place]:
        return [place for place in PLACES if place.name in self.names]

    def _words(self, place: Place, word: str) -> str:
        waiting = self.waits.get(place.name, 0)
        return f"{shown_word(word)} {waiting}" if waiting else shown_word(word)

    def _fit_rows(self, room_px: float) -> float:
        """Choose the words and the size that one row has room for, else rows of short words; the height in pixels."""
        places = self._places()
        for size, words in ((theme.body_px, "word"), (theme.note_px, "short")):
            self._size_px = float(size)
            named = [self._words(place, getattr(place, words)) for place in places]
            pad = (2.0 if words == "word" else 0.75) * theme.unit
            self._widths = [max(float(theme.target), width_of(word, size, bold=True) + pad) for word in named]
            self._rows = rows_of(self._widths, room_px)
            if len(self._rows) == 1:
                break
        roomy = room_px >= _WIDE_UNITS * theme.unit
        return len(self._rows) * max(float(theme.target), 7.0 * theme.unit if roomy else 0.0)

    def _make(self, *_: object) -> None:
        self.clear_widgets()
        for place in self._places():
            button = PlaceButton(place=place.name)
            button.bind(on_release=lambda button: self.dispatch("on_place", button.place))
            self.add_widget(button)
        self._relay()


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
