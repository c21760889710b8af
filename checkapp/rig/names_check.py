"""Across tables: does every name that an entry uses exist, and is every number given once."""

from typing import Any

from checkapp.rig.codes import DESK, Port, read_port
from checkapp.rig.draft import Draft
from checkapp.rig.errors import printable
from checkapp.tongue import later, tr

_PORT_RIGHT = later('write a port like "SB1 in 3" or "DESK in 3"')


def check_names(draft: Draft) -> None:
    """Add a fault for each unknown name and each number used twice."""
    for table, fields in REFERENCES.items():
        for index, entry in draft.each(table):
            for field, target in fields:
                _check_code(
                    draft,
                    table,
                    index,
                    field,
                    target,
                    getattr(entry, _ATTRIBUTES.get(field, field)),
                )
    for table, (field, kind_table) in KINDS_OF.items():
        for index, entry in draft.each(table):
            _check_kind(draft, table, index, field, kind_table, entry)
    for table in ("input", "output"):
        _check_numbers(draft, table)
    _check_fed_from(draft)
    _check_inserts(draft)


REFERENCES: dict[str, tuple[tuple[str, str], ...]] = {
    "chain": (("from", "box"),),
    "box": (("cable", "cable"), ("supply", "supply"), ("repeats", "box")),
    "input": (("source", "source"), ("cable", "cable")),
    "output": (("cable", "cable"),),
}
"""By table: the fields that hold the code of an entry, and of which table."""
KINDS_OF = {"chain": ("link", "link_kind"), "cable": ("kind", "cable_kind"), "box": ("kind", "box_kind")}
"""By table: the field that names the kind of an entry, and the table of these kinds."""
_ATTRIBUTES = {"from": "start", "return": "back"}


def _check_code(draft: Draft, table: str, index: int, field: str, target: str, code: object) -> None:
    if isinstance(code, str) and draft.find(target, code) is None:
        draft.unknown(table, index, field, code, target)


def _check_kind(draft: Draft, table: str, index: int, field: str, kind_table: str, entry: Any) -> None:
    name = getattr(entry, field)
    if isinstance(name, str) and name not in draft.kinds[kind_table] and not draft.kinds_missing:
        draft.unknown(table, index, field, name, kind_table)


def _check_numbers(draft: Draft, table: str) -> None:
    first: dict[int, int] = {}
    for index, entry in draft.each(table):
        if entry.number is None:
            continue
        if entry.number in first:
            line = draft.line((table, first[entry.number], "number"))
            draft.say(
                table,
                index,
                "number",
                tr("{number} used twice, first on line {line}", number=entry.number, line=line),
                tr("number each {what} once", what=table),
            )
        first.setdefault(entry.number, index)


def known_port(draft: Draft, table: str, index: int, field: str, text: object, ways: tuple[str, ...]) -> Port | None:
    """The port that a field names, in one of the directions ``ways``; None and a fault when the rig has none such."""
    if not isinstance(text, str):
        return None
    port = read_port(text)
    if port is None:
        draft.say(table, index, field, tr('"{name}" is no port', name=printable(text, 40)), _PORT_RIGHT)
        return None
    if port.direction not in ways:
        draft.say(
            table,
            index,
            field,
            tr('"{port}" is an {direction}', port=port, direction=port.direction),
            tr("name an {direction} port", direction=ways[0]),
        )
        return None
    if port.code == DESK:
        return port
    box = draft.find("box", port.code)
    if box is None:
        draft.unknown(table, index, field, port.code, "box")
        return None
    return port if _has_port(draft, table, index, field, port, box) else None


def _has_port(draft: Draft, table: str, index: int, field: str, port: Port, box: Any) -> bool:
    kind = draft.kind_of("box_kind", box)
    count = getattr(kind, "inputs" if port.direction == "in" else "outputs", None)
    if count is None:
        return False
    if port.number > count:
        draft.say(table, index, field, tr('no port "{port}"', port=port), has_ports(port, int(count)))
    return port.number <= int(count)


def has_ports(port: Port, count: int) -> str:
    """How many ports a box has in the direction of one of them."""
    if port.direction == "in":
        if count:
            return tr("{box} has {count} inputs", box=port.code, count=count)
        return tr("{box} has no inputs", box=port.code)
    if count:
        return tr("{box} has {count} outputs", box=port.code, count=count)
    return tr("{box} has no outputs", box=port.code)


def _check_fed_from(draft: Draft) -> None:
    for index, box in draft.each("box"):
        kind = draft.kind_of("box_kind", box)
        if kind is None or kind.passive is None or not isinstance(box.fed_from, str):
            continue
        _passive_rules(draft, index, box) if kind.passive else _link_rules(draft, index, box)


def _link_rules(draft: Draft, index: int, box: Any) -> None:
    fed = box.fed_from
    if read_port(fed):
        draft.say(
            "box",
            index,
            "fed_from",
            tr('"{name}" is a port', name=fed),
            later("only a passive box is fed from a port: name a chain or a box"),
        )
    elif draft.find("chain", fed) is None and draft.find("box", fed) is None:
        draft.unknown("box", index, "fed_from", fed, "chain", "box")
    elif _is_passive(draft, fed):
        draft.say(
            "box",
            index,
            "fed_from",
            tr('"{name}" is a passive box', name=fed),
            later("name a chain or a box with a link socket"),
        )
    if "outputs_from" in draft.sheet.data["box"][index]:
        draft.say("box", index, "outputs_from", later("only a passive box has it"), later("leave it out"))
    if "cable" not in draft.sheet.data["box"][index]:
        draft.say(
            "box",
            index,
            "cable",
            later("is missing"),
            tr("name the cable from {start} to this box", start=printable(fed, 20)),
        )


def _passive_rules(draft: Draft, index: int, box: Any) -> None:
    if read_port(box.fed_from) is None and box.fed_from in draft.coded:
        draft.say(
            "box",
            index,
            "fed_from",
            tr('"{name}" is no port', name=box.fed_from),
            tr('a passive box is fed from a port: "{port}"', port=f"{box.fed_from} in 1"),
        )
    if box.repeats is not None:
        draft.say("box", index, "repeats", later("a passive box repeats nothing"), later("use outputs_from"))


def _is_passive(draft: Draft, code: str) -> bool:
    box = draft.find("box", code)
    kind = draft.kind_of("box_kind", box)
    return bool(kind and kind.passive)


def _check_inserts(draft: Draft) -> None:
    numbers = {entry.number for _, entry in draft.each("input")}
    for index, insert in draft.each("insert"):
        if insert.input is not None and insert.input not in numbers:
            draft.say(
                "insert",
                index,
                "input",
                tr("no input {number}", number=insert.input),
                later("name the number of an input"),
            )
