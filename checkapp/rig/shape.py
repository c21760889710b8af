"""Is each entry of a plan of the right shape: its fields, their types and ranges; and if not, in plain words."""

import datetime
from collections.abc import Callable, Mapping
from typing import Any, TypeVar, cast

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from checkapp.rig.codes import CODE_PATTERN, nearest
from checkapp.rig.errors import printable, shown
from checkapp.rig.locate import Path
from checkapp.rig.model import SMALLEST, BoxKind, Cable, CableKind, Diagnose, LinkKind, Supply, Table
from checkapp.rig.sheet import Sheet

T = TypeVar("T", bound=Table)
_EXAMPLES = {
    "name": '"Main stage"',
    "owner": '"SM"',
    "code": '"SB1"',
    "accepts": '["mic", "line"]',
    "level": '"mic"',
}
_TYPES: dict[type, str] = {
    str: "text",
    bool: "true or false",
    int: "a number",
    float: "a number",
    list: "a list",
    dict: "a table",
    datetime.datetime: "a date",
    datetime.date: "a date",
    datetime.time: "a time of day",
}


def check_entry(model: type[T], raw: object, sheet: Sheet, path: Path, entry: str) -> T | None:
    """Check one entry; faults go to ``sheet``.

    What comes back holds only values of the right shape: fields that are wrong are None there, so that the rest
    can still be checked against other tables. None when the entry is no table at all.
    """
    if not isinstance(raw, dict):
        wrong = f"is {type_of(raw)}, not a table"
        sheet.say(path, entry, wrong, f"begin it with {_heading(path)}")
        return None
    try:
        made = model.model_validate(raw)
    except ValidationError as error:
        details = error.errors(include_url=False)
        for detail in details:
            _say(model, detail, sheet, path, entry)
        made = _partial(model, raw, {detail["loc"][0] for detail in details})
    rule = _RULES.get(model)
    for field, wrong, right in rule(made, raw) if rule else []:
        sheet.say((*path, field), entry, wrong, right, field)
    return made


def type_of(value: object) -> str:
    """What a TOML value is, in words."""
    return _TYPES.get(type(value), "something else")


def _heading(path: Path) -> str:
    return f"[[{path[0]}]]" if len(path) > 1 and isinstance(path[1], int) else f"[{'.'.join(map(str, path))}]"


def _partial(model: type[T], raw: Mapping[str, Any], bad: set[int | str]) -> T:
    values: dict[str, Any] = {}
    for name, about in model.model_fields.items():
        field = about.alias or name
        if field in bad or (field not in raw and about.is_required()):
            values[name] = None
        elif field in raw:
            values[name] = raw[field]
    written: dict[str, Any] = {model.model_fields[name].alias or name: value for name, value in values.items()}
    return cast(T, model.model_construct(None, **written))


def _say(model: type[Table], detail: ErrorDetails, sheet: Sheet, path: Path, entry: str) -> None:
    names = tuple(part for part in detail["loc"] if isinstance(part, str) and part != "[key]")
    wrong, right = _words(model, detail, names[-1])
    if isinstance(place := detail["loc"][-1], int):
        wrong, right = f"value {place + 1} {wrong}", "add a number" if detail["type"] == "missing" else right
    sheet.say(path + names, entry, wrong, right, printable(".".join(names), 80))


def _words(model: type[Table], detail: ErrorDetails, field: str) -> tuple[str, str]:
    kind, value, context = detail["type"], detail["input"], detail.get("ctx", {})
    if kind == "missing":
        return "is missing", f"add {field} = {_EXAMPLES.get(field, '...')}"
    if kind == "extra_forbidden":
        return _unknown_field(model, field)
    if kind in _EXPECTED:
        return f"is {type_of(value)}" if not _huge(value) else "is too large a number", f"write {_EXPECTED[kind]}"
    if kind in _RANGES:
        return f"is {_shown(value)}", _range_words(kind, value, context)
    if kind == "string_pattern_mismatch":
        return _text_pattern(str(value), str(context["pattern"]))
    if kind == "literal_error":
        return f"is {_shown(value)}", f"write {context['expected']}"
    return f"is {_shown(value)}: {detail['msg']}", "see the plan format"


