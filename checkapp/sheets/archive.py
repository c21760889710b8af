"""The zip archive that a workbook is: its parts unpacked piece by piece, and never more than a workbook needs."""

from __future__ import annotations

import io
import zipfile
import zlib
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import BinaryIO

from checkapp.sheets.errors import SheetRefused, refused

MOST_PARTS = 2_000
MOST_DIRECTORY_BYTES = 1_000_000
MOST_UNPACKED_BYTES = 250_000_000
"""A sheet with formats on each of its 1,048,576 rows has 130 MB."""
MOST_RATIO = 150
"""Rows without anything in them pack 15 to 60 times smaller; a bomb of zeros, 1,000 times."""
_SMALL_BYTES = 5_000_000
_PIECE_BYTES = 65_536
_ENCRYPTED = 1
_METHODS = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)
_DAMAGED = "save it once more, or fetch it once more"


class _Careful(io.BufferedIOBase):
    """A file out of which nobody reads more than a list of parts may hold at once, whatever the archive says."""

    def __init__(self, file: BinaryIO) -> None:
        self._file = file

    def read(self, size: int | None = -1, /) -> bytes:
        asked = -1 if size is None else size
        content = self._file.read(asked if 0 <= asked <= MOST_DIRECTORY_BYTES else MOST_DIRECTORY_BYTES + 1)
        if len(content) > MOST_DIRECTORY_BYTES:
            raise zipfile.BadZipFile("its list of parts is too long")
        return content

    def seek(self, offset: int, whence: int = 0, /) -> int:
        return self._file.seek(offset, whence)

    def tell(self) -> int:
        return self._file.tell()

    def seekable(self) -> bool:
        return True


@dataclass
class Archive:
    """An archive whose list of parts was looked at; ``name`` is what messages call the file."""

    name: str
    zipped: zipfile.ZipFile
    unpacked_bytes: int = 0
    _parts: dict[str, zipfile.ZipInfo] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self._parts = {_plain(info.filename): info for info in self.zipped.infolist()}

    def has(self, part: str) -> bool:
        """Whether the archive holds ``part``; small and capital letters are the same."""
        return _plain(part) in self._parts

    def parts(self) -> tuple[str, ...]:
        """The names of all parts, in small letters."""
        return tuple(self._parts)

    def pieces(self, part: str) -> Iterator[bytes]:
        """The content of ``part``, piece by piece.

        `SheetRefused`: no such part, it is damaged, or more was unpacked than a workbook needs.
        """
        info = self._parts.get(_plain(part))
        if info is None:
            raise refused(self.name, f"is a workbook without its part {part}", _DAMAGED)
        try:
            with self.zipped.open(info) as opened:
                while piece := opened.read(_PIECE_BYTES):
                    self.unpacked_bytes += len(piece)
                    if self.unpacked_bytes > MOST_UNPACKED_BYTES:
                        raise _too_large(self.name)
                    yield piece
        except (zipfile.BadZipFile, zlib.error, EOFError, OSError, NotImplementedError, ValueError) as error:
            raise refused(self.name, f"is a damaged archive: {part}: {error}", _DAMAGED) from None


def open_archive(file: BinaryIO, name: str) -> Archive:
    """The archive in ``file``, when its list of parts is that of a document.

    `SheetRefused`: it is damaged, encrypted, or unpacks to more than a workbook needs.
    """
    try:
        archive = Archive(name, zipfile.ZipFile(_Careful(file)))
    except (zipfile.BadZipFile, OSError, NotImplementedError, ValueError, EOFError) as error:
        raise refused(name, f"is a damaged archive: {error}", _DAMAGED) from None
    _look(archive.zipped.infolist(), name)
    return archive


def _look(parts: list[zipfile.ZipInfo], name: str) -> None:
    if len(parts) > MOST_PARTS:
        raise refused(name, f"is an archive of {len(parts)} parts", f"a workbook has at most {MOST_PARTS}")
    if any(info.flag_bits & _ENCRYPTED for info in parts):
        raise refused(name, "is protected by a password", "open it, take the password away and save it again")
    if any(info.compress_type not in _METHODS for info in parts):
        raise refused(name, "is an archive packed in another way than workbooks are", "save it once more as .xlsx")
    if sum(info.file_size for info in parts) > MOST_UNPACKED_BYTES or any(map(_is_bomb, parts)):
        raise _too_large(name)


def _is_bomb(info: zipfile.ZipInfo) -> bool:
    return info.file_size > _SMALL_BYTES and info.file_size > MOST_RATIO * info.compress_size


def _too_large(name: str) -> SheetRefused:
    most = f"{MOST_UNPACKED_BYTES // 1_000_000} MB, or {MOST_RATIO} times its size"
    return refused(name, f"unpacks to more than {most}", "a list has a few MB; save only the list as .xlsx or .csv")


def _plain(part: str) -> str:
    return part.replace("\\", "/").lstrip("/").lower()
