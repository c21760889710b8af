"""Entries read straight from the pages of an SQLite file, whatever became of the rest of it.

Source: https://www.sqlite.org/fileformat2.html, 1.2 and 1.3 (head), 1.6 (pages of a table), 2.1 (records), 4 (log).
Only entries are taken whose digest fits: what is found so is what was written, or it is not there.
"""

from __future__ import annotations

import mmap
from collections.abc import Iterator
from contextlib import ExitStack
from pathlib import Path

from checkapp.journal.entry import COLUMNS, digest_of_texts, is_readable

Row = tuple[str | int | None, ...]
_MAGIC = b"SQLite format 3\0"
_USUAL_PAGE = 4096
_PAGE_SIZES = frozenset(2**power for power in range(9, 17))
_HEAD = 100
_LEAF_OF_TABLE = 13
_LOG_MAGIC = (b"\x37\x7f\x06\x82", b"\x37\x7f\x06\x83")
_LOG_HEAD, _FRAME_HEAD = 32, 24
_INTEGER_BYTES = {1: 1, 2: 2, 3: 3, 4: 4, 5: 6, 6: 8}
_FIRST_BLOB, _FIRST_TEXT = 12, 13
_MOST_BYTES = 50_000_000


class _Broken(ValueError):
    """Bytes that are no record."""


def sound_rows(path: Path) -> Iterator[Row]:
    """Every entry that stands whole in a page of the file at ``path`` or of its write-ahead log, perhaps repeatedly.

    Of the log only what was committed counts. OSError: the file cannot be read.
    """
    with ExitStack() as opened:
        database = _mapped(path, opened)
        log = Path(f"{path}-wal")
        frames = _Log(_mapped(log, opened) if log.exists() else b"")
        pages = _Pages(database, frames)
        for page, first in pages:
            for row in _rows(page, _HEAD if first else 0, pages):
                if is_readable(row) and digest_of_texts(row[:-1]) == row[-1]:
                    yield row


def _mapped(path: Path, opened: ExitStack) -> bytes | mmap.mmap:
    file = opened.enter_context(path.open("rb"))
    if not path.stat().st_size:
        return b""
    return opened.enter_context(mmap.mmap(file.fileno(), 0, access=mmap.ACCESS_READ))


class _Log:
    """The frames of a write-ahead log that were committed: where each page's content stands."""

    def __init__(self, content: bytes | mmap.mmap) -> None:
        self.content = content
        self.size = 0
        self.frames: list[tuple[int, int]] = []
        if content[:4] not in _LOG_MAGIC or len(content) < _LOG_HEAD:
            return
        size = int.from_bytes(content[8:12], "big")
        if size not in _PAGE_SIZES:
            return
        self.size = size
        found = list(self._of_this_log())
        committed = max((number for number, (_, _, last) in enumerate(found, 1) if last), default=0)
        self.frames = [(page, at) for page, at, _ in found[:committed]]

    def _of_this_log(self) -> Iterator[tuple[int, int, bool]]:
        """Each frame's page number, where its content begins, and whether it ends a transaction."""
        salts = bytes(self.content[16:24])
        for at in range(_LOG_HEAD, len(self.content) - _FRAME_HEAD - self.size + 1, _FRAME_HEAD + self.size):
            if bytes(self.content[at + 8 : at + 16]) != salts:
                return
            page, pages = (int.from_bytes(self.content[at + more : at + more + 4], "big") for more in (0, 4))
            yield page, at + _FRAME_HEAD, pages > 0


