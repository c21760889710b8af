"""Rubbish is looked for between two taps, not in the midst of one."""

from __future__ import annotations

import gc
from typing import Final

from kivy.clock import Clock
from kivy.core.window import Window

_AFTER_S: Final = 0.15
"""So long after a finger was lifted its answer is there; less than the time to the next tap."""


class Rubbish:
    """After a tap was answered, while no finger is on the screen, a search among what is new or not quite so new.

    Python makes them by itself as well, but when so much was made, which is most likely while a tap is answered.
    """

    def __init__(self) -> None:
        self._later = Clock.create_trigger(lambda _dt: gc.collect(1), _AFTER_S)

    def start(self) -> None:
        """From now on."""
        Window.bind(on_touch_down=self._not_now, on_touch_up=self._soon)

    def stop(self) -> None:
        """No more."""
        Window.unbind(on_touch_down=self._not_now, on_touch_up=self._soon)
        self._later.cancel()

    def _not_now(self, *_: object) -> None:
        self._later.cancel()

    def _soon(self, *_: object) -> None:
        self._later()
