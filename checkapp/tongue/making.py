"""From the source of a catalogue, which people edit, to the form that is read at run time."""

from __future__ import annotations

from collections.abc import Iterable
from io import BytesIO

from checkapp.tongue.catalogue import ENGLISH, LANGUAGES, ROOM


def made(code: str) -> bytes:
    """The catalogue of a language in gettext's binary form, from its .po file (GNU gettext manual, 10.3)."""
    from babel.messages.catalog import Catalog
    from babel.messages.mofile import write_mo
    from babel.messages.pofile import read_po

    class Undated(Catalog):
        """Without the time and the tool that made it: the same source makes the same bytes."""

        @property
        def mime_headers(self) -> list[tuple[str, str]]:
            return [("Content-Type", "text/plain; charset=UTF-8"), ("Plural-Forms", self.plural_forms)]

        @mime_headers.setter
        def mime_headers(self, headers: Iterable[tuple[str, str]]) -> None:
            """Those of the source are not taken over."""

    out = BytesIO()
    undated = Undated(locale=code, charset="utf-8")
    with (ROOM / f"{code}.po").open("rb") as file:
        for message in read_po(file, locale=code, abort_invalid=True):
            if message.id:
                undated.add(message.id, message.string, context=message.context)
    write_mo(out, undated)
    return out.getvalue()


def make_all() -> None:
    """Write the binary catalogue of each language beside its source."""
    for code in LANGUAGES:
        if code != ENGLISH:
            (ROOM / f"{code}.mo").write_bytes(made(code))
