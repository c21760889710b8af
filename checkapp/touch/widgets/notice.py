"""What must be seen at once: an answer, or the next thing to do, in a frame, as large as its place takes it."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any, Final

from kivy.lang import Builder
from kivy.properties import BooleanProperty, NumericProperty, ObjectProperty, StringProperty
from kivy.uix.behaviors.button import ButtonBehavior
from kivy.uix.boxlayout import BoxLayout

from checkapp.touch.measure import height_of, largest_size
from checkapp.touch.theme import theme
from checkapp.touch.widgets import mark as _mark  # noqa: F401  its layout is used in ours

_ROOMY: Final = 50.0
"""From this width on, in the one measure, a notice is large."""
_ONE_LINE: Final = 0.85
"""Down to this size, in the largest, words are on one line rather than on two of the largest."""
_NAME: Final = re.compile(
    r" (?=(?:in|out)\b \d|link (?:in|out)\b|[AB]\b)|(?<=\bin) (?=\d)|(?<=\bout) (?=\d)|(?<=link) "
)


def unbroken(words: str) -> str:
    """The same words, with names of ports, sockets and ends kept on one line: ``LEFT in 1``, ``HP02 B``."""
    return _NAME.sub("\u00a0", words)


class Notice(ButtonBehavior, BoxLayout):
    """A status as shape and colour, the words large, more below them; no room taken while there are no words.

    ``room_px`` is the height that the words may take before they are made smaller. A tap does ``tapped``.
    """

    status = StringProperty("next")
    words = StringProperty("")
    more = StringProperty("")
    room_px = NumericProperty("144dp")
    most_px = NumericProperty("56sp")
    more_px = NumericProperty("18sp")
    firm = BooleanProperty(True)
    tapped = ObjectProperty(None, allownone=True)
    unbroken = staticmethod(unbroken)

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**{"most_px": theme.sp(56), "more_px": theme.sp(18), **kwargs})

    @staticmethod
    def mark_px(wide_px: float, _unit: float = 0.0) -> float:
        """The side of its status shape in pixels when it is ``wide_px`` wide; naming the unit makes a layout follow."""
        return (6.0 if wide_px >= _ROOMY * theme.unit else 4.0) * float(theme.unit)

    @staticmethod
    def words_px(words: str, wide_px: float, room_px: float, most_px: float, _unit: float = 0.0) -> float:
        """The size of the words in a notice ``wide_px`` wide."""
        sizes = int(theme.code_px), int(_ONE_LINE * most_px), int(most_px)
        return largest_size(unbroken(words), _words_wide(wide_px), room_px, sizes, bold=True) if words else 0.0

    @staticmethod
    def high(
        words: str, more: str, wide_px: float, room_px: float, most_px: float, more_px: float, _unit: float = 0.0
    ) -> float:
        """Its height in pixels when it is ``wide_px`` wide."""
        if not words:
            return 0.0
        wide, size_px = _words_wide(wide_px), Notice.words_px(words, wide_px, room_px, most_px)
        said = height_of(unbroken(words), size_px, wide, bold=True) + height_of(unbroken(more), more_px, wide)
        return max(said, Notice.mark_px(wide_px)) + 3.0 * float(theme.unit)

    def on_release(self) -> None:
        """Do what it offers, where it offers anything."""
        if self.tapped:
            self.tapped()


class ListedNotice(Notice):
    """The same as a row of a list, where there is less room."""

    @staticmethod
    def height_for(row: dict[str, Any], width_px: float) -> float:
        """Height of the row in pixels in a list ``width_px`` wide."""
        return Notice.high(row["words"], row["more"], width_px, 14.0 * theme.unit, 1.25 * theme.name_px, theme.body_px)


def _words_wide(wide_px: float) -> float:
    return 0.98 * (wide_px - Notice.mark_px(wide_px) - 6.0 * float(theme.unit))


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
