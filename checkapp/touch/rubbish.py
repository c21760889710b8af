"""Rubbish is looked for between two taps, not in the midst of one."""

from __future__ import annotations

import gc
from typing import Final

from kivy.clock import Clock
from kivy.core.window import Window

_AFTER_S: Final = 0.15
"""So long after a finger was lifted its answer is there; less than the time to the next tap."""
_OFTEN: Final = 25
"""So many searches among what is new go before one among what is not quite so new, where no tap comes for long."""


class Rubbish:
    """Searches that take more than a moment, those among what outlived a search, are made after a tap was answered.

    Python makes them by itself as well, but when so much was made, which is most likely while a tap is answered.
    """

    def __init__(self) -> None:
        self._later = Clock.create_trigger(lambda _dt: gc.collect(1), _AFTER_S)
        self._as_it_was: tuple[int, int, int] | None = None

    def start(self) -> None:
        """From now on."""
        self._as_it_was = gc.get_threshold()
        gc.set_threshold(self._as_it_was[0], max(_OFTEN, self._as_it_was[1]), self._as_it_was[2])
        Window.bind(on_touch_down=self._not_now, on_touch_up=self._soon)

    def stop(self) -> None:
        """As Python does it."""
        Window.unbind(on_touch_down=self._not_now, on_touch_up=self._soon)
        self._later.cancel()
        if self._as_it_was is not None:
            gc.set_threshold(*self._as_it_was)
            self._as_it_was = None

    def _not_now(self, *_: object) -> None:
        self._later.cancel()

    def _soon(self, *_: object) -> None:
        self._later()
