"""The language of this process and its catalogue of messages."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from gettext import NullTranslations

ENGLISH = "en"

LANGUAGES = {"en": "English", "de": "Deutsch"}
"""The languages there are: code (ISO 639-1) to the language's own name."""

ROOM = Path(__file__).parent

_spoken: list[tuple[str, NullTranslations | None]] = [(ENGLISH, None)]
_read: dict[str, NullTranslations | None] = {ENGLISH: None}


def use(code: str) -> None:
    """Speak that language from now on, in the whole process; one of the codes of LANGUAGES.

    Any other code means English: a tablet that was set to a language that a later version no longer has still starts.
    """
    code = code if code in LANGUAGES else ENGLISH
    if code not in _read:
        _read[code] = _catalogue(code)
    _spoken[0] = (code, _read[code])


@contextmanager
def speaking(code: str) -> Iterator[None]:
    """Speak that language within the block, as `use` does, and again the one from before after it."""
    before = language()
    use(code)
    try:
        yield
    finally:
        use(before)


def language() -> str:
    """Code of the language that is spoken now."""
    return _spoken[0][0]


def catalogue() -> NullTranslations | None:
    """Messages of the language that is spoken now; None in English, which needs none."""
    return _spoken[0][1]


def _catalogue(code: str) -> NullTranslations:
    from gettext import GNUTranslations

    with (ROOM / f"{code}.mo").open("rb") as file:
        return GNUTranslations(file)
