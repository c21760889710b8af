"""Video files and cameras, frame by frame. OpenCV plays them; without it there are pictures and hand scanners still."""

import os
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from PIL import Image

from checkapp.rig.errors import CheckappError, printable
from checkapp.scan.codes import Sighting, codes_in
from checkapp.scan.picture import MOST_COLOUR_PX

CAMERA_SIZE_PX: Final = (1280, 720)
"""Width and height that a camera is asked for; it gives what it has that is nearest."""
LOOKS_A_SECOND: Final = 15
"""Frames of a second that are looked at: a tag that is held before a camera is there for longer than that."""
_EVERY_FRAME_UP_TO: Final = 150
"""A video of so few frames is looked at frame by frame."""
_USUAL_FRAMES_A_SECOND: Final = 30.0
THOROUGH: Final = 3
"""Of so many frames one is looked at as thoroughly as a picture is."""

_MOST_CAMERAS: Final = 4
_BACKENDS: Final = {"linux": "CAP_V4L2", "darwin": "CAP_AVFOUNDATION", "win32": "CAP_DSHOW"}
_STILL_BRANDS: Final = (b"heic", b"heix", b"heim", b"heis", b"mif1", b"msf1", b"avif", b"avis")
_BEGINNINGS: Final = (
    (0, b"\x1a\x45\xdf\xa3"),  # Matroska, WebM
    (8, b"AVI "),
    (0, b"\x00\x00\x01\xba"),  # MPEG
    (0, b"\x00\x00\x01\xb3"),
    (0, b"FLV\x01"),
    (0, b"OggS"),
    (0, b"\x30\x26\xb2\x75"),  # ASF
    *((4, box) for box in (b"ftyp", b"moov", b"mdat", b"wide", b"free", b"skip")),  # MP4, QuickTime
)


class NoOpenCv(CheckappError):
    """OpenCV is not installed, or does not work on this machine."""


class NoCamera(CheckappError):
    """This machine has no camera, or another program holds it. A normal state, to be shown and waited out."""


class VideoRefused(CheckappError):
    """A video file that cannot be played."""


