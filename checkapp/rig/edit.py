"""A plan file edited in place: values are replaced where they stand, all other bytes stay as they are."""

import re
import tomllib
from collections.abc import Iterable, Iterator
from typing import Any, NamedTuple

from checkapp.rig.locate import Path, Spans
from checkapp.rig.rig import Rig

BYTE_ORDER_MARK = "\ufeff"
_QUOTES = re.compile(r"'''|\"\"\"|'|\"")
Piece = tuple[int, int, str]
"""Where to cut, from and to, and what to put there."""


class Edit(NamedTuple):
    """A field of an entry that has a code, and the value that it gets: ``fed_from`` of a box, ``spare`` of a cable."""

    table: str
    code: str
    field: str
    value: str | bool


_FIELDS = (("box", "fed_from"), ("box", "cable"), ("cable", "spare"))


def with_edits(rig: Rig, edits: Iterable[Edit]) -> Rig:
    """The rig that the edited plan would be, in memory; of two edits of one field the later holds.

    It keeps the digest of the file that it was read from. Nothing is checked. KeyError: no such code.
    """
    fields: dict[tuple[str, str], dict[str, Any]] = {}
    for edit in edits:
        fields.setdefault((edit.table, edit.code), {})[edit.field] = edit.value
    tables: dict[str, Any] = {}
    for table, code in fields:
        entries = tables.setdefault(table, {entry.code: entry for entry in getattr(rig.plan, table)})
        entries[code] = entries[code].model_copy(update=fields[table, code])
    plan = rig.plan.model_copy(update={table: list(entries.values()) for table, entries in tables.items()})
    return Rig(plan, rig.digest, rig.file)


def edits_between(old: Rig, new: Rig) -> tuple[Edit, ...]:
    """The edits of feeds, hop cables and spares that lead from one rig to another of the same boxes and cables."""
    found = []
    for table, field in _FIELDS:
        values = {entry.code: getattr(entry, field) for entry in getattr(old.plan, table)}
        for entry in getattr(new.plan, table):
            if getattr(entry, field) != values[entry.code]:
                found.append(Edit(table, entry.code, field, getattr(entry, field)))
    return tuple(found)


def edited(content: bytes, edits: Iterable[Edit]) -> bytes:
    """The bytes of a plan file with these edits made.

    A value that is written is replaced in the quotes that it had; a field that is not written gets a line below the
    last one of its entry, indented like it, or a place behind the last one of an inline table. Comments, blank lines,
    order and line ends stay. ``content`` is a plan that has no fault, and no field is named twice. KeyError: no such
    code.
    """
    text = content.decode("utf-8")
    mark = BYTE_ORDER_MARK if text.startswith(BYTE_ORDER_MARK) else ""
    text = text.removeprefix(mark)
    for start, end, new in sorted(_pieces(text, edits), reverse=True):
        text = text[:start] + new + text[end:]
    return (mark + text).encode("utf-8")


def _pieces(text: str, edits: Iterable[Edit]) -> Iterator[Piece]:
    spans, data = Spans(text), tomllib.loads(text)
    for edit in edits:
        entry = _entry(data, edit)
        value = spans.value((*entry, edit.field))
        if value is not None:
            yield value.start, value.stop, _literal(edit.value, text[value])
        else:
            yield added(text, spans, entry, f"{edit.field} = {_literal(edit.value)}")


def _entry(data: dict[str, Any], edit: Edit) -> Path:
    for index, entry in enumerate(data.get(edit.table, [])):
        if entry["code"] == edit.code:
            return edit.table, index
    raise KeyError(edit.code)


def _literal(value: str | bool, old: str = "") -> str:
    """A value as TOML writes it; a code needs no escape in any quotes."""
    if isinstance(value, bool):
        return "true" if value else "false"
    found = _QUOTES.match(old)
    quotes = found[0] if found else '"'
    return f"{quotes}{value}{quotes}"


def added(text: str, spans: Spans, entry: Path, pair: str) -> Piece:
    """Where a field goes of an entry that has none of its name yet. ValueError: the entry has no field at all."""
    last = spans.last_field(entry)
    value = spans.value(last)
    end = value.stop if value else spans.key(last)
    if spans.value(entry) is not None:  # the entry is an inline table
        return end, end, f", {pair}"
    line = text.rfind("\n", 0, spans.key(last)) + 1
    indent = text[line : spans.key(last)]
    below = text.find("\n", end) + 1
    newline = "\r\n" if "\r\n" in text else "\n"
    return (below, below, f"{indent}{pair}{newline}") if below else (len(text), len(text), f"{newline}{indent}{pair}")
