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
from checkapp.tongue import later, shown_word, tr

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
    bool: later("true or false"),
    int: later("a number"),
    float: later("a number"),
    list: later("a list"),
    dict: later("a table"),
    datetime.datetime: later("a date"),
    datetime.date: later("a date"),
    datetime.time: later("a time of day"),
}


def check_entry(model: type[T], raw: object, sheet: Sheet, path: Path, entry: str) -> T | None:
    """Check one entry; faults go to ``sheet``.

    What comes back holds only values of the right shape: fields that are wrong are None there, so that the rest
    can still be checked against other tables. None when the entry is no table at all.
    """
    if not isinstance(raw, dict):
        wrong = tr("is {sort}, not a table", sort=type_of(raw))
        sheet.say(path, entry, wrong, tr("begin it with {heading}", heading=_heading(path)))
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
    return shown_word(_TYPES.get(type(value), later("something else")))


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
        wrong = tr("value {number} {wrong}", number=place + 1, wrong=shown_word(wrong))
        right = later("add a number") if detail["type"] == "missing" else right
    sheet.say(path + names, entry, wrong, right, printable(".".join(names), 80))


def _words(model: type[Table], detail: ErrorDetails, field: str) -> tuple[str, str]:
    kind, value, context = detail["type"], detail["input"], detail.get("ctx", {})
    if kind == "missing":
        return later("is missing"), tr("add {field}", field=f"{field} = {_EXAMPLES.get(field, '...')}")
    if kind == "extra_forbidden":
        return _unknown_field(model, field)
    if kind in _EXPECTED:
        wrong = later("is too large a number") if _huge(value) else tr("is {what}", what=type_of(value))
        return wrong, tr("write {what}", what=shown_word(_EXPECTED[kind]))
    if kind in _RANGES:
        return tr("is {what}", what=_shown(value)), _range_words(kind, value, context)
    if kind == "string_pattern_mismatch":
        return _text_pattern(str(value), str(context["pattern"]))
    if kind == "literal_error":
        return tr("is {what}", what=_shown(value)), tr("write {what}", what=context["expected"])
    return tr("is {what}", what=f"{_shown(value)}: {detail['msg']}"), later("see the plan format")


_EXPECTED = {
    "float_type": later("a number"),
    "int_type": later("a whole number"),
    "int_from_float": later("a whole number"),
    "string_type": later("text in quotes"),
    "bool_type": later("true or false, without quotes"),
    "tuple_type": later("a list in square brackets"),
    "list_type": later("a list in square brackets"),
    "dict_type": later("a table: { name = value }"),
    "model_type": later("a table"),
}
_RANGES = {
    "greater_than": later("it must be above {gt:g}"),
    "greater_than_equal": later("it must be at least {ge:g}"),
    "less_than_equal": later("it must be at most {le:g}"),
    "finite_number": later("it must be a finite number"),
    "too_long": later("it takes {max_length} values"),
    "string_too_short": later("write some text"),
}


def _range_words(kind: str, value: object, context: Mapping[str, Any]) -> str:
    if context.get("ge") == SMALLEST and isinstance(value, int | float) and value <= 0:
        return later("it must be above 0")
    return shown_word(_RANGES[kind]).format(**context)


def _huge(value: object) -> bool:
    return isinstance(value, int) and abs(value) > 10**300


def _shown(value: object) -> str:
    return f'"{printable(value, 40)}"' if isinstance(value, str) else shown(value)


def _unknown_field(model: type[Table], field: str) -> tuple[str, str]:
    known = [about.alias or name for name, about in model.model_fields.items()]
    near = nearest(field, known)
    mean = tr('did you mean "{name}"?', name=near[0]) if near else ""
    hint = mean or tr("known are {names}", names=", ".join(known))
    return later("no such field"), hint


def _text_pattern(value: str, pattern: str) -> tuple[str, str]:
    shown = tr("is {what}", what=f'"{printable(value, 40)}"')
    if pattern == r"\S":
        return later("is blank"), later("write a name")
    capital = value.upper()
    if pattern == CODE_PATTERN:
        right = tr("1 to 10 of A-Z 0-9 and -, beginning and ending with a letter or digit")
    else:
        right = tr("1 to 4 of A-Z 0-9")
    return shown, right + (f': "{capital}"' if capital != value and len(value) < 11 else "")


Found = list[tuple[str, str, str]]
Raw = Mapping[str, object]


def _only_one(raw: Raw, *fields: str) -> Found:
    given = [field for field in fields if field in raw]
    return (
        [(given[1], tr("stands beside {field}", field=given[0]), tr("keep one of {fields}", fields=", ".join(given)))]
        if len(given) > 1
        else []
    )


def _cable(_cable: Cable, raw: Raw) -> Found:
    if "length_m" not in raw and "length_ft" not in raw:
        return [("length_m", later("is missing"), later("add length_m or length_ft"))]
    return _only_one(raw, "length_m", "length_ft")


def _supply(_supply: Supply, raw: Raw) -> Found:
    return _only_one(raw, "cable_m", "cable_ft") + _only_one(raw, "core_mm2", "core_awg")


def _cable_kind(_kind: CableKind, raw: Raw) -> Found:
    return _only_one(raw, "core_mm2", "core_awg", "loop_ohm_per_m")


def _box_kind(kind: BoxKind, raw: Raw) -> Found:
    if kind.passive or kind.inputs == 0 or "accepts" in raw:
        return []
    return [("accepts", later("is missing"), later('say what its inputs take: accepts = ["mic", "line"]'))]


def _link_kind(_kind: LinkKind, raw: Raw) -> Found:
    if ("volts" in raw) == ("max_amps" in raw):
        return []
    given, other = ("volts", "max_amps") if "volts" in raw else ("max_amps", "volts")
    return [(given, tr("stands without {field}", field=other), tr("link power needs both: add {field}", field=other))]


def _diagnose(table: Diagnose, _raw: Raw) -> Found:
    totals = {kind: sum(chances.values()) for kind, chances in (table.hear or {}).items()}
    right = later("the eight symptoms of a kind add up to 1")
    return [
        ("hear", tr("{kind} adds up to {total}", kind=kind, total=f"{total:g}"), right)
        for kind, total in totals.items()
        if abs(total - 1) > 1e-6
    ]


_RULES: dict[type[Table], Callable[[Any, Raw], Found]] = {
    Cable: _cable,
    Supply: _supply,
    CableKind: _cable_kind,
    BoxKind: _box_kind,
    LinkKind: _link_kind,
    Diagnose: _diagnose,
}
