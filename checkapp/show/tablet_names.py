"""What tablets are called by whoever works at this one, kept in a file of the user's folder.

The journal knows a tablet by the name that was drawn for it; what people call it stays where it was typed.
"""

from __future__ import annotations

import json
from contextlib import suppress
from pathlib import Path
from typing import Final

from checkapp.rig.writing import not_written

_NAME: Final = "tablets.json"
_LONG: Final = 20_000
"""More characters than a file of ours ever has."""
_MOST: Final = 30
"""A name has so many characters at most."""
_UNFIT: Final = '/\\:*?"<>|'
"""No file's name has these on every system, and a log's file is called by its tablet."""


def read_names(home: Path) -> dict[str, str]:
    """The names by device; none where none is kept, or where the file cannot be read."""
    try:
        with (home / _NAME).open(encoding="utf-8") as file:
            kept = dict(json.loads(file.read(_LONG)).items())
    except (OSError, ValueError, AttributeError, RecursionError):
        return {}
    return {device: name for device, name in kept.items() if isinstance(name, str) and _trimmed(name) == name != ""}


def keep_name(home: Path, device: str, name: str) -> None:
    """Call a tablet so from now on; with nothing but room, by its digits again. `FileNotWritten`: it cannot be kept."""
    names = {**read_names(home), device: _trimmed(name)}
    path, new = home / _NAME, home / f"{_NAME}.new"
    try:
        home.mkdir(parents=True, exist_ok=True)
        with new.open("w", encoding="utf-8") as file:
            json.dump({one: said for one, said in names.items() if said}, file, indent=1)
        new.replace(path)
    except OSError as error:
        with suppress(OSError):
            new.unlink(missing_ok=True)
        raise not_written(path, error) from None


def _trimmed(name: str) -> str:
    """Plain words: on one line, without what a file's name cannot have."""
    plain = "".join(letter if letter.isprintable() and letter not in _UNFIT else " " for letter in name[:200])
    return " ".join(plain.split())[:_MOST].strip(" .")
