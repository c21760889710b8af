"""Where things lie: the user's data folder, the journal, the plans and labels that come with the program."""

import os
import tempfile
from contextlib import suppress
from pathlib import Path

import checkapp


def home() -> Path:
    """The folder of the user's data: ``CHECKAPP_HOME`` if set, else where the system keeps such data."""
    given = os.environ.get("CHECKAPP_HOME")
    if given:
        return Path(given)
    from platformdirs import user_data_path

    return user_data_path("checkapp", appauthor=False)


def journal_path(given: Path | None = None, folder: Path | None = None) -> Path:
    """The journal: ``given``, or ``journal.db`` in ``folder``, None for the user's data folder."""
    return given or (folder or home()) / "journal.db"


def bookmark(home: Path) -> Path:
    """Where it is kept which rig was at work."""
    return home / "bookmark.json"


def refuges(home: Path) -> tuple[Path, ...]:
    """Where what cannot be written to the journal is kept meanwhile: the first that can be written."""
    folders = [home / "unsaved"]
    with suppress(RuntimeError):  # not everybody has one
        folders.append(Path.home())
    return (*folders, Path(tempfile.gettempdir()))


def shipped(folder: str) -> Path:
    """The ``plans`` or ``labels`` that come with the program: inside the package, in a checkout beside it."""
    package = Path(checkapp.__file__).parent
    installed = package / "data" / folder
    return installed if installed.is_dir() else package.parent / folder


def folders(folder: str) -> tuple[Path, ...]:
    """Where ``plans`` or ``labels`` are looked for: the user's own first, then what came with the program."""
    return (home() / folder, shipped(folder))
