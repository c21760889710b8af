"""The language of what a command puts on paper; what it prints on the terminal is English."""

from contextlib import AbstractContextManager, nullcontext

from checkapp.rig.errors import CheckappError, printable
from checkapp.tongue import LANGUAGES, speaking


class UnknownLanguage(CheckappError):
    """A language was asked for that the program does not speak."""


def in_language(code: str | None) -> AbstractContextManager[None]:
    """Say everything in that language within the block; None: in the one that is spoken, which may change meanwhile.

    ``code`` is one of ISO 639-1. Errors: `UnknownLanguage`.
    """
    if code is None:
        return nullcontext()
    check_language(code)
    return speaking(code)


def check_language(code: str) -> None:
    """Refuse a language that the program does not speak: `UnknownLanguage`."""
    if code not in LANGUAGES:
        raise UnknownLanguage(f"{printable(code, 20)}: not a language of ours; one of: {', '.join(LANGUAGES)}")
