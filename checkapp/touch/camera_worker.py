"""The camera off the UI thread: one thread takes its pictures, another reads codes in the newest; none is queued."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from threading import Event, Lock, Thread
from typing import TYPE_CHECKING, Final, Protocol

from kivy.clock import Clock

from checkapp.rig.errors import CheckappError
from checkapp.scan.video import NoOpenCv

if TYPE_CHECKING:
    from checkapp.scan.codes import Sighting
    from checkapp.scan.video import Frame
    from checkapp.show.camera_words import CameraState

RETRY_S: Final = 1.0
"""From one try to find a camera to the next."""
_REST_S: Final = 0.04
"""Between two looks for codes: the tablet has other work, and a battery."""
_SHOWN_PX: Final = 1280


class Source(Protocol):
    """What gives frames: a camera, or a film that is played."""

    @property
    def number(self) -> int:
        """Which of several cameras it is."""

    def read(self) -> Frame | None:
        """The next frame, once it is there; None when there is none any more."""

    def close(self) -> None:
        """Let the device go."""


OpenSource = Callable[[int], Source]


@dataclass(frozen=True, slots=True)
class Picture:
    """A frame to be shown: its size, rows of red, green and blue from the top, and the size that corners refer to."""

    size: tuple[int, int]
    rows: bytes
    frame_size: tuple[int, int]


@dataclass(frozen=True, slots=True)
class News:
    """What came since it was last asked: how the camera stands, the newest picture, what was read.

    ``looks`` holds what each look found, oldest first.
    """

    state: CameraState
    picture: Picture | None
    looks: tuple[tuple[Sighting, ...], ...]


class CameraWorker:
    """Opens a camera, shows it and reads codes until it is stopped; when the camera goes away it is tried again.

    ``open_source`` opens the camera of a number, or the next that there is. ``told`` is called on the main thread when
    there is news, which `news` then gives. ``device`` is held as long as the camera is: a worker that follows
    another waits there until the camera is free.
    """

    def __init__(self, open_source: OpenSource, told: Callable[[], None], device: Lock, first: int = 0) -> None:
        self.number = first
        self._open_source = open_source
        self._told = told
        self._device = device
        self._stop = Event()
        self._fresh = Event()
        self._lock = Lock()
        self._state: CameraState = "opening"
        self._frame: Frame | None = None
        self._picture: Picture | None = None
        self._looks: list[tuple[Sighting, ...]] = []
        self._telling = False
        self._camera = Thread(target=self._watch, name="camera", daemon=True)
        self._reader = Thread(target=self._read, name="codes", daemon=True)
        self._camera.start()
        self._reader.start()

    def stop(self, wait_s: float = 0.0) -> bool:
        """Let the camera go, as soon as the frame under way is there; whether it was within ``wait_s`` seconds."""
        self._stop.set()
        self._fresh.set()
        self._camera.join(wait_s)
        return not self._camera.is_alive()

    def news(self) -> News:
        """What came since this was last asked. To be called on the main thread."""
        with self._lock:
            news = News(self._state, self._picture, tuple(self._looks))
            self._picture, self._looks, self._telling = None, [], False
        return news

    # -- the camera's thread

    def _watch(self) -> None:
        with self._device:
            while not self._stop.is_set():
                self._play()
                self._stop.wait(None if self._state == "missing" else RETRY_S)

    def _play(self) -> None:
        """Show one camera until it gives no more."""
        try:
            source = self._open_source(self.number)
        except NoOpenCv:
            self._say("missing")
            return
        except CheckappError:
            self._say("lost" if self._state == "lost" else "none")
            return
        try:
            self.number = source.number
            while not self._stop.is_set() and (frame := source.read()):
                self._show(frame)
        finally:
            source.close()
        self._say("lost")

    def _show(self, frame: Frame) -> None:
        picture = Picture(*frame.shown(_SHOWN_PX), frame.size)
        with self._lock:
            self._state, self._frame, self._picture = "live", frame, picture
        self._fresh.set()
        self._tell()

    def _say(self, state: CameraState) -> None:
        with self._lock:
            self._state, self._picture = state, None
        self._tell()

    # -- the reader's thread

    def _read(self) -> None:
        number = 0
        while True:
            self._fresh.wait()
            self._fresh.clear()  # before the look whether to stop: else word of that could be lost
            if self._stop.is_set():
                return
            with self._lock:
                frame, self._frame = self._frame, None
            if frame is not None:
                found = frame.codes(number)
                number += 1
                with self._lock:
                    self._looks.append(found)
                self._tell()
                self._stop.wait(_REST_S)

    def _tell(self) -> None:
        """Once for all the news that there is, on the main thread's next frame."""
        with self._lock:
            if self._telling or self._stop.is_set():
                return
            self._telling = True
        Clock.schedule_once(self._tell_main, 0)

    def _tell_main(self, _dt: float) -> None:
        if not self._stop.is_set():
            self._told()
