"""Keyboards of other countries: what a scanner that is set to a US keyboard wrote on one of them, and what it meant.

A scanner says which key was pressed, not which letter is meant. Each keyboard stands here as what its keys write, in
the order of the US keyboard's ``1`` to ``-``, ``Q`` to ``P``, ``A`` to ``;``, ``Z`` to ``/``: alone, then with shift.
Source: the symbol files of xkeyboard-config 2.35.1 (X.Org; ``symbols/us``, ``fr``, ``be`` and so on, the variant that
stands first in each), as libxkbcommon compiles them.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

US_KEYS: Final = "1234567890-QWERTYUIOPASDFGHJKL:ZXCVBNM,./"
"""What each key stands for in a tag or a link: a capital letter, a figure or a sign, whether shift was held or not."""
_USAGES: Final = (
    *range(30, 40), 45,
    20, 26, 8, 21, 23, 28, 24, 12, 18, 19,
    4, 22, 7, 9, 10, 11, 13, 14, 15, 51,
    29, 27, 6, 25, 5, 17, 16, 54, 55, 56,
)  # fmt: skip
"""The same keys by their number on any keyboard (USB HID Usage Tables 1.12, keyboard page 0x07; from memory)."""
NO_KEY: Final = "\ufffd"
"""Stands for a character that no key of these writes."""


class _Back(dict[int, str]):
    """From what was written to what the scanner meant; a capital that only Caps Lock writes is its small letter's."""

    def __missing__(self, character: int) -> str:
        small = chr(character).lower()
        meant = self.get(ord(small), NO_KEY) if len(small) == 1 else NO_KEY
        self[character] = meant
        return meant


@dataclass(frozen=True, slots=True)
class Keyboard:
    """One keyboard: its name, what its keys write alone and with shift, in the order of `US_KEYS`.

    ``locks``: on Windows its Caps Lock holds shift down for all keys, not for letters alone (from memory).
    """

    name: str
    alone: str
    shifted: str
    locks: bool = False

    def back(self, locked: bool = False) -> dict[int, str]:
        """For `str.translate`: what the scanner meant by each character that was written.

        Letters may be small or capital, for a tag has no small ones. ``locked``: shift was locked for all keys.
        """
        plain, turned = (self.shifted, self.alone) if locked else (self.alone, self.shifted)
        written = zip(plain, turned, US_KEYS, strict=True)
        keys = {ord(one): meant for one, other, meant in written for one in _ways(one, other, meant)}
        return _Back({ord(" "): " ", **keys})

    def backs(self) -> list[dict[int, str]]:
        """All ways back, with and without shift locked where that is done."""
        return [self.back(locked) for locked in (False, True)[: 1 + self.locks]]


def _ways(plain: str, turned: str, meant: str) -> str:
    """What a key writes for a scanner: figures and most signs are sent without shift, letters and the colon with it."""
    return plain + turned if meant.isalpha() or meant == ":" else plain


LOCKS: Final = True
US: Final = Keyboard("US", "1234567890-qwertyuiopasdfghjkl;zxcvbnm,./", "!@#$%^&*()_QWERTYUIOPASDFGHJKL:ZXCVBNM<>?")
KEYBOARDS: Final = (
    Keyboard(
        "French", "&é\"'(-è_çà)azertyuiopqsdfghjklmwxcvbn,;:!", "1234567890°AZERTYUIOPQSDFGHJKLMWXCVBN?./§", locks=True
    ),
    Keyboard(
        "Belgian", "&é\"'(§è!çà)azertyuiopqsdfghjklmwxcvbn,;:=", "1234567890°AZERTYUIOPQSDFGHJKLMWXCVBN?./+", locks=True
    ),
    Keyboard(
        "German", "1234567890ßqwertzuiopasdfghjklöyxcvbnm,.-", '!"§$%&/()=?QWERTZUIOPASDFGHJKLÖYXCVBNM;:_', locks=True
    ),
    Keyboard("Swiss German", "1234567890'qwertzuiopasdfghjklöyxcvbnm,.-", '+"*ç%&/()=?QWERTZUIOPASDFGHJKLéYXCVBNM;:_'),
    Keyboard("Swiss French", "1234567890'qwertzuiopasdfghjkléyxcvbnm,.-", '+"*ç%&/()=?QWERTZUIOPASDFGHJKLöYXCVBNM;:_'),
    Keyboard("Italian", "1234567890'qwertyuiopasdfghjklòzxcvbnm,.-", '!"£$%&/()=?QWERTYUIOPASDFGHJKLçZXCVBNM;:_'),
    Keyboard("Spanish", "1234567890'qwertyuiopasdfghjklñzxcvbnm,.-", '!"·$%&/()=?QWERTYUIOPASDFGHJKLÑZXCVBNM;:_'),
    Keyboard("Portuguese", "1234567890'qwertyuiopasdfghjklçzxcvbnm,.-", '!"#$%&/()=?QWERTYUIOPASDFGHJKLÇZXCVBNM;:_'),
    Keyboard("British", "1234567890-qwertyuiopasdfghjkl;zxcvbnm,./", '!"£$%^&*()_QWERTYUIOPASDFGHJKL:ZXCVBNM<>?'),
    Keyboard("Dutch", "1234567890/qwertyuiopasdfghjkl+zxcvbnm,.-", "!\"#$%&_()'?QWERTYUIOPASDFGHJKL±ZXCVBNM;:="),
    Keyboard("Swedish", "1234567890+qwertyuiopasdfghjklözxcvbnm,.-", '!"#¤%&/()=?QWERTYUIOPASDFGHJKLÖZXCVBNM;:_'),
    Keyboard("Norwegian", "1234567890+qwertyuiopasdfghjkløzxcvbnm,.-", '!"#¤%&/()=?QWERTYUIOPASDFGHJKLØZXCVBNM;:_'),
    Keyboard("Danish", "1234567890+qwertyuiopasdfghjklæzxcvbnm,.-", '!"#¤%&/()=?QWERTYUIOPASDFGHJKLÆZXCVBNM;:_'),
    Keyboard("Czech", "+ěščřžýáíé=qwertzuiopasdfghjklůyxcvbnm,.-", '1234567890%QWERTZUIOPASDFGHJKL"YXCVBNM?:_'),
    Keyboard("Hungarian", "123456789öüqwertzuiopasdfghjkléyxcvbnm,.-", "'\"+!%/=()ÖÜQWERTZUIOPASDFGHJKLÉYXCVBNM?:_"),
)
"""The keyboards that are known besides the US one. The Finnish and the Austrian are the Swedish and the German."""


@dataclass(frozen=True, slots=True)
class Press:
    """A key that was pressed: its number on any keyboard (0: not known), what it writes alone, whether with shift."""

    usage: int
    alone: str
    shift: bool


def written(presses: Sequence[Press]) -> str:
    """What keys write, where only they themselves are known: by the keyboard on which each of them writes what it does.

    Where no keyboard fits or no number is known, the US one is taken.
    """
    keyboard = next((one for one in (US, *KEYBOARDS) if _is_of(one, presses)), US)
    return "".join(_wrote(keyboard, press) for press in presses)


def _is_of(keyboard: Keyboard, presses: Sequence[Press]) -> bool:
    known = [press for press in presses if press.usage in _USAGES]
    return bool(known) and all(keyboard.alone[_USAGES.index(press.usage)] == press.alone for press in known)


def _wrote(keyboard: Keyboard, press: Press) -> str:
    place = keyboard.alone.find(press.alone)
    if not press.shift:
        return press.alone
    return keyboard.shifted[place] if place >= 0 else press.alone.upper()
