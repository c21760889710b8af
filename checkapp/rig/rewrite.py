"""A plan file brought to other data: what is the same stays as it is written, with its comments and in its place."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import pairwise
from typing import Any, Final

from checkapp.rig.edit import BYTE_ORDER_MARK, Piece, added
from checkapp.rig.locate import Path, Spans
from checkapp.rig.toml_text import KINDS, LISTS, document, fields, literal, table_blocks

_ATTACHED: Final = re.compile(r"[ \t]*#[^\n]*\n\Z")
_FIGURES: Final = 15
"""So many figures of a number do spreadsheet programs keep when they save it."""
_SINGLE: Final = ("rig", "diagnose")
_KEYS: Final = ("code", "number", "name")
Data = Mapping[str, Any]


class _Cannot(Exception):
    """That the file is written in a way which cannot be edited piece by piece."""


def rewritten(content: bytes, data: Data) -> bytes:
    """The bytes of a plan file that holds ``data``, made of the bytes of one that may hold other data.

    Entries are the same that have the same code, number or name. They keep their order in the file, and fields that
    are the same keep their text; a new entry comes behind the one that it follows in ``data``; what is gone goes with
    the comment lines directly above it. A file that cannot be edited so (lists of inline tables, for one) is written
    anew, without its comments. ``content`` is valid TOML in UTF-8.
    """
    text = content.decode("utf-8")
    mark = BYTE_ORDER_MARK if text.startswith(BYTE_ORDER_MARK) else ""
    text = text.removeprefix(mark)
    old = tomllib.loads(text)
    try:
        new = _put_together(text, _Changes(text, old, data).pieces())
        held = _same(_keyed(tomllib.loads(new)), _keyed(data))
    except (_Cannot, tomllib.TOMLDecodeError):
        held = False
    return (mark + (new if held else document(data))).encode("utf-8")


def _put_together(text: str, pieces: Iterable[Piece]) -> str:
    """The text with its pieces changed; of what comes to the same place the first comes first."""
    parts, at = [], 0
    for start, end, new in sorted(pieces, key=lambda piece: piece[:2]):
        if start < at:
            raise _Cannot
        parts += [text[at:start], new]
        at = end
    return "".join([*parts, text[at:]])


class _Changes:
    """What leads from a text and its data to other data, as pieces of the text."""

    def __init__(self, text: str, old: Data, new: Data) -> None:
        self._text, self._old, self._new = text, old, new
        self._spans = Spans(text)
        self._newline = "\r\n" if "\r\n" in text else "\n"
        self._ends: dict[Path, int] = {}
        for path, start in [*self._spans.headers, *self._spans.keys.items()]:
            value = self._spans.value(path)
            end = self._line_end(value.stop if value else start)
            for length in range(1, len(path) + 1):
                self._ends[path[:length]] = max(end, self._ends.get(path[:length], 0))

    def pieces(self) -> Iterator[Piece]:
        for table in dict.fromkeys([*self._old, *self._new]):
            if table == "format":  # there is one format, written or not
                continue
            if table in LISTS:
                yield from self._list(table, self._old.get(table, []), self._new.get(table, []))
            else:
                yield from self._field((), table, self._old, self._new)

    # --- lists of entries

    def _list(self, table: str, old: Sequence[Data], new: Sequence[Data]) -> Iterator[Piece]:
        matched = _matched(old, new)
        for index, entry in enumerate(old):
            at = next((place for place, found in matched.items() if found == index), None)
            if at is None:
                yield from self._gone((table, index))
            else:
                yield from self._table((table, index), entry, new[at])
        for index, entry in enumerate(new):
            if index not in matched:
                above = max((place for place in matched if place < index), default=None)
                follows = None if above is None else (table, matched[above])
                below = min(matched.values(), default=None)
                yield self._block(table, [entry], follows, None if below is None else (table, below))

    def _block(self, table: str, content: Any, above: Path | None, below: Path | None) -> Piece:
        """New entries or kinds: behind what stands above them, before what stands below, else at the end."""
        lines = [line for block in table_blocks(table, content) for line in ("", *block)]
        if above is not None:
            at = self._header_of(above) and self._ends[above]
            return at, at, self._joined(lines, at)
        if below is not None:
            at = self._attached(self._header_of(below))
            return at, at, self._joined([*lines[1:], ""], at)
        at = len(self._text)
        return at, at, self._joined(lines if at else lines[1:], at)

    def _joined(self, lines: Sequence[str], at: int) -> str:
        begin = self._newline if at and self._text[at - 1] != "\n" else ""
        return begin + "".join(f"{line}\n" for line in lines).replace("\n", self._newline)

    # --- fields

    def _table(self, path: Path, old: Data, new: Data) -> Iterator[Piece]:
        span = self._spans.value(path)
        if span is not None and old.keys() != new.keys():  # an inline table that gets or loses fields
            yield span.start, span.stop, literal(new)
            return
        for name in dict.fromkeys([*old, *new]):
            yield from self._field(path, name, old, new)

    def _field(self, path: Path, name: str, old: Data, new: Data) -> Iterator[Piece]:
        here = (*path, name)
        if name not in new:
            if old[name] not in ({}, []) or path[:1] in [(table,) for table in KINDS]:
                yield from self._gone(here)
        elif name not in old:
            yield from self._come(path, name, new[name])
        elif isinstance(old[name], dict) and isinstance(new[name], Mapping):
            yield from self._table(here, old[name], new[name])
        elif not _same(old[name], new[name]):
            span = self._spans.value(here)
            if span is None:
                raise _Cannot
            yield span.start, span.stop, literal(new[name]).replace("\n", self._newline)

    def _come(self, path: Path, name: str, value: Any) -> Iterator[Piece]:
        if not path and isinstance(value, Mapping):
            yield self._block(name, value, None, None)
        elif path and path[0] in KINDS and len(path) == 1:
            above = [kind for kind, _ in self._spans.headers if kind[:1] == path and len(kind) > 1]
            yield self._block(str(path[0]), {name: value}, above[-1][:2] if above else None, None)
        else:
            [line] = fields({name: value})
            yield self._line(path, line.replace("\n", self._newline))

    def _line(self, path: Path, line: str) -> Piece:
        """A field behind the last one of its table, or below the header of a table that has none."""
        try:
            return added(self._text, self._spans, path, line)
        except ValueError:
            at = self._line_end(self._header_of(path)) if path else 0
            return at, at, self._joined([line], at)

    def _gone(self, path: Path) -> Iterator[Piece]:
        """Take away all headers and keys at and below a path."""
        headers = [start for found, start in self._spans.headers if found[: len(path)] == path]
        keys = [found for found in self._spans.keys if found[: len(path)] == path]
        if not headers and not keys:
            raise _Cannot
        for start in headers:
            yield self._attached(start), self._past_blank(self._block_end(start)), ""
        covered = [(start, self._block_end(start)) for start in headers]
        for found in keys:
            at, value = self._spans.keys[found], self._spans.value(found)
            inside = any(start < at < end for start, end in covered)
            if not inside and not any(len(other) < len(found) and found[: len(other)] == other for other in keys):
                if value is None:
                    raise _Cannot
                yield self._line_start(at), self._line_end(value.stop), ""

    # --- places in the text

    def _header_of(self, path: Path) -> int:
        found = next((start for header, start in self._spans.headers if header == path), None)
        if found is None:
            raise _Cannot
        return found

    def _block_end(self, start: int) -> int:
        """The end of the last line with a field, or of the header, of the block whose header begins at ``start``."""
        later = [other for _, other in self._spans.headers if other > start]
        end = min(later, default=len(self._text))
        stops = [self._line_end(start)]
        for found, at in self._spans.keys.items():
            value = self._spans.value(found)
            if start < at < end and value is not None:
                stops.append(self._line_end(value.stop))
        return max(stops)

    def _attached(self, at: int) -> int:
        """The beginning of the comment lines that stand directly above the line at ``at``."""
        at = self._line_start(at)
        while at and _ATTACHED.search(self._text, self._text.rfind("\n", 0, at - 1) + 1, at):
            at = self._text.rfind("\n", 0, at - 1) + 1
        return at

    def _line_start(self, at: int) -> int:
        return self._text.rfind("\n", 0, at) + 1

    def _line_end(self, at: int) -> int:
        return self._text.find("\n", at) + 1 or len(self._text)

    def _past_blank(self, at: int) -> int:
        found = re.compile(r"(?:[ \t\r]*\n)*").match(self._text, at)
        return found.end() if found else at


def _matched(old: Sequence[Data], new: Sequence[Data]) -> dict[int, int]:
    """Which old entry each new one is, by place: that of its key; between two of these, if as many come as go, in turn.

    The latter are entries that got another code, number or name.
    """
    places = {name: index for index, name in enumerate(_names(old))}
    matched = {index: places[name] for index, name in enumerate(_names(new)) if name in places}
    if list(matched.values()) != sorted(matched.values()):
        return matched
    bounds = [(-1, -1), *matched.items(), (len(new), len(old))]
    for (left, first), (right, last) in pairwise(bounds):
        if right - left == last - first:
            matched |= {left + step: first + step for step in range(1, right - left)}
    return dict(sorted(matched.items()))


def _names(entries: Sequence[Data]) -> list[tuple[str, int]]:
    """What entries are known by, with a count where several have the same."""
    counts: dict[str, int] = {}
    names = []
    for entry in entries:
        name = next((repr(entry[field]) for field in _KEYS if field in entry), "")
        counts[name] = counts.get(name, 0) + 1
        names.append((name, counts[name]))
    return names


def _keyed(data: Data) -> dict[str, Any]:
    """Data to be compared: entries by their names, without tables that hold nothing."""
    found: dict[str, Any] = {}
    for table, content in data.items():
        if table in LISTS:
            held = [{name: value for name, value in entry.items() if value != {}} for entry in content]
            found[table] = dict(zip(map(repr, _names(held)), held, strict=True))
        elif table == "diagnose":
            found[table] = {name: value for name, value in content.items() if value != {}}
        else:
            found[table] = content
    return {table: content for table, content in found.items() if table != "format" and content not in ({}, [])}


def _same(one: Any, other: Any) -> bool:
    """Whether two values are the same to a plan: 15 is 15.0, figures that programs drop do not count."""
    if isinstance(one, Mapping) and isinstance(other, Mapping):
        return one.keys() == other.keys() and all(_same(one[name], other[name]) for name in one)
    if isinstance(one, list) and isinstance(other, list):
        return len(one) == len(other) and all(map(_same, one, other))
    if isinstance(one, float) and isinstance(other, float):
        return f"{one:.{_FIGURES}g}" == f"{other:.{_FIGURES}g}"
    return isinstance(one, bool) == isinstance(other, bool) and bool(one == other)


def changes_between(old: Data, new: Data) -> dict[str, dict[str, int]]:
    """How many entries of each table are new, changed and gone; a table that is one entry counts as one."""
    before, after = _keyed(old), _keyed(new)
    counts = {}
    for table in dict.fromkeys(name for name in (*before, *after) if name not in ("format", "use")):
        one, other = (
            {"": side.get(table, {})} if table in _SINGLE else side.get(table, {}) for side in (before, after)
        )
        counts[table] = {
            "new": len(other.keys() - one.keys()),
            "changed": sum(not _same(one[name], other[name]) for name in one.keys() & other.keys()),
            "gone": len(one.keys() - other.keys()),
        }
    return counts
