"""Scanning with the camera: the live picture, what was read, and what to do where there is no camera."""

from __future__ import annotations

import time
from pathlib import Path
from threading import Lock
from typing import Any, Final

from kivy.app import App
from kivy.lang import Builder
from kivy.properties import BooleanProperty, ObjectProperty, StringProperty

from checkapp.rig.errors import printable
from checkapp.scan.video import open_camera
from checkapp.show.camera_words import camera_words
from checkapp.tongue import tr
from checkapp.touch.camera_worker import CameraWorker
from checkapp.touch.page import Page
from checkapp.touch.scangate import ScanGate
from checkapp.touch.widgets import field as _field  # noqa: F401  these layouts are used in ours
from checkapp.touch.widgets import live as _live  # noqa: F401
from checkapp.touch.widgets import notice as _notice  # noqa: F401

AGAIN_S: Final = 2.0
"""A tag that stays before the camera is one scan; out of sight for so long, it is the next."""
_LET_GO_S: Final = 1.0
_MOST_SHOWN: Final = 60


class CameraScreen(Page):
    """The camera, running while the screen is at the front and the app is not put aside.

    The view is the answer to the last scan, or None. ``state`` is how the camera stands, ``said`` what was read last,
    ``came_from`` the word of the way back. ``open_source`` opens a camera by its number, ``now_s`` is any steady clock
    in seconds.
    """

    view = ObjectProperty(None, rebind=True, allownone=True)
    wide = BooleanProperty(True)
    state = StringProperty("opening")
    said = StringProperty("")
    came_from = StringProperty("back")
    open_source = staticmethod(open_camera)
    now_s = staticmethod(time.monotonic)

    def __init__(self, **kwargs: Any) -> None:
        self._worker: CameraWorker | None = None
        self._device = Lock()
        self._number = 0
        self._in_window = False
        self._gate = ScanGate(AGAIN_S)
        super().__init__(**kwargs)

    def words_of(self, state: str) -> str:
        """What is so."""
        return camera_words(state).words  # type: ignore[arg-type]

    def more_of(self, state: str) -> str:
        """What to do."""
        return camera_words(state).more  # type: ignore[arg-type]

    # -- the camera

    def on_enter(self) -> None:
        """Look for the camera; let it go when the app is put aside or closed."""
        self.said = ""
        self._start()
        app = App.get_running_app()
        if app is not None:
            app.bind(on_pause=self._rest, on_resume=self._start, on_stop=self._rest)

    def on_leave(self) -> None:
        """Let the camera go, and the keyboard."""
        app = App.get_running_app()
        if app is not None:
            app.unbind(on_pause=self._rest, on_resume=self._start, on_stop=self._rest)
        self.ids.code.focus = False
        self._stop(0.0)

    def _start(self, *_: object) -> None:
        if self._worker is None:
            self.state = "opening"
            self._in_window = False
            self._worker = CameraWorker(self.open_source, self._told, self._device, self._number)

    def _rest(self, *_: object) -> None:
        self._stop(_LET_GO_S)

    def _stop(self, wait_s: float) -> None:
        if self._worker is not None:
            self._number = self._worker.number
            self._worker.stop(wait_s)
            self._worker = None
        self.ids.live.clear()

    def other(self) -> None:
        """The next camera, on a tablet with one on each side."""
        self._stop(0.0)
        self._number += 1
        self._start()

    # -- what it gives

    def _told(self) -> None:
        if self._worker is None:
            return
        if self.get_parent_window() is not None:
            self._in_window = True
        elif self._in_window:  # it was taken out of the window: nobody can see it any more
            self._stop(0.0)
            return
        news = self._worker.news()
        self.state = news.state
        if news.state != "live":
            self.ids.live.clear()
        elif news.picture is not None:
            self.ids.live.show(news.picture)
        for found in news.looks:
            self.ids.live.mark(found)
            for one in found:
                self._seen(one.text)

    def _seen(self, text: str) -> None:
        if self._gate.take(text, self.now_s()):
            self.said = tr("read {text}", text=printable(text.strip(), _MOST_SHOWN))
            self.moves.scanned(text)

    def typed(self, text: str) -> None:
        """A code was typed where a scan would do."""
        self.ids.code.text = ""
        self.moves.scanned(text)

    def leave(self) -> None:
        """Back to what it was opened from, as it stands."""
        self.moves.under()


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
