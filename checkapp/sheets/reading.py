"""A spreadsheet of any kind: what it is by its content, and its sheets; nothing in it is run or fetched."""

from __future__ import annotations

import os
import re
import stat
from pathlib import Path
from typing import BinaryIO

from checkapp.sheets.errors import SheetRefused, refused
from checkapp.sheets.table import Sheet
from checkapp.tongue import later, tr

MOST_BYTES = 50_000_000
_HEAD_BYTES = 4096
_ZIP = b"PK\x03\x04"
_EMPTY_ZIP = b"PK\x05\x06"
_COMPOUND = bytes.fromhex("d0cf11e0a1b11ae1")
_RIGHT = later("save it as .xlsx or .csv")
_KNOWN = (
    (b"%PDF", later("is a PDF"), later("read the list out of the spreadsheet that it was made of")),
    (b"{\\rtf", later("is a text document"), later("copy the table into a spreadsheet and save it as .xlsx or .csv")),
    (b"\x89PNG", later("is a picture"), later("type the list into a spreadsheet")),
    (b"\xff\xd8\xff", later("is a picture"), later("type the list into a spreadsheet")),
    (b"\x1f\x8b", later("is a packed file"), later("unpack it first")),
    (b"7z\xbc\xaf\x27\x1c", later("is a packed file"), later("unpack it first")),
    (b"Rar!", later("is a packed file"), later("unpack it first")),
    (b"SQLite format 3\x00", later("is a database"), later("name a spreadsheet: .xlsx or .csv")),
)
_MARKUP = re.compile(rb"\s*<(?:\?xml|!doctype|html|table)", re.IGNORECASE)
_STREAMS = (
    (
        "EncryptedPackage",
        later("is protected by a password"),
        later("open it, take the password away and save it again"),
    ),
    ("Workbook", later("is a workbook of the old kind (.xls)"), _RIGHT),
    ("Book", later("is a workbook of the old kind (.xls)"), _RIGHT),
    ("WordDocument", later("is a text document of the old kind (.doc)"), later("copy the table into a spreadsheet")),
)
_ENTRY_BYTES = 128


def read_sheets(path: Path, *, exact: bool = False) -> tuple[Sheet, ...]:
    """The sheets of the workbook (.xlsx, .xlsm) or the CSV file at ``path``, in their order; its content tells which.

    Each sheet's rows begin with row 1 and end with the last that holds anything. Of a formula the result that was
    saved with it is taken; nothing is worked out, run or fetched. Rows below 10,000 and columns right of IV are not
    read, with a note. With ``exact`` a workbook's numbers have all their figures, not just those that a person reads.
    `SheetRefused`: any other kind of file, a damaged or protected one, or one that is made to do harm; the message
    says what would be right.
    """
    name = str(path)
    with _opened(path, name) as file:
        head = file.read(_HEAD_BYTES)
        file.seek(0)
        if head.startswith((_ZIP, _EMPTY_ZIP)):
            from checkapp.sheets.xlsx_reading import read_workbook

            return read_workbook(file, name, exact=exact)
        if head.startswith(_COMPOUND):
            raise _compound(file.read(), name)
        _refuse_others(head, name)
        from checkapp.sheets.csv_reading import read_csv

        return (read_csv(file, name, path.stem),)


def sheet_titles(path: Path) -> tuple[str, ...]:
    """What the sheets of the workbook at ``path`` are called, before they are read; none when it is no workbook.

    `SheetRefused`: it cannot be read.
    """
    name = str(path)
    with _opened(path, name) as file:
        if not file.read(_HEAD_BYTES).startswith(_ZIP):
            return ()
        file.seek(0)
        from checkapp.sheets.xlsx_reading import sheet_titles as titles_of

        return titles_of(file, name)


def _opened(path: Path, name: str) -> BinaryIO:
    """The file, opened without waiting for whoever writes into a pipe."""
    flags = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)
    try:
        if path.is_dir():
            raise refused(name, later("is a folder"), later("name a file in it"))
        file = os.fdopen(os.open(path, flags), "rb")
    except FileNotFoundError:
        raise refused(name, later("no such file"), later("check the name and the folder")) from None
    except ValueError:
        raise refused(name, later("is no file name"), later("name a file")) from None
    except OSError as error:
        raise refused(
            name, tr("cannot be read: {why}", why=error.strerror or error), later("check the file and its rights")
        ) from None
    status = os.fstat(file.fileno())
    if stat.S_ISREG(status.st_mode) and 0 < status.st_size <= MOST_BYTES:
        return file
    file.close()
    if not stat.S_ISREG(status.st_mode):
        raise refused(name, later("is not an ordinary file"), later("name a file"))
    if not status.st_size:
        raise refused(name, later("is empty"), later("name a spreadsheet with a list in it"))
    raise refused(
        name,
        tr("is larger than {size} MB", size=MOST_BYTES // 1_000_000),
        later("a list has less; take the pictures out"),
    )


def _compound(content: bytes, name: str) -> SheetRefused:
    """What a file of the old compound kind is, by the names of its streams (MS-CFB 2.6.1, from memory)."""
    for stream, wrong, right in _STREAMS:
        named = stream.encode("utf-16-le") + b"\0\0"
        at = content.find(named)
        while at >= 0:
            length = int.from_bytes(content[at + 64 : at + 66], "little")
            if at % _ENTRY_BYTES == 0 and length == len(named):
                return refused(name, wrong, right)
            at = content.find(named, at + 1)
    return refused(name, later("is no spreadsheet but another document of the old kind"), _RIGHT)


def _refuse_others(head: bytes, name: str) -> None:
    for begin, wrong, right in _KNOWN:
        if head.startswith(begin):
            raise refused(name, wrong, right)
    if _MARKUP.match(head.removeprefix(b"\xef\xbb\xbf").replace(b"\0", b"").removeprefix(b"\xff\xfe")):
        raise refused(
            name,
            later("is a web page or XML, whatever its ending says"),
            later("open it as a spreadsheet and save it as .xlsx or .csv"),
        )
