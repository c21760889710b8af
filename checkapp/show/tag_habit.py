"""What was chosen for tags last, kept in a small file of the user's folder for the next time."""

from __future__ import annotations

import json
from contextlib import suppress
from dataclasses import asdict, dataclass, fields
from pathlib import Path

_NAME = "tags.json"


@dataclass(frozen=True, slots=True)
class Habit:
    """The stock's name, the first label of the first page from 1, whether tags are for the show, the folder."""

    stock: str = ""
    start: int = 1
    for_show: bool = False
    folder: str = ""


def read_habit(home: Path) -> Habit:
    """What is kept in the folder ``home``; as it comes when nothing is, or nothing that can be read."""
    try:
        found = json.loads((home / _NAME).read_text(encoding="utf-8"))
    except (OSError, ValueError, RecursionError):
        return Habit()
    if not isinstance(found, dict):
        return Habit()
    usual = asdict(Habit())
    known = {one.name: found.get(one.name, usual[one.name]) for one in fields(Habit)}
    return Habit(**{name: value if type(value) is type(usual[name]) else usual[name] for name, value in known.items()})


def keep_habit(home: Path, habit: Habit) -> None:
    """Keep it, whole or not at all. It is a help, no record: a full disk does not stop anybody."""
    new = home / f"{_NAME}.new"
    with suppress(OSError):
        home.mkdir(parents=True, exist_ok=True)
        new.write_text(json.dumps(asdict(habit)), encoding="utf-8")
        new.replace(home / _NAME)
