"""Where the walk is, kept beside the journal, so that an app that was closed or killed comes back at the same line.

The bookmark is a file that is replaced as a whole. The line changes with every mark, and a file beside it holds only
that, with the digest of the bookmark that it belongs to: it is so short that it is written over in one piece.
"""

import hashlib
import json
import os
from dataclasses import asdict, dataclass, fields, replace
from pathlib import Path

from checkapp.show.places import bookmark

_LINE = "bookmark.line"
_LINE_BYTES = 128  # the digest and the longest name of a line take less, and no disk splits so few


@dataclass(frozen=True, slots=True)
class Bookmark:
    """The plan file, the show's name, the check's key, the initials, the line, and the order of the walk.

    ``first`` are the lines that the walk begins with after a changeover, ``which`` and ``zone`` tell which lines are
    walked (`checkapp.show.walk_only.Wanted`).
    """

    plan: str
    show: str
    check: str
    by: str
    line: str
    order: str = "list"
    first: tuple[str, ...] = ()
    which: str = "all"
    zone: str = ""


def read_bookmark(home: Path) -> Bookmark | None:
    """The bookmark in the user's folder; None when there is none that can be read."""
    try:
        found = json.loads(bookmark(home).read_text(encoding="utf-8"))
        known = {"order": "list", "which": "all", "zone": "", **found}
        words = {field.name: str(known[field.name]) for field in fields(Bookmark) if field.name != "first"}
        mark = Bookmark(**words, first=tuple(map(str, found.get("first", ()))))
    except (OSError, ValueError, KeyError, TypeError):
        return None
    line = _read_line(home, mark)
    return mark if line is None else replace(mark, line=line)


class BookmarkKeeper:
    """Keeps the bookmark of one session in the user's folder: whole when more than the line changed."""

    def __init__(self, home: Path) -> None:
        self._home, self._file = home, bookmark(home)
        self._mark: Bookmark | None = None
        self._digest = ""
        self._seen: object = None

    def keep(self, mark: Bookmark) -> None:
        """Keep it, so that it is found after a kill. It is a help, no record: a full disk does not stop the walk."""
        try:
            if self._mark is None or replace(self._mark, line=mark.line) != mark or self._seen != self._look():
                self._keep_whole(mark)
            _write_over(self._home / _LINE, f"{self._digest} {mark.line}")
        except OSError:
            self._mark = None

    def _keep_whole(self, mark: Bookmark) -> None:
        """The bookmark, unless it is there but for the line."""
        found = read_bookmark(self._home)
        if found is None or replace(found, line=mark.line) != mark:
            self._home.mkdir(parents=True, exist_ok=True)
            new = self._file.with_name(f"{self._file.name}.new")
            new.write_text(json.dumps(asdict(mark)), encoding="utf-8")
            new.replace(self._file)
        self._mark, self._digest, self._seen = mark, _digest(mark), self._look()

    def _look(self) -> object:
        """Another one when another program has put another bookmark there; None for none."""
        try:
            found = self._file.stat()
        except FileNotFoundError:
            return None
        return (found.st_ino, found.st_mtime_ns, found.st_size)


def _digest(mark: Bookmark) -> str:
    """Of all but the line."""
    return hashlib.sha256(json.dumps(asdict(replace(mark, line=""))).encode()).hexdigest()


def _read_line(home: Path, mark: Bookmark) -> str | None:
    """The line that is kept beside the bookmark; None when there is none or it belongs to another."""
    try:
        digest, _, line = (home / _LINE).read_bytes()[:_LINE_BYTES].decode().partition(" ")
    except (OSError, ValueError):
        return None
    return line.rstrip() if digest == _digest(mark) else None


def _write_over(path: Path, text: str) -> None:
    """Write a short text in place, in one piece."""
    file = os.open(path, os.O_WRONLY | os.O_CREAT, 0o666)
    try:
        os.write(file, text.encode().ljust(_LINE_BYTES))
    finally:
        os.close(file)
