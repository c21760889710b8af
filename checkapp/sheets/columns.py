"""What the sheets of a rig's workbook are: a sheet for each table of the plan, a column for each field of the model."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any, Final, Literal

from checkapp.rig.names_check import KINDS_OF, REFERENCES
from checkapp.rig.planfile import schema
from checkapp.rig.words import ITEM_KINDS, SYMPTOMS

Path = tuple[str | int, ...]
Form = Literal["text", "number", "whole", "yes", "words", "lines"]
"""What a cell holds: a text, a number, a whole number, yes or no, words with commas between, texts a line each."""
Rows = Literal["one", "list", "named", "by kind", "by box"]
"""What a row is: the only one of its table, an entry of a list, a kind by its name, chances of a kind of item, a
setting of a box."""
CHANCES: Final = ("prior", "miss", "swap_minutes", "hear")
"""The fields of the diagnosis that are by kind of item."""
ROW: Final = "*"
"""In a column's path: the key of the row."""
NOTHING: Final = '""'
"""What a cell holds where the plan has an empty text; a blank cell is no text."""
README: Final = "Read me"
LISTS: Final = "lists"
_TITLES: Final[dict[str, str]] = {
    "rig": "rig",
    "link_kind": "link kinds",
    "cable_kind": "cable kinds",
    "box_kind": "box kinds",
    "chain": "chains",
    "supply": "supplies",
    "source": "sources",
    "cable": "cables",
    "box": "boxes",
    "input": "inputs",
    "output": "outputs",
    "insert": "inserts",
    "diagnose": "diagnose",
}
_LINES: Final = ("input", "output", "box")
_GEAR: Final = ("cable", "chain", "supply", "source", "insert")
_UNITS: Final[dict[str, str]] = {
    "ohm_per_m": "ohms a metre",
    "mm2": "square millimetres",
    "awg": "American wire gauge",
    "ohm": "ohms",
    "volts": "volts",
    "amps": "amperes",
    "ma": "milliamperes",
    "mm": "millimetres",
    "us": "microseconds",
    "hz": "hertz",
    "ft": "feet",
    "m": "metres",
    "w": "watts",
    "c": "degrees Celsius",
    "minutes": "minutes",
}
_FORMS: Final[dict[str, Form]] = {"number": "number", "integer": "whole", "boolean": "yes", "string": "text"}
_PORT_LISTS: Final = {
    ("box", "fed_from"): "feeds",
    ("box", "outputs_from"): "out ports",
    ("input", "port"): "in ports",
    ("output", "port"): "out ports",
    ("insert", "send"): "out ports",
    ("insert", "return"): "in ports",
}


@dataclass(frozen=True, slots=True)
class Column:
    """A column: its title, which is the name of the field in the plan, and where its values stand in the plan's data.

    ``path`` begins at the entry, or at the plan where ``of_plan``. ``words`` is the fixed vocabulary, ``refers`` the
    table whose keys it names, ``listed`` a column of the sheet `LISTS`. ``limits`` and ``default`` are in words.
    """

    title: str
    path: Path
    form: Form
    meaning: str
    unit: str = ""
    required: bool = False
    default: str = ""
    limits: str = ""
    words: tuple[str, ...] = ()
    refers: str = ""
    listed: str = ""
    of_plan: bool = False


@dataclass(frozen=True, slots=True)
class Shape:
    """A sheet: its title, the table of the plan that it holds, what its rows are, its columns in their order."""

    title: str
    table: str
    rows: Rows
    columns: tuple[Column, ...]

    def column(self, title: str) -> Column | None:
        """The column with that title, small letters or not."""
        wanted = " ".join(title.lower().split())
        return next((column for column in self.columns if column.title == wanted), None)


@cache
def shapes() -> tuple[Shape, ...]:
    """The sheets of a workbook in their order."""
    kinds = [Shape(_TITLES[name], name, "named", _named(name)) for name in ("link_kind", "cable_kind", "box_kind")]
    lists = [Shape(_TITLES[name], name, "list", _columns(name, _fields(name))) for name in (*_LINES, *_GEAR)]
    rig = Shape(_TITLES["rig"], "rig", "one", (*_columns("rig", _fields("rig")), _use()))
    settings = Shape("settings", "box", "by box", _settings())
    diagnose = Shape(_TITLES["diagnose"], "diagnose", "one", _columns("diagnose", _fields("diagnose")))
    chances = Shape("chances", "diagnose", "by kind", _chances())
    return (rig, *lists[: len(_LINES)], settings, *lists[len(_LINES) :], *kinds, diagnose, chances)


def shape_of(table: str) -> Shape:
    """The sheet that holds the entries of a table."""
    return next(shape for shape in shapes() if shape.table == table and shape.rows not in ("by kind", "by box"))


def shape_named(title: str) -> Shape | None:
    """The sheet with that title, or that of the table with that name, however it is written."""
    wanted = " ".join(title.lower().replace("_", " ").split())
    return next((shape for shape in shapes() if wanted == shape.title), None) or next(
        (shape for shape in shapes() if wanted == shape.table.replace("_", " ")), None
    )


