"""A workbook as sheets: what its parts are, and the sheets in their order.

The parts and elements are those of ECMA-376 part 1, chapter 18, from memory.
"""

from __future__ import annotations

import posixpath
from dataclasses import dataclass
from typing import BinaryIO
from urllib.parse import unquote

from checkapp.sheets.archive import Archive, open_archive
from checkapp.sheets.cell_values import Formats, Texts, read_formats, read_texts
from checkapp.sheets.errors import SheetRefused, refused
from checkapp.sheets.sheet_part import SheetPart
from checkapp.sheets.table import Sheet
from checkapp.sheets.xml_part import Handlers, PartReader

MOST_SHEETS = 200
_TYPES = "[Content_Types].xml"
_MAIN = ".main+xml"
_RIGHT = "save it as .xlsx or .csv"
_OTHERS = (
    ("xl/workbook.bin", "is a binary workbook (.xlsb)", _RIGHT),
    ("word/document.xml", "is a text document (.docx)", "copy the table into a spreadsheet and save it as .xlsx"),
    ("ppt/presentation.xml", "is a presentation (.pptx)", "name a spreadsheet: .xlsx or .csv"),
)
_OPEN_DOCUMENTS = (
    ("spreadsheet", "is an OpenDocument spreadsheet (.ods)", _RIGHT),
    ("text", "is an OpenDocument text (.odt)", "copy the table into a spreadsheet and save it as .xlsx"),
)


@dataclass(frozen=True, slots=True)
class _Entry:
    """A sheet as the workbook lists it."""

    name: str
    relation: str
    hidden: bool


@dataclass(frozen=True, slots=True)
class _Book:
    entries: tuple[_Entry, ...]
    from_1904: bool


def read_workbook(file: BinaryIO, name: str, *, exact: bool = False) -> tuple[Sheet, ...]:
    """The worksheets of the workbook in ``file``, called ``name`` in messages; hidden ones are marked.

    ``exact``: numbers with all their figures.
    `SheetRefused`: no workbook, a damaged one, or one that is made to do harm.
    """
    reader, main = _begun(file, name)
    book = _book(reader, main)
    targets = _targets(reader, main)
    texts, formats = _shared(reader, targets, from_1904=book.from_1904, exact=exact)
    sheets = tuple(
        SheetPart(entry.name, texts, formats).read(reader, targets[entry.relation][1], hidden=entry.hidden)
        for entry in book.entries
        if targets.get(entry.relation, ("", ""))[0] == "worksheet"
    )
    if not sheets:
        raise refused(name, "is a workbook without a sheet", "save it once more in a spreadsheet program")
    return sheets


def sheet_titles(file: BinaryIO, name: str) -> tuple[str, ...]:
    """What the sheets of the workbook in ``file`` are called; the sheets are not read. Errors as in `read_workbook`."""
    return tuple(entry.name for entry in _book(*_begun(file, name)).entries)


def _begun(file: BinaryIO, name: str) -> tuple[PartReader, str]:
    """A reader of the workbook's parts, and the name of its main part."""
    archive = open_archive(file, name)
    if not archive.has(_TYPES):
        raise _other(archive)
    reader = PartReader(archive)
    _refuse_doctypes(reader)
    main = _main(reader)
    if not main:
        raise _other(archive)
    return reader, main


def _other(archive: Archive) -> SheetRefused:
    """What an archive is that is no workbook."""
    for part, wrong, right in _OTHERS:
        if archive.has(part):
            return refused(archive.name, wrong, right)
    if archive.has("mimetype"):
        kind = b"".join(archive.pieces("mimetype"))[:200].decode("ascii", "replace")
        for word, wrong, right in _OPEN_DOCUMENTS:
            if f"opendocument.{word}" in kind:
                return refused(archive.name, wrong, right)
    if any(part.endswith(".iwa") or part == "index.zip" for part in archive.parts()):
        return refused(archive.name, "is a document of another office suite (.numbers or the like)", _RIGHT)
    return refused(archive.name, "is an archive and no workbook", "unpack it and name the spreadsheet in it")


def _refuse_doctypes(reader: PartReader) -> None:
    for part in reader.archive.parts():
        if part.endswith((".xml", ".rels", ".vml")) and reader.has_doctype(part):
            wrong = f"is a damaged workbook: {part} declares a document type, as workbooks never do"
            raise refused(reader.archive.name, wrong, "save it once more in a spreadsheet program")


def _main(reader: PartReader) -> str:
    """The name of the part that lists the sheets, or "" when this is no workbook."""
    found: list[str] = []

    def override(given: dict[str, str]) -> None:
        kind = given.get("ContentType", "")
        if kind.endswith(_MAIN) and ("spreadsheetml" in kind or "ms-excel" in kind):
            found.append(given.get("PartName", ""))

    reader.read(_TYPES, Handlers({"Override": override, "Default": override}))
    if found and found[0] and reader.archive.has(found[0]):
        return found[0].lstrip("/")
    return "xl/workbook.xml" if reader.archive.has("xl/workbook.xml") else ""


def _book(reader: PartReader, main: str) -> _Book:
    entries: list[_Entry] = []
    epochs: list[str] = []

    def sheet(given: dict[str, str]) -> None:
        relation = next((value for key, value in given.items() if key.endswith(":id")), "")
        name = given.get("name", "").strip() or f"sheet {len(entries) + 1}"
        entries.append(_Entry(name, relation, given.get("state", "visible") != "visible"))

    def properties(given: dict[str, str]) -> None:
        epochs.append(given.get("date1904", ""))

    reader.read(main, Handlers({"sheet": sheet, "workbookPr": properties}))
    if len(entries) > MOST_SHEETS:
        raise refused(reader.archive.name, f"has {len(entries)} sheets", f"at most {MOST_SHEETS}; save only the list")
    return _Book(tuple(entries), epochs[:1] in (["1"], ["true"]))


def _targets(reader: PartReader, main: str) -> dict[str, tuple[str, str]]:
    """Kind and name of the parts that the workbook relates to, by the relation's id; what lies outside is left out."""
    folder, file = posixpath.split(main)
    found: dict[str, tuple[str, str]] = {}

    def relation(given: dict[str, str]) -> None:
        if given.get("TargetMode") != "External":
            part = posixpath.normpath(posixpath.join("/", folder, unquote(given.get("Target", ""))))
            found[given.get("Id", "")] = (given.get("Type", "").rpartition("/")[2], part.lstrip("/"))

    reader.read(posixpath.join(folder, "_rels", f"{file}.rels"), Handlers({"Relationship": relation}))
    return found


def _shared(
    reader: PartReader, targets: dict[str, tuple[str, str]], *, from_1904: bool, exact: bool
) -> tuple[Texts, Formats]:
    """The texts and the formats that the sheets' cells speak of by number; either part may be missing."""
    parts = {kind: part for kind, part in targets.values() if reader.archive.has(part)}
    texts: Texts = ()
    if "sharedStrings" in parts:
        texts = read_texts(reader, parts["sharedStrings"])
    formats = Formats((), {}, from_1904, exact)
    if "styles" in parts:
        formats = read_formats(reader, parts["styles"], from_1904=from_1904, exact=exact)
    return texts, formats
