"""What the camera screen says: how the camera stands, and what can be done where there is none."""

from dataclasses import dataclass
from typing import Final, Literal

from checkapp.tongue import later, shown_word

CameraState = Literal["opening", "live", "none", "lost", "missing"]
"""How the camera stands: being opened, giving pictures, not there, no longer giving any, without OpenCV."""

_INSTEAD: Final = later("A hand scanner works on every screen, and every code can be typed.")


@dataclass(frozen=True, slots=True)
class CameraWords:
    """What is so, in large words, and what to do."""

    words: str
    more: str


_WORDS: Final[dict[CameraState, CameraWords]] = {
    "opening": CameraWords(later("Opening the camera"), _INSTEAD),
    "live": CameraWords(later("Hold a tag before the camera"), later("Several in one picture are read too.")),
    "none": CameraWords(
        later("No camera"), later("Plug one in, or close the program that uses it: it is found by itself.")
    ),
    "lost": CameraWords(later("The camera gives no picture"), later("Plug it in again: it is found by itself.")),
    "missing": CameraWords(
        later("The camera needs OpenCV"), later("Install it on this machine: pip install 'checkapp[camera]'.")
    ),
}


def camera_words(state: CameraState) -> CameraWords:
    """The words for a state."""
    known = _WORDS[state]
    more = shown_word(known.more)
    if state in ("none", "lost", "missing"):
        more = f"{more} {shown_word(_INSTEAD)}"
    return CameraWords(shown_word(known.words), more)
