"""The card of an item: what a scan of its tag shows, in the order in which a crew asks.

What it is, where it goes, what to set on it, what plugs into it, how it gets power, what the review says of it, what
was marked and repaired on it before. Here is what a card holds; `checkapp.show.card_making` fills it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from checkapp.rig.words import ItemKind
    from checkapp.show.views import FindingRow, RunItem, Status

Rows = tuple[tuple[str, ...], ...]
Form = Literal["words", "sockets", "end", "drawn"]
"""What a section is: words, the sockets of one thing, those that one end of a cable goes into, or words for what a
screen draws."""


@dataclass(frozen=True, slots=True)
class Connector:
    """One socket and what plugs into it.

    ``port`` is its name, ``word`` what it is called where its box is named already, ``hint`` which of two alike it is.
    ``end`` is the end of the cable as its tag says it (``HP02 B``), ``way`` the way of a multicore, both empty where
    nothing plugs in; ``far`` is where the cable's other end is, ``far_hint`` as ``hint``. ``line`` is the line of the
    show (``in 7``), ``number`` and ``name`` as they stand on a tape; ``facts`` say what it needs. ``towards_desk``
    where the signal leaves for the desk. ``status`` is ok when the end was found in it, faulty when another was,
    ``said`` who or what.
    """

    port: str
    word: str
    hint: str = ""
    end: str = ""
    way: str = ""
    far: str = ""
    far_hint: str = ""
    line: str = ""
    number: str = ""
    name: str = ""
    facts: str = ""
    towards_desk: bool = False
    status: Status = "open"
    said: str = ""

    @property
    def plug(self) -> str:
        """What plugs in: the end of a cable, and which way of it."""
        return " ".join(word for word in (self.end, self.way) if word)

    @property
    def cells(self) -> tuple[str, ...]:
        """The socket and all there is to know of it, in words."""
        line = " ".join(word for word in (self.line, self.name) if word)
        socket = self.port if self.port.endswith(self.word) else self.word
        return (_hinted(socket, self.hint), self.plug, line, _hinted(self.far, self.far_hint), self.facts)


def _hinted(word: str, hint: str) -> str:
    return f"{word} ({hint})" if hint else word


@dataclass(frozen=True, slots=True)
class Section:
    """One question of a card and its answers, each a row of cells.

    A section of sockets has a connector for each row. ``status`` says of each row how it stands, where anything is
    known of it; ``note`` adds to the title, ``caution`` is to be read before anybody acts on what is said here.
    """

    title: str
    rows: Rows
    form: Form = "words"
    connectors: tuple[Connector, ...] = ()
    status: tuple[Status, ...] = ()
    note: str = ""
    caution: str = ""


def sockets(
    title: str, connectors: Iterable[Connector], form: Form = "sockets", *, note: str = "", caution: str = ""
) -> Section:
    """A section of sockets, its rows in words."""
    these = tuple(connectors)
    return Section(title, tuple(one.cells for one in these), form, these, (), note, caution)


@dataclass(frozen=True, slots=True)
class Card:
    """What is shown of one item, or of one end of a cable.

    ``tags`` is empty for what carries none (ports, desk strips). ``code`` is what is read first: the item, or the end
    as its tag says it; ``what`` says what it is. ``goes`` is where it goes, read from afar, ``hint`` what to know of
    that. ``number`` and ``name`` are those of its one line. ``run`` shows where it sits. ``instead`` names what it took
    the place of, or what took its place. ``status`` is ok once it is placed or connected, ``said`` who says so.
    """

    item: str
    kind: ItemKind
    title: str
    tags: tuple[str, ...]
    sections: tuple[Section, ...]
    cautions: tuple[str, ...]
    findings: tuple[FindingRow, ...] = ()
    history: Rows = ()
    end: str = ""
    code: str = ""
    what: str = ""
    goes: str = ""
    hint: str = ""
    number: str = ""
    name: str = ""
    run: tuple[RunItem, ...] = ()
    instead: str = ""
    status: Status = "open"
    said: str = ""

    @property
    def connectors(self) -> Iterator[Connector]:
        """All sockets on the card."""
        for section in self.sections:
            yield from section.connectors
