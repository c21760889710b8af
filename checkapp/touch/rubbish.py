"""Rubbish is looked for between two taps, not in the midst of one."""

from __future__ import annotations

import gc

from kivy.clock import Clock
from kivy.core.window import Window


class Rubbish:
    """After each tap, once its answer was drawn, a search among what is new or not quite so new.

    Python makes them by itself as well, but when so much was made, which is most likely while a tap is answered.
    """

    def __init__(self) -> None:
        self._search = Clock.create_trigger(lambda _dt: gc.collect(1))
        self._after_this_frame = Clock.create_trigger(lambda _dt: self._search())

    def start(self) -> None:
        """From now on."""
        Window.bind(on_touch_up=self._tapped)

    def stop(self) -> None:
        """No more."""
        Window.unbind(on_touch_up=self._tapped)
        self._after_this_frame.cancel()
        self._search.cancel()

    def _tapped(self, *_: object) -> None:
        self._after_this_frame()
