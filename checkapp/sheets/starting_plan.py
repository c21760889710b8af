"""Lines of a list as the plan file of a rig to start from: on the desk, or on the boxes that the list names."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from checkapp.rig.codes import DESK, Direction, Port, known_port, without_hyphens
from checkapp.rig.errors import CheckappError
from checkapp.rig.toml_text import table_blocks
from checkapp.sheets.lines import ListLine
from checkapp.tongue import tr

MOST_DESK_PORTS = 9999
_WAYS: tuple[Direction, ...] = ("in", "out")
_HEAD = """\
# Made from the list {sheet}. A start: what is here comes from the list, and the
# comments say what the list could not know.
"""
_ON_DESK = """\
# {which} where it is plugged: those are on the desk
# itself, on the port of their own number where it is free. With boxes, add them, a chain and the
# cables, and change the ports.
"""
_BOXES = """\
# The boxes that the list names. It does not say what they are, so each is planned as the least that
# can be: a passive box with as many ports as the list uses, each way of it going straight to the
# desk. For a box on a chain give its kind its figures, add link kind, chain and hop cable, and
# put the chain into fed_from.
"""


class TooManyLines(CheckappError):
    """More lines than a desk can have ports in a plan."""


def ports_of(lines: Sequence[ListLine]) -> dict[str, str]:
    """The port of each line, by line: that of the list, else on the desk with the line's number, or the first free.

    Errors: `TooManyLines`. Codes that differ only by hyphens name one box: it is spelled as where it comes first.
    """
    ports: dict[str, str] = {}
    spelled: dict[str, str] = {DESK: DESK}
    for line in lines:
        if line.plugged is not None:
            code = spelled.setdefault(without_hyphens(line.plugged.code), line.plugged.code)
            ports[line.line] = f"{code} {line.direction} {line.plugged.port}"
    for way in _WAYS:
        loose = [line for line in lines if line.plugged is None and line.direction == way]
        own = {line.number for line in loose}
        taken = {known_port(port).number for port in ports.values() if port.startswith(f"{DESK} {way} ")}
        free = (number for number in range(1, MOST_DESK_PORTS + 1) if number not in own | taken)
        for line in loose:
            keeps = line.number <= MOST_DESK_PORTS and line.number not in taken
            ports[line.line] = f"{DESK} {way} {line.number if keeps else _next(free)}"
    return ports


def _next(free: Iterator[int]) -> int:
    number = next(free, None)
    if number is None:
        raise TooManyLines(
            tr("more lines and ports of boxes than the {ports} ports of a desk; split the list", ports=MOST_DESK_PORTS)
        )
    return number


def starting_plan(lines: Sequence[ListLine], name: str, owner: str, sheet: str) -> str:
    """The plan file, TOML, for the lines; ``sheet`` is what comments call the list.

    ``name`` is not blank, ``owner`` 1 to 4 of A-Z and 0-9. Every text of the list comes out as text, whatever it is.
    """
    ports = ports_of(lines)
    parts = [_HEAD.format(sheet=_comment(sheet)), "format = 1\n", _table("rig", {"name": name, "owner": owner})]
    boxes = list(_boxes([known_port(port) for port in ports.values()]))
    if boxes:
        parts += [_BOXES, *boxes]
    if any(line.plugged is None for line in lines):
        some = any(line.plugged is not None for line in lines)
        parts.append(
            _ON_DESK.format(which="The list does not say of all lines" if some else "The list says of no line")
        )
    parts += [_entry(line, ports[line.line]) for line in sorted(lines, key=lambda line: (line.direction, line.number))]
    return "\n".join(parts)


def _comment(text: str) -> str:
    return "".join(c if c.isprintable() else "?" for c in text)[:100]


def _boxes(ports: Sequence[Port]) -> Iterator[str]:
    """The boxes and their kinds, each fed from a run of desk ports after those that lines take."""
    most: dict[tuple[str, Direction], int] = {}
    for port in ports:
        most[port.code, port.direction] = max(port.number, most.get((port.code, port.direction), 0))
    taken = {way: {port.number for port in ports if (port.code, port.direction) == (DESK, way)} for way in _WAYS}
    for code in dict.fromkeys(port.code for port in ports if port.code != DESK):
        counts = {way: most.get((code, way), 0) for way in _WAYS}
        kind = f"list-{code.lower()}"
        yield _table("box_kind", {kind: {"inputs": counts["in"], "outputs": counts["out"], "passive": True}})
        box: dict[str, object] = {
            "code": code,
            "kind": kind,
            "fed_from": f"{DESK} in {_run(taken['in'], counts['in'])}",
        }
        if counts["out"]:
            box["outputs_from"] = f"{DESK} out {_run(taken['out'], counts['out'])}"
        yield _table("box", [box])


def _run(taken: set[int], length: int) -> int:
    """The first of so many desk ports in a row that are free: after all that are taken, else between them."""
    last = max(taken, default=0)
    starts = (last + 1, *(number + 1 for number in sorted(taken)), 1)
    free = (at for at in starts if at + length - 1 <= MOST_DESK_PORTS and taken.isdisjoint(range(at, at + length)))
    first = _next(free)
    taken.update(range(first, first + max(length, 1)))
    return first


def _entry(line: ListLine, port: str) -> str:
    fields: dict[str, object] = {"number": line.number, "name": line.name}
    if line.direction == "in":
        fields["level"] = line.level or "mic"
        if line.phantom:
            fields["phantom"] = True
    fields["port"] = port
    texts = {"zone": line.zone, "stand": line.stand, "note": line.note}
    fields.update({key: text for key, text in texts.items() if text})
    return _table(f"{line.direction}put", [fields])


def _table(table: str, content: object) -> str:
    """A table of the plan, or an entry of a list of them, with a blank line after it."""
    return "".join("\n".join(block) + "\n" for block in table_blocks(table, content))
