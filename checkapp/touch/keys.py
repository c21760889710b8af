"""Keys, for those with no dry glove: what each does on a screen, which write, and which are only held and repeat."""

from collections.abc import Iterable
from typing import Final

ESCAPE: Final = 27
ENTERS: Final = frozenset({13, 271, 9})
"""Enter, Enter at the numbers, and Tab: what a hand scanner may end with."""
SHIFTS: Final = frozenset({301, 303, 304})
"""Caps Lock and the two shift keys."""
WALK_KEYS: Final[dict[int, str]] = {
    32: "ok",  # space
    102: "faulty",  # F
    117: "undo",  # U
    276: "back",  # left
    273: "back",  # up
    280: "back",  # page up, as a presenter's remote sends it
    275: "forward",  # right
    274: "forward",  # down
    281: "forward",  # page down, as the other button of the remote sends it
    46: "skip",  # full stop, as a remote sends it to darken a screen
    98: "skip",  # B, as other remotes do
}
"""On the walk. Whatever a presenter's remote sends moves on or back and marks nothing: ok is a key of its own. Enter is
none, for a hand scanner ends with it."""
NUMBER_KEYS: Final[dict[int, str]] = {
    **{48 + digit: str(digit) for digit in range(10)},
    **{256 + digit: str(digit) for digit in range(10)},  # at the numbers
}
"""On the walk they begin a number to go to, but for 0, with which no number begins."""
JUMP_KEYS: Final[dict[int, str]] = {
    13: "go",
    271: "go",  # Enter at the numbers
    8: "delete",  # backspace
    127: "delete",
    105: "to_inputs",  # I
    111: "to_outputs",  # O
}
"""Where a number is typed."""
PLAN_KEYS: Final[dict[int, int]] = {
    43: 1,  # plus
    61: 1,  # the key of plus without shift, where that is equals
    270: 1,  # plus, at the numbers
    45: -1,  # minus
    269: -1,  # minus, at the numbers
}
DIGITS: Final = {48 + digit: digit for digit in range(1, 10)}
_WRITING_USAGES: Final = frozenset({*range(4, 40), *range(44, 57), *range(84, 88), *range(89, 101)})
"""Letters, figures, signs, space and the numbers' block (USB HID Usage Tables 1.12, page 0x07; from memory)."""
_CHORDS: Final = frozenset({"ctrl", "alt", "alt-gr", "meta", "super"})
_STALE_S: Final = 1.0


def place_number(key: int, modifiers: Iterable[str]) -> int:
    """The number of the place in the strip that a key asks for, with Ctrl and a digit; 0 for none.

    A function key would not do: presenters' remotes send some of them.
    """
    return DIGITS.get(key, 0) if _CHORDS & set(modifiers) == {"ctrl"} else 0


def is_chord(modifiers: Iterable[str]) -> bool:
    """Whether a key was pressed together with one that makes it a shortcut of the system."""
    return bool(_CHORDS & set(modifiers))


def writes(key: int, usage: int) -> bool:
    """Whether a key writes a character; ``usage`` is its number on any keyboard, 0 where that is not known.

    The toolkit's own numbers are those of characters, except that it has set 256 to 319 aside for other keys.
    """
    if usage:
        return usage in _WRITING_USAGES
    return (32 <= key < 273 and key not in (127, 271)) or 320 <= key < 0x110000


class HeldKeys:
    """Tells a press from the repeats that a held key sends.

    A key that has been silent for a second is taken as let go, for its release is lost when another window takes the
    keyboard meanwhile.
    """

    def __init__(self) -> None:
        self._last_s: dict[int, float] = {}

    def pressed(self, key: int, now_s: float) -> bool:
        """Whether this is a new press of ``key``, at ``now_s`` on any steady clock in seconds."""
        last_s = self._last_s.get(key, float("-inf"))
        self._last_s[key] = now_s
        return now_s - last_s >= _STALE_S

    def released(self, key: int) -> None:
        """Forget a key that was let go."""
        self._last_s.pop(key, None)
