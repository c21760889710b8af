"""Rubbish is looked for between two taps, not in the midst of one."""

from __future__ import annotations

import gc
import sys
from typing import Final

from kivy.clock import Clock
from kivy.core.window import Window

_AFTER_S: Final = 0.15
"""So long after a finger was lifted its answer is there; less than the time to the next tap."""
_MUCH: Final = 1.1
"""So many times what there was after the last search everywhere asks for the next one."""
_TOO_MUCH: Final = 1.2
"""So many times asks for it although fingers never rest, once the frame with the answer to the last is drawn."""


class Rubbish:
    """After a tap was answered, while no finger is on the screen, a search among what is new or not quite so new; where
    there has come to be much more than before, everywhere.

    Python makes them by itself as well, but when so much was made, which is most likely while a tap is answered, and
    everywhere only once there is a quarter more: it would keep the room that a quarter takes.
    """

    def __init__(self) -> None:
        self._later = Clock.create_trigger(self._look, _AFTER_S)
        self._next = Clock.create_trigger(self._look, 0)
        self._least = sys.getallocatedblocks()

    def start(self) -> None:
        """From now on."""
        Window.bind(on_touch_down=self._not_now, on_touch_up=self._soon)

    def stop(self) -> None:
        """No more."""
        Window.unbind(on_touch_down=self._not_now, on_touch_up=self._soon)
        self._later.cancel()
        self._next.cancel()

    def _not_now(self, *_: object) -> None:
        self._later.cancel()

    def _soon(self, *_: object) -> None:
        self._later()
        if sys.getallocatedblocks() > _TOO_MUCH * self._least:
            self._next()

    def _look(self, _dt: float) -> None:
        there = sys.getallocatedblocks()
        if there > _MUCH * self._least:
            gc.collect()
            self._least = sys.getallocatedblocks()
        else:
            gc.collect(1)
            self._least = min(self._least, there)