class _Pages:
    """All pages of a database and of its log; a single one as it was committed last."""

    def __init__(self, database: bytes | mmap.mmap, log: _Log) -> None:
        self._database, self._log = database, log
        said = int.from_bytes(database[16:18], "big")
        said = 65536 if said == 1 else said
        sound = database[:16] == _MAGIC and said in _PAGE_SIZES
        self.size = said if sound else log.size or _USUAL_PAGE
        self.usable = self.size - (database[20] if sound and database[20] < 64 else 0)
        self._newest = dict(log.frames) if log.size == self.size else {}

    def __iter__(self) -> Iterator[tuple[bytes, bool]]:
        """Every page, also what it was before; whether it is the first, whose head is that of the file."""
        for at in range(0, len(self._database) - self.size + 1, self.size):
            yield self._database[at : at + self.size], at == 0
        for number, at in self._log.frames if self._newest else ():
            yield bytes(self._log.content[at : at + self.size]), number == 1

    def page(self, number: int) -> bytes:
        """The page with that number, counted from 1. `_Broken`: there is none."""
        if number in self._newest:
            at = self._newest[number]
            return bytes(self._log.content[at : at + self.size])
        if not 1 <= number <= len(self._database) // self.size:
            raise _Broken("no such page")
        return self._database[(number - 1) * self.size : number * self.size]


def _rows(page: bytes, head: int, pages: _Pages) -> Iterator[Row]:
    """The rows of a page, if it is a leaf of a table, that are as wide as an entry; broken ones are passed over."""
    if page[head] != _LEAF_OF_TABLE:
        return
    count = int.from_bytes(page[head + 3 : head + 5], "big")
    for number in range(min(count, len(page) // 2)):
        pointer = head + 8 + 2 * number
        at = int.from_bytes(page[pointer : pointer + 2], "big")
        try:
            row = _record(_payload(page, at, pages))
        except (_Broken, IndexError, UnicodeDecodeError):
            continue
        if len(row) == len(COLUMNS):
            yield row


def _payload(page: bytes, at: int, pages: _Pages) -> bytes:
    """The bytes of the record whose cell begins at ``at``, those on other pages too."""
    size, at = _varint(page, at)
    _, at = _varint(page, at)
    if size > _MOST_BYTES:
        raise _Broken("too long")
    here = _local(size, pages.usable)
    payload, at = page[at : at + here], at + here
    if here == size:
        return payload
    parts, left, following = [payload], size - here, int.from_bytes(page[at : at + 4], "big")
    while left > 0:
        more = pages.page(following)
        part = more[4 : 4 + min(left, pages.usable - 4)]
        parts.append(part)
        left -= len(part)
        following = int.from_bytes(more[:4], "big")
    return b"".join(parts)


def _local(size: int, usable: int) -> int:
    """How many bytes of a record of ``size`` bytes stand in its own page (section 1.6)."""
    most, least = usable - 35, (usable - 12) * 32 // 255 - 23
    if size <= most:
        return size
    some = least + (size - least) % (usable - 4)
    return some if some <= most else least


def _record(payload: bytes) -> Row:
    """The values of a record (section 2.1). `_Broken`: it is none, or has a value that no entry has."""
    end, at = _varint(payload, 0)
    kinds = []
    while at < end:
        kind, at = _varint(payload, at)
        kinds.append(kind)
    if at != end or len(kinds) != len(COLUMNS):
        raise _Broken("no entry")
    row: list[str | int | None] = []
    for kind in kinds:
        value, at = _value(payload, kind, at)
        row.append(value)
    return tuple(row)


def _value(payload: bytes, kind: int, at: int) -> tuple[str | int | None, int]:
    """A value of that serial type, and where it ends."""
    if kind == 0:
        return None, at
    if kind in (8, 9):
        return kind - 8, at
    if kind in _INTEGER_BYTES:
        end = at + _INTEGER_BYTES[kind]
        return int.from_bytes(payload[at:end], "big", signed=True), end
    if kind < _FIRST_TEXT or kind % 2 == _FIRST_BLOB % 2:
        raise _Broken("no text and no number")
    end = at + (kind - _FIRST_TEXT) // 2
    if end > len(payload):
        raise _Broken("cut off")
    return payload[at:end].decode(), end


def _varint(content: bytes, at: int) -> tuple[int, int]:
    """A number of one to nine bytes, and where it ends."""
    value = 0
    for more in range(8):
        byte = content[at + more]
        value = value << 7 | byte & 0x7F
        if byte < 0x80:
            return value, at + more + 1
    return value << 8 | content[at + 8], at + 9
