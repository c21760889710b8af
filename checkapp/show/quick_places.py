"""The folders that are one tap away: the user's own, and what is plugged in."""

from __future__ import annotations

import os
import sys
from collections.abc import Collection
from contextlib import suppress
from itertools import count
from pathlib import Path
from typing import Final

from checkapp.rig.errors import printable
from checkapp.tongue import tr

_MOST: Final = 12
_LONGEST: Final = 16
_LETTERS: Final = "DEFGHIJKLMNOPQRSTUVWXYZ"


def quick_places() -> tuple[tuple[str, Path], ...]:
    """Names and folders: the user's own that are there, and what is plugged in, a stick or a card."""
    found: dict[str, Path] = {}
    for name, path in [*_own(), *drives()]:
        if path not in found.values() and path.is_dir() and os.access(path, os.R_OK):
            found[_free(name, found)] = path
    return tuple(found.items())[:_MOST]


def _free(name: str, taken: Collection[str]) -> str:
    return name if name not in taken else next(free for n in count(2) if (free := f"{name} {n}") not in taken)


def _own() -> list[tuple[str, Path]]:
    from platformdirs import user_desktop_path, user_documents_path, user_downloads_path

    with suppress(RuntimeError):  # not everybody has a folder of their own
        return [
            (tr("Downloads"), user_downloads_path()),
            (tr("Documents"), user_documents_path()),
            (tr("Desktop"), user_desktop_path()),
            (tr("Home"), Path.home()),
        ]
    return []


def drives(root: Path = Path("/"), system: str = sys.platform) -> tuple[tuple[str, Path], ...]:
    """What is plugged in, by its name: by their letters, or where the system hangs it in under ``root``."""
    if system == "win32":
        letters = [Path(f"{letter}:/") for letter in _LETTERS]
        return tuple((str(path)[:2], path) for path in letters if path.exists())
    if system == "darwin":
        hung = _folders(root / "Volumes")
    else:
        inner = [*_folders(root / "media"), *_folders(root / "run" / "media")]
        hung = [path for one in inner for path in ([one] if one.is_mount() else _folders(one))]
        hung += [path for path in _folders(root / "storage") if path.name not in ("emulated", "self")]
    return tuple((printable(path.name, _LONGEST), path) for path in hung)


def _folders(path: Path) -> list[Path]:
    try:
        return sorted(one for one in path.iterdir() if one.is_dir() and not one.name.startswith("."))
    except OSError:
        return []
