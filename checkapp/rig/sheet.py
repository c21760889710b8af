"""One TOML file as read: its bytes, its data, and the faults that are found in it."""

import re
import stat
import tomllib
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path as FilePath
from typing import Any

from checkapp.rig.errors import Fault, PlanRefused
from checkapp.rig.locate import Path, Places
from checkapp.tongue import later, shown_word, tr

MOST_BYTES = 1_000_000
"""A plan of 500 lines has about 100 kB; what is ten times larger is no plan."""
MOST_FAULTS = 1000
"""Nobody reads more at once; the rest is said after these are mended."""
MOST_COLUMNS = 4000
MOST_DEPTH = 30
_BEFORE_TABLES = ("format", "use")
_PLACE = re.compile(r" ?\(at (?:line (\d+), column (\d+)|end of document)\)")


@dataclass
class Sheet:
    """A file's name as given, its bytes, its data as the TOML reader gave them, and its faults so far."""

    name: str
    content: bytes
    data: dict[str, Any]
    faults: list[Fault] = field(default_factory=list)
    _said: set[Fault] = field(default_factory=set)

    @cached_property
    def _places(self) -> Places:
        return Places(_text(self.content))

    def line(self, path: Path) -> int:
        """The line, counted from 1, where ``path`` stands."""
        return self._places.line(path)

    def say(self, path: Path, entry: str, wrong: str, right: str, field_name: str = "") -> None:
        """Add a fault at ``path`` of this file; its first part is the table, or a field before all tables."""
        table = str(path[0])
        if table in _BEFORE_TABLES:
            table, field_name = "", table
        fault = Fault(self.name, self.line(path), table, entry, field_name, shown_word(wrong), shown_word(right))
        if fault in self._said:
            return
        self._said.add(fault)
        self.faults.append(fault)
        if len(self.faults) >= MOST_FAULTS:
            more = Fault(
                self.name, 0, "", "", "", tr("more than {count} faults", count=MOST_FAULTS), tr("mend these first")
            )
            raise PlanRefused([*self.faults, more])


def read_sheet(path: FilePath, name: str, content: bytes | None = None) -> Sheet:
    """Read the TOML file at ``path``, or ``content`` in its place, called ``name`` in messages.

    `PlanRefused`: it cannot be read or is no TOML.
    """
    if content is None:
        content = _bytes(path, name)
    text = _decoded(content, name)
    for number, row in enumerate(text.split("\n"), 1):
        if len(row) > MOST_COLUMNS:
            raise _refused(
                name,
                number,
                tr("a line of {count} characters", count=len(row)),
                tr("at most {most}; break the line", most=MOST_COLUMNS),
            )
    data = _parsed(text, name)
    if _depth_over(data, MOST_DEPTH):
        raise _refused(
            name,
            0,
            later("tables or lists within each other too deep"),
            later("three levels are enough for all of it"),
        )
    return Sheet(name, content, data)


def _refused(name: str, line: int, wrong: str, right: str) -> PlanRefused:
    return PlanRefused([Fault(name, line, "", "", "", shown_word(wrong), shown_word(right))])


def _bytes(path: FilePath, name: str) -> bytes:
    try:
        status = path.stat()
        if stat.S_ISDIR(status.st_mode):
            raise _refused(name, 0, later("is a folder"), later("name a file in it"))
        if not stat.S_ISREG(status.st_mode):
            raise _refused(name, 0, later("is not an ordinary file"), later("name a file"))
        with path.open("rb") as file:
            content = file.read(MOST_BYTES + 1)
    except FileNotFoundError:
        raise _refused(name, 0, later("no such file"), later("check the name and the folder")) from None
    except ValueError:
        raise _refused(name, 0, later("is no file name"), later("name a file")) from None
    except OSError as error:
        raise _refused(
            name, 0, tr("cannot be read: {why}", why=error.strerror or error), later("check the file and its rights")
        ) from None
    if len(content) > MOST_BYTES:
        raise _refused(
            name,
            0,
            tr("larger than {size} MB", size=MOST_BYTES // 1_000_000),
            later("a rig of 500 lines has about 0.1 MB"),
        )
    return content


def _text(content: bytes) -> str:
    return content.decode("utf-8-sig").replace("\r\n", "\n")


def _decoded(content: bytes, name: str) -> str:
    try:
        return _text(content)
    except UnicodeDecodeError as error:
        line = content[: error.start].count(b"\n") + 1
        wrong = tr("not UTF-8 text (byte {byte})", byte=f"{content[error.start]:#04x}")
        raise _refused(name, line, wrong, later("save the file as UTF-8")) from None


def _parsed(text: str, name: str) -> dict[str, Any]:
    try:
        return tomllib.loads(text)
    except RecursionError:
        raise _refused(
            name,
            0,
            later("tables or lists within each other too deep"),
            later("three levels are enough for all of it"),
        ) from None
    except ValueError as error:  # TOMLDecodeError and numbers too long to read
        place = _PLACE.search(str(error))
        line = int(place[1]) if place and place[1] else text.count("\n") + 1
        said = _PLACE.sub("", str(error))
        if place and place[2]:
            wrong = tr("not valid TOML at column {column}: {said}", column=place[2], said=said)
        elif place:
            wrong = tr("not valid TOML at the end of the file: {said}", said=said)
        else:
            wrong = tr("not valid TOML: {said}", said=said)
        rows = text.split("\n")
        raise _refused(name, line, wrong, _hint(rows[line - 1] if line <= len(rows) else "")) from None


_SLIPS = (
    (re.compile(r"=\s*[+-]?\d+,\d"), later("write the number with a point: 15.5")),
    (re.compile("[\u201c\u201d\u201e\u2018\u2019\u201a\u00ab\u00bb]"), later('put text in straight quotes: "..."')),
    (re.compile(r"=\s*(?:yes|no|on|off|True|False|TRUE|FALSE)\b"), later("write true or false")),
    (re.compile(r"=\s*[A-Za-z_]"), later('put text in straight quotes: "..."')),
    (re.compile(r"=\s*(?:#|$)"), later("write a value after the =")),
    (re.compile(r"^\s*\[\[[^\]]*\]?\s*(?:#|$)"), later("close the heading with ]]")),
    (re.compile(r"^\s*[\w-]+\s*:"), later("write = between name and value")),
)


def _hint(row: str) -> str:
    """What would be right, from the slip that stands in the line."""
    found = (right for slip, right in _SLIPS if slip.search(row))
    return next(found, later("mend that place: a name, then =, then a value"))


def _depth_over(data: object, most: int) -> bool:
    level: list[object] = [data]
    for _ in range(most):
        level = [inner for outer in level for inner in _inside(outer)]
        if not level:
            return False
    return True


def _inside(outer: object) -> list[object]:
    if isinstance(outer, dict):
        return list(outer.values())
    return outer if isinstance(outer, list) else []
