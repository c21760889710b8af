"""What the camera screen says: how the camera stands, and what can be done where there is none."""

from dataclasses import dataclass
from typing import Final, Literal

CameraState = Literal["opening", "live", "none", "lost", "missing"]
"""How the camera stands: being opened, giving pictures, not there, no longer giving any, without OpenCV."""

_INSTEAD: Final = "A hand scanner works on every screen, and every code can be typed."


@dataclass(frozen=True, slots=True)
class CameraWords:
    """What is so, in large words, and what to do."""

    words: str
    more: str


_WORDS: Final[dict[CameraState, CameraWords]] = {
    "opening": CameraWords("Opening the camera", _INSTEAD),
    "live": CameraWords("Hold a tag before the camera", "Several in one picture are read too."),
    "none": CameraWords(
        "No camera", f"Plug one in, or close the program that uses it: it is found by itself. {_INSTEAD}"
    ),
    "lost": CameraWords("The camera gives no picture", f"Plug it in again: it is found by itself. {_INSTEAD}"),
    "missing": CameraWords(
        "The camera needs OpenCV", f"Install it on this machine: pip install 'checkapp[camera]'. {_INSTEAD}"
    ),
}


def camera_words(state: CameraState) -> CameraWords:
    """The words for a state."""
    return _WORDS[state]
