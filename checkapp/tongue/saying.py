"""Messages: looked up in the catalogue, then filled in."""

from __future__ import annotations

import re

from checkapp.tongue.catalogue import catalogue

_NAMED = re.compile(
    r"\b(?:(?:source|load|desk|chain)(?= (?:(?:in|out) [0-9]|[A-Z][A-Z0-9-]*\b))"
    r"|(?:desk|outlet for)(?= chain [A-Z]))"
)
"""How things without a tag are called: after a line, a chain, and the socket that a chain starts at."""


def tr(msgid: str, **fields: object) -> str:
    """The message in the language spoken now, with ``{field}`` filled in when fields are given.

    ``msgid`` is the English message, written out where it is used: the catalogue is made from the source.
    """
    found = catalogue()
    return _filled(msgid if found is None else found.gettext(msgid), fields)


def trn(one: str, many: str, count: int, **fields: object) -> str:
    """The message for that many; ``{count}`` is filled in by itself."""
    found = catalogue()
    english = one if count == 1 else many
    return _filled(english if found is None else found.ngettext(one, many, count), {"count": count, **fields})


def trp(context: str, msgid: str, **fields: object) -> str:
    """A message that means different things in different places: ``context`` says which place."""
    found = catalogue()
    return _filled(msgid if found is None else found.pgettext(context, msgid), fields)


def later(msgid: str) -> str:
    """The message as it is: marks what a table holds in English and ``shown_word`` says when it is shown."""
    return msgid


def shown_word(word: str) -> str:
    """A word of the data, or a message marked by ``later``, in the language spoken now; as it is when it has none."""
    found = catalogue()
    return word if found is None or not word else found.gettext(word)


def shown_names(text: str) -> str:
    """Names of things that have no tag, as they are called in the language spoken now: ``source in 4``, ``chain A``.

    Codes and ports (``SB2 in 4``) are the same in every language: so they are printed.
    """
    found = catalogue()
    return text if found is None else _NAMED.sub(lambda name: found.gettext(name[0]), text)


def _filled(text: str, fields: dict[str, object]) -> str:
    if not fields:
        return text
    if catalogue() is not None:
        fields = {name: shown_names(field) if isinstance(field, str) else field for name, field in fields.items()}
    return text.format(**fields)
