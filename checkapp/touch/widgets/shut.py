"""Why a button is shut: said beside it when it is tapped, until the next tap or key, or until it has been read."""

from __future__ import annotations

from typing import Any, Final

from kivy.clock import Clock
from kivy.core.window import Window
from kivy.event import EventDispatcher
from kivy.graphics import Color, Rectangle
from kivy.properties import StringProperty
from kivy.uix.label import Label

from checkapp.tongue import later, shown_word
from checkapp.touch.measure import width_of
from checkapp.touch.theme import theme
from checkapp.touch.widgets.fills import Fills, frame_of

SHOWN_S: Final = 4.0
_WIDEST_UNITS: Final = 45.0
"""In the one measure."""
_SAME: Final = {later("undo"): later("Nothing to take back.")}
"""Words that are shut for the same reason wherever they stand."""

Place = tuple[float, float]


def same_reason(words: str) -> str:
    """Why a button with these words is shut, where that is the same on every screen; else empty."""
    return next((shown_word(why) for word, why in _SAME.items() if shown_word(word) == words), "")


def place_beside(button: tuple[float, float, float, float], size: Place, window: Place, gap: float) -> Place:
    """Where the words stand: over the middle of the button, below it where there is no room, inside the window.

    All in pixels; ``button`` is left, bottom, width and height in the window.
    """
    x, y, wide, high = button
    left = min(max(gap, x + (wide - size[0]) / 2), window[0] - size[0] - gap)
    above = y + high + gap
    return left, above if above + size[1] + gap <= window[1] else max(gap, y - gap - size[1])


class Why(Label):
    """The words, in a frame of their own over the screen."""

    def __init__(self, words: str) -> None:
        wide = min(_WIDEST_UNITS * theme.unit, Window.width - 2 * theme.unit)
        pad = 2 * theme.unit, 1.5 * theme.unit
        wide = min(wide, 1.08 * width_of(words, theme.body_px) + 2 * pad[0])
        super().__init__(
            text=words,
            font_size=theme.body_px,
            color=theme.text,
            padding=pad,
            text_size=(wide, None),
            size_hint=(None, None),
        )
        self.texture_update()
        self.size = self.texture_size
        self.bind(pos=self._frame)

    def _frame(self, *_: object) -> None:
        self.canvas.before.clear()
        with self.canvas.before:
            Color(*theme.panel)
            Rectangle(pos=self.pos, size=self.size)
            Color(*theme.look)
            Fills(frame_of(self.x, self.y, self.width, self.height, 0.5 * theme.unit))

    def show(self, button: Any) -> None:
        """Say it beside a button."""
        x, y = button.to_window(*button.pos)
        self.pos = place_beside((x, y, *button.size), self.size, Window.size, theme.unit)
        for one in [child for child in Window.children if isinstance(child, Why)]:
            one.put_away()
        Window.add_widget(self)
        Window.bind(on_touch_down=self.put_away, on_key_down=self.put_away, on_resize=self.put_away)
        Clock.schedule_once(self.put_away, SHOWN_S)

    def put_away(self, *_: object) -> None:
        """It has been read."""
        Clock.unschedule(self.put_away)
        Window.unbind(on_touch_down=self.put_away, on_key_down=self.put_away, on_resize=self.put_away)
        Window.remove_widget(self)


class Shut(EventDispatcher):
    """A button that says why it is shut: ``reason``, where that is not the same for its words everywhere."""

    reason = StringProperty("")

    @property
    def why(self) -> str:
        """Why it is shut."""
        return self.reason or same_reason(getattr(self, "word", "") or getattr(self, "text", ""))

    def on_touch_down(self, touch: Any) -> bool:
        """A finger on it while it is shut, and seen, is told why."""
        if self.disabled and self.opacity and self.collide_point(*touch.pos) and self.why:
            Why(self.why).show(self)
        return bool(super().on_touch_down(touch))
