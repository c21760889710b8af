"""Where in the text of a TOML file a table, an entry or a field stands.

The standard reader gives no line numbers for files that it accepts, so the text is walked once more, and only
when there is a fault to place. The text must be valid TOML.
"""

import re
from bisect import bisect_right
from collections.abc import Mapping

Path = tuple[str | int, ...]

_SPACE = re.compile(r"(?:[ \t\r\n]|#[^\n]*)*")
_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")
_KEY_SPACE = re.compile(r"[ \t]*")
_BARE_VALUE = re.compile(r"[^,\]}\n#]*")
_STRINGS = {
    '"""': re.compile(r'"""(?:[^"\\]|\\.|"(?!"")|"(?="""))*"""', re.DOTALL),
    "'''": re.compile(r"'''(?:[^']|'(?!'')|'(?='''))*'''", re.DOTALL),
    '"': re.compile(r'"(?:[^"\\\n]|\\.)*"'),
    "'": re.compile(r"'[^'\n]*'"),
}


class Places:
    """The line, counted from 1, of everything in one file."""

    def __init__(self, text: str) -> None:
        self._lines = _Walk(text).lines

    def line(self, path: Path) -> int:
        """The line of ``path``, or of the nearest thing around it that stands in the text; 1 when nothing does."""
        while path:
            if path in self._lines:
                return self._lines[path]
            path = path[:-1]
        return 1


class Spans:
    """Where in the text of one file its values stand, from their first character to their last."""

    def __init__(self, text: str) -> None:
        walk = _Walk(text)
        self._values = walk.values
        self._keys = walk.keys
        self.headers: tuple[tuple[Path, int], ...] = tuple(walk.headers)
        """The tables and entries that have a header of their own, in the order of the file, and where it begins."""

    @property
    def keys(self) -> Mapping[Path, int]:
        """Where each key begins, by its path."""
        return self._keys

    def value(self, path: Path) -> slice | None:
        """Where the value of ``path`` stands; None when it is not written, or is a table under a header of its own."""
        return self._values.get(path)

    def key(self, path: Path) -> int:
        """Where the key of ``path`` begins. KeyError: it has none."""
        return self._keys[path]

    def last_field(self, entry: Path) -> Path:
        """The field of an entry that stands last in the text. ValueError: it has none."""
        fields = [path for path in self._keys if path[:-1] == entry]
        return max(fields, key=lambda path: self._keys[path])


class _Walk:
    """One pass over valid TOML."""

    def __init__(self, text: str) -> None:
        self._text = text
        self._at = 0
        self._starts = [match.end() for match in re.finditer(r"^|\n", text)]
        self._counts: dict[Path, int] = {}
        self.lines: dict[Path, int] = {}
        self.keys: dict[Path, int] = {}
        self.values: dict[Path, slice] = {}
        self.headers: list[tuple[Path, int]] = []
        table: Path = ()
        while self._skip():
            table = self._header() if self._text[self._at] == "[" else self._pair(table)

    def _skip(self, pattern: re.Pattern[str] = _SPACE) -> bool:
        found = pattern.match(self._text, self._at)
        self._at = found.end() if found else self._at
        return self._at < len(self._text)

    def _note(self, path: Path, at: int) -> None:
        line = bisect_right(self._starts, at)
        for end in range(1, len(path) + 1):
            self.lines.setdefault(path[:end], line)

    def _header(self) -> Path:
        start, double = self._at, self._text.startswith("[[", self._at)
        self._at += 2 if double else 1
        parts = self._key()
        self._at = self._text.index("]", self._at) + (2 if double else 1)
        path = (*self._full(parts[:-1]), parts[-1])
        if double:
            self._counts[path] = self._counts.get(path, 0) + 1
        path = self._full(path[-1:], path[:-1])
        self._note(path, start)
        self.headers.append((path, start))
        return path

    def _full(self, parts: Path, path: Path = ()) -> Path:
        for part in parts:
            path = (*path, part)
            if path in self._counts:
                path = (*path, self._counts[path] - 1)
        return path

    def _pair(self, table: Path) -> Path:
        start = self._at
        path = table + self._key()
        self._note(path, start)
        self.keys[path] = start
        self._at = self._text.index("=", self._at) + 1
        self._value(path)
        return table

    def _key(self) -> Path:
        parts: list[str] = []
        while True:
            self._skip(_KEY_SPACE)
            parts.append(self._key_part())
            self._skip(_KEY_SPACE)
            if not self._text.startswith(".", self._at):
                return tuple(parts)
            self._at += 1

    def _key_part(self) -> str:
        mark = self._text[self._at]
        pattern = _STRINGS.get(mark, _BARE_KEY)
        found = pattern.match(self._text, self._at)
        word = found[0] if found else mark
        self._at += len(word)
        return _unquoted(word) if mark in _STRINGS else word

    def _value(self, path: Path) -> None:
        self._skip()
        start = self._at
        self._pass(path)
        self.values[path] = slice(start, start + len(self._text[start : self._at].rstrip()))

    def _pass(self, path: Path) -> None:
        for mark, pattern in _STRINGS.items():
            if self._text.startswith(mark, self._at):
                self._skip(pattern)
                return
        mark = self._text[self._at]
        if mark == "[":
            self._array(path)
        elif mark == "{":
            self._inline_table(path)
        else:
            self._skip(_BARE_VALUE)

    def _array(self, path: Path) -> None:
        self._at += 1
        index = 0
        while self._more("]"):
            self._note((*path, index), self._at)
            self._value((*path, index))
            index += 1

    def _inline_table(self, path: Path) -> None:
        self._at += 1
        while self._more("}"):
            self._pair(path)

    def _more(self, end: str) -> bool:
        self._skip()
        if self._text.startswith(",", self._at):
            self._at += 1
            self._skip()
        if self._text.startswith(end, self._at):
            self._at += 1
            return False
        return self._at < len(self._text)


_ESCAPES: Mapping[str, str] = {"b": "\b", "t": "\t", "n": "\n", "f": "\f", "r": "\r"}


def _unquoted(word: str) -> str:
    if word.startswith("'"):
        return word[1:-1]

    def plain(found: re.Match[str]) -> str:
        digits = found[1] or found[2]
        return chr(int(digits, 16)) if digits else _ESCAPES.get(found[3], found[3])

    return re.sub(r"\\(?:u([0-9A-Fa-f]{4})|U([0-9A-Fa-f]{8})|(.))", plain, word[1:-1])