_EXPECTED = {
    "float_type": "a number",
    "int_type": "a whole number",
    "int_from_float": "a whole number",
    "string_type": "text in quotes",
    "bool_type": "true or false, without quotes",
    "tuple_type": "a list in square brackets",
    "list_type": "a list in square brackets",
    "dict_type": "a table: { name = value }",
    "model_type": "a table",
}
_RANGES = {
    "greater_than": "it must be above {gt:g}",
    "greater_than_equal": "it must be at least {ge:g}",
    "less_than_equal": "it must be at most {le:g}",
    "finite_number": "it must be a finite number",
    "too_long": "it takes {max_length} values",
    "string_too_short": "write some text",
}


def _range_words(kind: str, value: object, context: Mapping[str, Any]) -> str:
    if context.get("ge") == SMALLEST and isinstance(value, int | float) and value <= 0:
        return "it must be above 0"
    return _RANGES[kind].format(**context)


def _huge(value: object) -> bool:
    return isinstance(value, int) and abs(value) > 10**300


def _shown(value: object) -> str:
    return f'"{printable(value, 40)}"' if isinstance(value, str) else shown(value)


def _unknown_field(model: type[Table], field: str) -> tuple[str, str]:
    known = [about.alias or name for name, about in model.model_fields.items()]
    near = nearest(field, known)
    hint = f'did you mean "{near[0]}"?' if near else f"known are {', '.join(known)}"
    return "no such field", hint


def _text_pattern(value: str, pattern: str) -> tuple[str, str]:
    shown = f'is "{printable(value, 40)}"'
    if pattern == r"\S":
        return "is blank", "write a name"
    capital = value.upper()
    what = "1 to 10" if pattern == CODE_PATTERN else "1 to 4"
    hyphen = " and -, beginning and ending with a letter or digit" if pattern == CODE_PATTERN else ""
    return shown, f"{what} of A-Z 0-9{hyphen}" + (f': "{capital}"' if capital != value and len(value) < 11 else "")


Found = list[tuple[str, str, str]]
Raw = Mapping[str, object]


def _only_one(raw: Raw, *fields: str) -> Found:
    given = [field for field in fields if field in raw]
    return [(given[1], f"stands beside {given[0]}", f"keep one of {', '.join(given)}")] if len(given) > 1 else []


def _cable(_cable: Cable, raw: Raw) -> Found:
    if "length_m" not in raw and "length_ft" not in raw:
        return [("length_m", "is missing", "add length_m or length_ft")]
    return _only_one(raw, "length_m", "length_ft")


def _supply(_supply: Supply, raw: Raw) -> Found:
    return _only_one(raw, "cable_m", "cable_ft") + _only_one(raw, "core_mm2", "core_awg")


def _cable_kind(_kind: CableKind, raw: Raw) -> Found:
    return _only_one(raw, "core_mm2", "core_awg", "loop_ohm_per_m")


def _box_kind(kind: BoxKind, raw: Raw) -> Found:
    if kind.passive or kind.inputs == 0 or "accepts" in raw:
        return []
    return [("accepts", "is missing", 'say what its inputs take: accepts = ["mic", "line"]')]


def _link_kind(_kind: LinkKind, raw: Raw) -> Found:
    if ("volts" in raw) == ("max_amps" in raw):
        return []
    given, other = ("volts", "max_amps") if "volts" in raw else ("max_amps", "volts")
    return [(given, f"stands without {other}", f"link power needs both: add {other}")]


def _diagnose(table: Diagnose, _raw: Raw) -> Found:
    totals = {kind: sum(chances.values()) for kind, chances in (table.hear or {}).items()}
    right = "the eight symptoms of a kind add up to 1"
    return [("hear", f"{kind} adds up to {total:g}", right) for kind, total in totals.items() if abs(total - 1) > 1e-6]


_RULES: dict[type[Table], Callable[[Any, Raw], Found]] = {
    Cable: _cable,
    Supply: _supply,
    CableKind: _cable_kind,
    BoxKind: _box_kind,
    LinkKind: _link_kind,
    Diagnose: _diagnose,
}