def _fields(table: str) -> dict[str, Any]:
    """The fields of a table as its JSON Schema has them, each with whether it must be written."""
    whole = _schema()
    about = whole["properties"][table]
    while "$ref" not in about:
        about = about.get("items") or next(iter(about.get("patternProperties", {}).values()), None) or about["allOf"][0]
    found = whole["$defs"][about["$ref"].rsplit("/", 1)[1]]
    required = found.get("required", [])
    return {name: {**field, "required": name in required} for name, field in found["properties"].items()}


@cache
def _schema() -> dict[str, Any]:
    return schema()


def _columns(table: str, fields: Mapping[str, Any]) -> tuple[Column, ...]:
    return tuple(column for name, about in fields.items() for column in _of_field(table, name, about))


def _of_field(table: str, name: str, about: Mapping[str, Any]) -> Iterator[Column]:
    """The columns of a field: one; two for a place on the stage; none where it has a sheet of its own."""
    kind = _kind(about)
    if "prefixItems" in kind:
        yield _column(table, name, about, f"{name} x", (name, 0), "number", unit="metres")
        yield _column(table, name, about, f"{name} y", (name, 1), "number", unit="metres")
    elif kind["type"] == "array":
        words = tuple(kind["items"]["enum"])
        yield _column(table, name, about, name, (name,), "words", words=words, listed=f"{name} words")
    elif kind["type"] == "object":
        if table == "diagnose" and name == "minutes":
            for word in kind["propertyNames"]["enum"]:
                yield _column(table, name, about, f"{name} {word}", (name, word), "number", unit="minutes")
    else:
        words = tuple(kind.get("enum", ()))
        yield _column(table, name, about, name, (name,), _FORMS[kind["type"]], words=words, limits=_limits(kind))


def _kind(about: Mapping[str, Any]) -> Mapping[str, Any]:
    """What a value that is written must be."""
    found = next((one for one in about.get("anyOf", []) if one.get("type") != "null"), about)
    return {**found, "type": found.get("type", "string")}


def _column(
    table: str, name: str, about: Mapping[str, Any], title: str, path: Path, form: Form, unit: str = "", **more: Any
) -> Column:
    """A column of a field, with all that the schema tells about it."""
    given = about.get("default")
    default = "" if given is None or isinstance(given, dict) else _default(given)
    if form == "yes":
        more["words"] = ("yes", "no")
    return Column(
        title,
        path,
        form,
        about.get("description", ""),
        unit or _unit(name),
        about["required"],
        default,
        refers=_refers(table, name),
        listed=more.pop("listed", _PORT_LISTS.get((table, name), "")),
        **more,
    )


def _default(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return f"{value:g}" if isinstance(value, float) else str(value)


def _unit(name: str) -> str:
    return next((unit for end, unit in _UNITS.items() if re.search(rf"(^|_){end}$", name)), "")


def _refers(table: str, field: str) -> str:
    if KINDS_OF.get(table, ("", ""))[0] == field:
        return KINDS_OF[table][1]
    if (table, field) == ("insert", "input"):
        return "input"
    return dict(REFERENCES.get(table, ())).get(field, "")


def _limits(kind: Mapping[str, Any]) -> str:
    low, above, high = (kind.get(name) for name in ("minimum", "exclusiveMinimum", "maximum"))
    words = []
    if above is not None:
        words.append(f"above {above:g}")
    elif low is not None:
        words.append(f"at least {low:g}")
    if high is not None and high < _NO_LIMIT:
        words.append(f"at most {high:,}")
    return ", ".join(words)


_NO_LIMIT: Final = 1e12


def _named(table: str) -> tuple[Column, ...]:
    name = Column("name", (), "text", "what the kind is called", required=True)
    return (name, *_columns(table, _fields(table)))


def _use() -> Column:
    meaning = _schema()["properties"]["use"]["description"]
    return Column("use", ("use",), "lines", meaning, of_plan=True)


def _settings() -> tuple[Column, ...]:
    meaning = _fields("box")["settings"]["description"]
    return (
        Column("box", (), "text", "the code of the box", required=True, refers="box"),
        Column("setting", (), "text", meaning, required=True),
        Column("value", ("settings", ROW), "text", "what it must be set to", required=True),
    )


def _chances() -> tuple[Column, ...]:
    fields = _fields("diagnose")
    about = {name: fields[name]["description"] for name in CHANCES}
    single = [
        Column(name, (name, ROW), "number", about[name], _unit(name), limits="" if _unit(name) else "at most 1")
        for name in CHANCES[:-1]
    ]
    heard = [Column(word, ("hear", ROW, word), "number", about["hear"], limits="at most 1") for word in SYMPTOMS]
    return (Column("kind", (), "text", "the kind of item", required=True, words=ITEM_KINDS), *single, *heard)
