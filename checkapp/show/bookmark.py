"""Where the walk is, kept beside the journal, so that an app that was closed or killed comes back at the same line."""

import json
from dataclasses import asdict, dataclass, fields
from pathlib import Path

_NAME = "bookmark.json"


@dataclass(frozen=True, slots=True)
class Bookmark:
    """The plan file, the show's name, the check's key, the initials, the line, and the order of the walk.

    ``first`` are the lines that the walk begins with after a changeover, ``which`` and ``zone`` tell which lines are
    walked (`checkapp.show.walk_only.Wanted`).
    """

    plan: str
    show: str
    check: str
    by: str
    line: str
    order: str = "list"
    first: tuple[str, ...] = ()
    which: str = "all"
    zone: str = ""


def read_bookmark(home: Path) -> Bookmark | None:
    """The bookmark in the user's folder; None when there is none that can be read."""
    try:
        found = json.loads((home / _NAME).read_text(encoding="utf-8"))
        known = {"order": "list", "which": "all", "zone": "", **found}
        words = {field.name: str(known[field.name]) for field in fields(Bookmark) if field.name != "first"}
        return Bookmark(**words, first=tuple(map(str, found.get("first", ()))))
    except (OSError, ValueError, KeyError, TypeError):
        return None


def write_bookmark(home: Path, mark: Bookmark) -> None:
    """Keep the bookmark, whole or not at all. It is a help, no record: a full disk does not stop the walk."""
    new = home / f"{_NAME}.new"
    try:
        home.mkdir(parents=True, exist_ok=True)
        new.write_text(json.dumps(asdict(mark)), encoding="utf-8")
        new.replace(home / _NAME)
    except OSError:
        return
