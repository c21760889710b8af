"""A plan's data as the text of a plan file, and the data of a plan as its file would hold it."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from typing import Any, Final

from checkapp.rig.model import PlanFile, Table
from checkapp.rig.sheet import MOST_COLUMNS

_FIELDS: Final = PlanFile.model_fields
LISTS: Final = tuple(name for name, about in _FIELDS.items() if isinstance(about.default, list) and name != "use")
KINDS: Final = tuple(name for name, about in _FIELDS.items() if isinstance(about.default, dict))
TABLES: Final = ("rig", *KINDS, *LISTS, "diagnose")
"""The tables of a plan file in the order in which a new one has them."""
_BARE = re.compile(r"[A-Za-z0-9_-]+")
_LONG: Final = MOST_COLUMNS // 4
_CHUNK: Final = MOST_COLUMNS // 16
"""So long that a piece whose every character is escaped still fits into a line."""


def data_of(plan: PlanFile) -> dict[str, Any]:
    """The data of a plan as the TOML reader gives them: only what is written, kinds of used files included."""
    data: dict[str, Any] = {"format": plan.format}
    if plan.use:
        data["use"] = list(plan.use)
    data["rig"] = _entry(plan.rig)
    for table in KINDS:
        kinds = {name: _entry(kind) for name, kind in getattr(plan, table).items()}
        data.update({table: kinds} if kinds else {})
    for table in LISTS:
        entries = [_entry(entry) for entry in getattr(plan, table)]
        data.update({table: entries} if entries else {})
    diagnose = _entry(plan.diagnose)
    return data | ({"diagnose": diagnose} if diagnose else {})


def _entry(entry: Table) -> dict[str, Any]:
    written = entry.model_dump(mode="json", by_alias=True, exclude_unset=True)
    return {field: value for field, value in written.items() if value is not None and value != {}}


def document(data: Mapping[str, Any]) -> str:
    """A plan file that holds these data, each field on a line of its own."""
    return "\n\n".join("\n".join(block) for block in _blocks(data)) + "\n"


def _blocks(data: Mapping[str, Any]) -> Iterator[list[str]]:
    top = [f"{name} = {literal(data[name])}" for name in ("format", "use") if name in data]
    if top:
        yield top
    for table in TABLES:
        if table in data:
            yield from table_blocks(table, data[table])


def table_blocks(table: str, content: Any) -> Iterator[list[str]]:
    """The lines of a table of a plan: one block a kind or an entry."""
    if table in LISTS:
        for entry in content:
            yield [f"[[{table}]]", *fields(entry)]
    elif table in KINDS:
        for name, kind in content.items():
            yield [f"[{table}.{key(name)}]", *fields(kind)]
    else:
        yield [f"[{table}]", *fields(content)]


def fields(entry: Mapping[str, Any]) -> list[str]:
    """The fields of an entry, a line each; a text too long for a line goes over several."""
    return [f"{key(name)} = {literal(value)}" for name, value in entry.items()]


def key(name: str) -> str:
    """A key, in quotes where it needs them."""
    return name if _BARE.fullmatch(name) else _quoted(name)


def literal(value: Any) -> str:
    """A value as TOML writes it. Texts, whole and real numbers, yes and no, lists and tables of these."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return _quoted(value) if len(value) <= _LONG else _long(value)
    if isinstance(value, Mapping):
        return "{ " + ", ".join(fields(value)) + " }" if value else "{}"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(map(literal, value)) + "]"
    return repr(value)


def _quoted(text: str) -> str:
    """A text in quotes; what JSON leaves as it is and TOML does not is written as its number."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")


def _long(text: str) -> str:
    """A text over several lines, each ended with a backslash, behind which TOML passes over line end and blanks."""
    pieces = [_quoted(text[at : at + _CHUNK])[1:-1] for at in range(0, len(text), _CHUNK)]
    held = [f"\\u0020{piece[1:]}" if piece.startswith(" ") else piece for piece in pieces]
    return '"""\\\n' + "\\\n".join(held) + '"""'
