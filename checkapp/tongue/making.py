"""From the source of a catalogue, which people edit, to the form that is read at run time."""

from __future__ import annotations

from io import BytesIO

from checkapp.tongue.catalogue import ENGLISH, LANGUAGES, ROOM


def made(code: str) -> bytes:
    """The catalogue of a language in gettext's binary form, from its .po file (GNU gettext manual, 10.3)."""
    from babel.messages.mofile import write_mo
    from babel.messages.pofile import read_po

    with (ROOM / f"{code}.po").open("rb") as file:
        read = read_po(file, locale=code, abort_invalid=True)
    out = BytesIO()
    write_mo(out, read)
    return out.getvalue()


def make_all() -> None:
    """Write the binary catalogue of each language beside its source."""
    for code in LANGUAGES:
        if code != ENGLISH:
            (ROOM / f"{code}.mo").write_bytes(made(code))