@dataclass(frozen=True, slots=True)
class Frame:
    """One picture of a video or a camera; ``pixels`` are rows of blue, green and red, as OpenCV has them."""

    pixels: Any

    @property
    def size(self) -> tuple[int, int]:
        """Width and height in pixels."""
        return int(self.pixels.shape[1]), int(self.pixels.shape[0])

    def grey(self) -> Image.Image:
        """The frame to look for codes in, mode L."""
        import cv2

        grey = cv2.cvtColor(self.pixels, cv2.COLOR_BGR2GRAY)
        return Image.frombuffer("L", self.size, grey.tobytes(), "raw", "L", 0, 1)

    def codes(self, number: int = 0) -> tuple[Sighting, ...]:
        """The codes in it; ``number`` is the frame's own, for each third is looked at thoroughly."""
        return codes_in(self.grey(), thorough=number % THOROUGH == 0)

    def shown(self, most_px: int) -> tuple[tuple[int, int], bytes]:
        """The frame to be shown, no wider than that: its size, and rows of red, green and blue from the top."""
        import cv2

        pixels = self.pixels
        wide, high = self.size
        if wide > most_px:
            pixels = cv2.resize(pixels, (most_px, max(1, high * most_px // wide)), interpolation=cv2.INTER_AREA)
        turned = cv2.cvtColor(pixels, cv2.COLOR_BGR2RGB)
        return (int(turned.shape[1]), int(turned.shape[0])), turned.tobytes()


class Capture:
    """A video file or a camera that is open; to be used by one thread at a time.

    ``number`` is the camera's, -1 for a file.
    """

    def __init__(self, device: Any, number: int = -1) -> None:
        self._device = device
        self.number = number

    def read(self) -> Frame | None:
        """The next frame; None when there is none any more: the file's end, or a camera that was unplugged."""
        import cv2

        try:
            good, pixels = self._device.read()
        except cv2.error:
            return None
        return Frame(pixels) if good and pixels is not None and pixels.ndim == 3 else None

    def skip(self) -> bool:
        """Pass over a frame without looking at it; whether there was one."""
        return bool(self._device.grab())

    def figure(self, name: str) -> float:
        """What OpenCV says of it, by the name of its property; 0 where it does not know."""
        import cv2

        value = float(self._device.get(getattr(cv2, name)))
        return value if value > 0 else 0.0

    def close(self) -> None:
        """Let the file or the camera go. Once closed, nothing more."""
        self._device.release()


def open_camera(first: int = 0) -> Capture:
    """Open a camera, number ``first`` or the next that there is, counted round.

    Errors: `NoOpenCv`, `NoCamera`.
    """
    cv2 = _opencv()
    backend = getattr(cv2, _BACKENDS.get(sys.platform, "CAP_ANY"))
    for step in range(_MOST_CAMERAS):
        number = (first + step) % _MOST_CAMERAS
        device = cv2.VideoCapture(number, backend)
        if device.isOpened():
            device.set(cv2.CAP_PROP_FOURCC, cv2.VideoWriter.fourcc(*"MJPG"))  # else many give 5 frames a second
            device.set(cv2.CAP_PROP_FRAME_WIDTH, CAMERA_SIZE_PX[0])
            device.set(cv2.CAP_PROP_FRAME_HEIGHT, CAMERA_SIZE_PX[1])
            device.set(cv2.CAP_PROP_BUFFERSIZE, 1)
            return Capture(device, number)
        device.release()
    raise NoCamera("no camera; plug one in, or close the program that uses it")


def is_video(path: Path) -> bool:
    """Whether a file begins as videos do; one that cannot be read does not."""
    try:
        with path.open("rb") as file:
            head = file.read(400)
    except (OSError, ValueError):
        return False
    if head[4:8] == b"ftyp" and head[8:12] in _STILL_BRANDS:
        return False
    stream = len(head) > 188 and head[0] == head[188] == 0x47  # MPEG transport stream
    return stream or any(head[at : at + len(mark)] == mark for at, mark in _BEGINNINGS)


def open_video(path: Path) -> Capture:
    """Open a video file. Errors: `NoOpenCv`, `VideoRefused`.

    Only what begins as a video does is handed to OpenCV: a list of other files or addresses is not.
    """
    cv2 = _opencv()
    shown = printable(str(path))
    if not is_video(path):
        raise VideoRefused(f"{shown}: no video that can be played; take MP4, MOV, AVI, MKV or WebM")
    try:
        device = cv2.VideoCapture(str(path.absolute()), cv2.CAP_FFMPEG)
    except (cv2.error, ValueError):
        raise VideoRefused(f"{shown}: cannot be opened by that name; rename it") from None
    video = Capture(device)
    if not device.isOpened():
        raise VideoRefused(f"{shown}: the video is damaged, or of a kind that cannot be played; save it as MP4")
    if video.figure("CAP_PROP_FRAME_WIDTH") * video.figure("CAP_PROP_FRAME_HEIGHT") > MOST_COLOUR_PX:
        video.close()
        raise VideoRefused(f"{shown}: the video is too large; at most {MOST_COLOUR_PX // 1_000_000} million pixels")
    return video


@dataclass(frozen=True, slots=True)
class Look:
    """One look at a video: seconds from its beginning, the part of it that is done (0 to 1), the codes in sight."""

    at_s: float
    done: float
    found: tuple[Sighting, ...]


def looks(path: Path) -> Iterator[Look]:
    """Look at a video file some times a second, from beginning to end. Errors: `NoOpenCv`, `VideoRefused`."""
    video = open_video(path)
    try:
        a_second, frames, every = _pace(video)
        number = 0
        while frame := video.read():
            at = number * every
            yield Look(at / a_second, min(1.0, at / frames) if frames else 0.0, frame.codes(number))
            number += 1
            if not all(video.skip() for _ in range(every - 1)):
                break
        if number == 0:
            raise VideoRefused(f"{printable(str(path))}: the video has no picture that can be read; save it as MP4")
    finally:
        video.close()


def _pace(video: Capture) -> tuple[float, float, int]:
    """Frames a second and frames in all as the file has them, 0 where it does not say; which of them to look at."""
    said = video.figure("CAP_PROP_FPS")
    a_second = said if 1 <= said <= 1000 else _USUAL_FRAMES_A_SECOND
    frames = video.figure("CAP_PROP_FRAME_COUNT")
    short = 0 < frames <= _EVERY_FRAME_UP_TO
    return a_second, frames, 1 if short else max(1, round(a_second / LOOKS_A_SECOND))


def _opencv() -> Any:
    """OpenCV, which keeps quiet: what is wrong is said by us."""
    os.environ.setdefault("OPENCV_FFMPEG_LOGLEVEL", "-8")  # it is read when a video is first opened
    try:
        import cv2
    except ImportError:
        raise NoOpenCv(
            "videos and cameras need OpenCV, which is not installed; install it with: pip install 'checkapp[camera]'"
        ) from None
    cv2.utils.logging.setLogLevel(cv2.utils.logging.LOG_LEVEL_SILENT)
    return cv2
