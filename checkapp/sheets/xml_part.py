"""One XML part of a workbook, read as it is unpacked; what is made to grow in memory is refused."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Final
from xml.parsers import expat

from checkapp.sheets.archive import Archive
from checkapp.sheets.errors import SheetRefused, refused

MOST_ELEMENTS = 3_200_000
"""In all parts of a workbook together; 5,000 rows of 200 cells with a text each have three million."""
MOST_BYTES = 100_000_000
"""Of all parts together, without what stands below the last row that is read."""
MOST_DEPTH = 64
MOST_NAMES = 3_000
LONGEST_TAG_BYTES = 1_000_000
_HEAD_PIECES = 4
_RIGHT = "save it once more in a spreadsheet program"

Begin = Callable[[dict[str, str]], None]
End = Callable[[], None]


class Enough(Exception):
    """Raised by a handler that needs nothing more of its part."""


@dataclass
class Handlers:
    """What is done at the beginning and the end of elements, by their names, and with the text in between."""

    begins: Mapping[str, Begin]
    ends: Mapping[str, End] = field(default_factory=dict)
    text: Callable[[str], None] | None = None


class PartReader:
    """Reads the parts of one archive; its limits hold for all of them together."""

    def __init__(self, archive: Archive) -> None:
        self.archive: Final = archive
        self._begun = 0
        self._ended = 0
        self._read_bytes = 0

    def read(self, part: str, handlers: Handlers) -> Iterator[bytes]:
        """Read ``part`` to its end, or until a handler has `Enough`: then the bytes that follow are given.

        `SheetRefused`: no XML, a DOCTYPE (workbooks have none; entities are declared there), more or deeper elements
        than a workbook needs.
        """
        names: dict[str, str] = {}
        parser = expat.ParserCreate(intern=names)
        self._ended = self._begun
        self._listen(parser, handlers, part)
        pieces = self.archive.pieces(part)
        fed, piece = 0, b""
        try:
            for piece in pieces:
                fed += len(piece)
                self._read_bytes += len(piece)
                parser.Parse(piece, False)
                self._look(part, len(names), fed - parser.CurrentByteIndex)
            parser.Parse(b"", True)
        except Enough:
            left = fed - parser.CurrentByteIndex
            return _from(piece[-left:] if left else b"", pieces)
        except (expat.ExpatError, LookupError, ValueError) as error:
            raise self._refused(part, f"is no XML: {error}") from None
        return iter(())

    def has_doctype(self, part: str) -> bool:
        """Whether a part that is not needed declares a document type before its first element."""
        found: list[str] = []
        parser = expat.ParserCreate()

        def begin(*_: object) -> None:
            raise Enough

        def doctype(*_: object) -> None:
            found.append(part)
            raise Enough

        parser.StartElementHandler = begin
        parser.StartDoctypeDeclHandler = doctype
        try:
            for _, piece in zip(range(_HEAD_PIECES), self.archive.pieces(part), strict=False):
                parser.Parse(piece, False)
        except (Enough, expat.ExpatError, LookupError, ValueError):
            return bool(found)
        return False

    def _listen(self, parser: expat.XMLParserType, handlers: Handlers, part: str) -> None:
        begins, ends = dict(handlers.begins), dict(handlers.ends)

        def root(name: str, attributes: dict[str, str]) -> None:
            """The first element's prefix, if it has one, is that of all the elements that are asked for."""
            prefix = name[: name.find(":") + 1]
            begins.update({prefix + plain: handler for plain, handler in handlers.begins.items()})
            ends.update({prefix + plain: handler for plain, handler in handlers.ends.items()})
            parser.StartElementHandler = begin
            begin(name, attributes)

        def begin(name: str, attributes: dict[str, str]) -> None:
            self._begun += 1
            if name in begins:
                begins[name](attributes)

        def end(name: str) -> None:
            self._ended += 1
            if name in ends:
                ends[name]()

        def doctype(*_: object) -> None:
            raise self._refused(part, "declares a document type, as workbooks never do")

        parser.StartElementHandler = root
        parser.EndElementHandler = end
        parser.CharacterDataHandler = handlers.text
        parser.StartDoctypeDeclHandler = doctype
        parser.buffer_text = True

    def _look(self, part: str, names: int, unread_bytes: int) -> None:
        if self._begun > MOST_ELEMENTS:
            raise self._refused(part, f"has more than {MOST_ELEMENTS} elements")
        if self._read_bytes > MOST_BYTES:
            raise refused(
                self.archive.name, f"holds more than {MOST_BYTES // 1_000_000} MB of cells", "save only the list"
            )
        if self._begun - self._ended > MOST_DEPTH:
            raise self._refused(part, "has elements within each other too deep")
        if names > MOST_NAMES or unread_bytes > LONGEST_TAG_BYTES:
            raise self._refused(part, "has names or values longer than workbooks have")

    def _refused(self, part: str, wrong: str) -> SheetRefused:
        return refused(self.archive.name, f"is a damaged workbook: {part} {wrong}", _RIGHT)


def _from(first: bytes, rest: Iterator[bytes]) -> Iterator[bytes]:
    yield first
    yield from rest
