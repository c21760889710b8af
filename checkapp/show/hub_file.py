"""The address of the hub that this tablet syncs with, kept in a file of the user's folder that only its owner reads."""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path

from checkapp.rig.errors import printable
from checkapp.rig.writing import not_written

_NAME = "hub.txt"
_MOST = 2000


def read_hub(home: Path) -> str:
    """The address; empty where none is set up."""
    try:
        with (home / _NAME).open(encoding="utf-8") as file:
            return file.read(_MOST).strip()
    except (OSError, ValueError):
        return ""


def keep_hub(home: Path, url: str) -> None:
    """Keep an address, or with an empty one none. `FileNotWritten`: it cannot be kept."""
    path, new = home / _NAME, home / f"{_NAME}.new"
    try:
        if not url:
            path.unlink(missing_ok=True)
            return
        home.mkdir(parents=True, exist_ok=True)
        new.unlink(missing_ok=True)
        with os.fdopen(os.open(new, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "w", encoding="utf-8") as file:
            file.write(url)
        new.replace(path)
    except OSError as error:
        with suppress(OSError):
            new.unlink(missing_ok=True)
        raise not_written(path, error) from None


def shown_hub(url: str) -> str:
    """An address without what is secret: no password, no settings."""
    scheme, there, rest = url.partition("://")
    login, at, place = rest.rpartition("@")
    user = login.partition(":")[0]
    return printable(f"{scheme}{there}{user}{at}{place.partition('?')[0]}", 120)
