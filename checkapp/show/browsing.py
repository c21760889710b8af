"""The folders of this machine as lists that can be tapped: folders first, then the files that can be opened."""

from __future__ import annotations

import json
import os
import stat
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path
from typing import Final, Literal

from checkapp.rig.errors import CheckappError, printable
from checkapp.show import clock
from checkapp.show.quick_places import quick_places
from checkapp.tongue import tr, trn

EntryKind = Literal["folder", "sheet", "plan"]
_SHEETS: Final = frozenset({".xlsx", ".xlsm", ".csv", ".tsv", ".xls", ".ods"})
"""How the names of spreadsheets end; opening one of the last two tells how it can be brought in."""
PLAN: Final = ".toml"
_NAME = "folder.json"
_LONGEST_PATH: Final = 120


class FolderRefused(CheckappError):
    """A folder that cannot be looked into: it is gone, it is none, or it is not ours to read."""


@dataclass(frozen=True, slots=True)
class Entry:
    """A folder, or a file that can be opened: its name, what there is to know of it in words, its path."""

    kind: EntryKind
    name: str
    detail: str
    path: str


@dataclass(frozen=True, slots=True)
class QuickPlace:
    """A folder that is one tap away."""

    name: str
    path: str
    here: bool = False


@dataclass(frozen=True, slots=True)
class FolderView:
    """What is in a folder. ``up`` is the folder that it is in; empty at the very top.

    ``files`` are newest first. ``left_out`` says how many files it has that cannot be opened here; empty for none.
    """

    title: str
    path: str
    up: str
    folders: tuple[Entry, ...]
    files: tuple[Entry, ...]
    places: tuple[QuickPlace, ...] = ()
    left_out: str = ""

    @property
    def where(self) -> str:
        """The path to be read; of a very long one the end."""
        end = self.path[-_LONGEST_PATH:]
        return printable(self.path if end == self.path else f"...{end}")


class Browser:
    """Looks into folders; the one that was looked into last is kept in the folder ``home`` of the user's data."""

    def __init__(
        self,
        home: Path,
        today: Callable[[], str] = clock.today,
        places: Callable[[], Iterable[tuple[str, Path]]] | None = None,
    ) -> None:
        self._home, self._today, self._places = home, today, places or quick_places

    def opened(self) -> FolderView:
        """Where it was last, else the first place that can be looked into. `FolderRefused`: there is none."""
        last = self._last()
        for path in [*([last] if last is not None else []), *(path for _, path in self._places())]:
            with suppress(FolderRefused):
                return self.folder(str(path))
        return self.folder(str(Path.cwd().anchor or "/"))

    def folder(self, path: str) -> FolderView:
        """What is in a folder. `FolderRefused`: it cannot be looked into."""
        folder = Path(path)
        folders, files, left_out = _read(folder, self._today())
        self._keep(folder)
        return FolderView(
            title=printable(folder.name or str(folder), 80),
            path=str(folder),
            up="" if folder.parent == folder else str(folder.parent),
            folders=folders,
            files=files,
            places=tuple(QuickPlace(name, str(place), place == folder) for name, place in self._places()),
            left_out=trn(
                "{count} other file is not shown: it is no spreadsheet and no plan.",
                "{count} other files are not shown: they are no spreadsheets and no plans.",
                left_out,
            )
            if left_out
            else "",
        )

    def _last(self) -> Path | None:
        try:
            return Path(json.loads((self._home / _NAME).read_text(encoding="utf-8"))["folder"])
        except (OSError, ValueError, KeyError, TypeError):
            return None

    def _keep(self, folder: Path) -> None:
        """Keep where it is now. It is a help, no record: a full disk does not stop anybody."""
        if self._last() == folder:
            return
        new = self._home / f"{_NAME}.new"
        with suppress(OSError):
            self._home.mkdir(parents=True, exist_ok=True)
            new.write_text(json.dumps({"folder": str(folder)}), encoding="utf-8")
            new.replace(self._home / _NAME)


def _read(folder: Path, today: str) -> tuple[tuple[Entry, ...], tuple[Entry, ...], int]:
    """The folders, the files that can be opened, and how many cannot."""
    folders: list[Entry] = []
    files: list[tuple[float, Entry]] = []
    left_out = 0
    with _said_of(folder), os.scandir(folder) as entries:
        for one in entries:
            if _is_hidden(one):
                continue
            if _is_folder(one):
                folders.append(Entry("folder", printable(one.name, 120), "", one.path))
            elif (kind := kind_of(one.name)) is not None:
                files.append(_file(one, kind, today))
            else:
                left_out += 1
    folders.sort(key=lambda entry: entry.name.casefold())
    files.sort(key=lambda dated: (-dated[0], dated[1].name.casefold()))
    return tuple(folders), tuple(entry for _, entry in files), left_out


@contextmanager
def _said_of(folder: Path) -> Iterator[None]:
    """What the system says of the folder, in one message."""
    shown = printable(str(folder), 200)
    try:
        yield
    except (FileNotFoundError, NotADirectoryError):
        raise FolderRefused(
            tr("{folder}: is not there any more; plug the stick in again, or pick another folder", folder=shown)
        ) from None
    except PermissionError:
        raise FolderRefused(tr("{folder}: this user may not look into it; pick another folder", folder=shown)) from None
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or error
        raise FolderRefused(tr("{folder}: cannot be read: {why}; pick another folder", folder=shown, why=why)) from None


def _is_hidden(one: os.DirEntry[str]) -> bool:
    if one.name.startswith((".", "~$")):
        return True
    if not hasattr(stat, "FILE_ATTRIBUTE_HIDDEN") or os.name != "nt":
        return False
    with suppress(OSError):
        return bool(getattr(one.stat(), "st_file_attributes", 0) & stat.FILE_ATTRIBUTE_HIDDEN)
    return False


def _is_folder(one: os.DirEntry[str]) -> bool:
    try:
        return one.is_dir()
    except OSError:
        return False


def kind_of(name: str) -> EntryKind | None:
    """What a file is by the end of its name; None: nothing that can be opened."""
    ending = Path(name).suffix.lower()
    return "sheet" if ending in _SHEETS else "plan" if ending == PLAN else None


def _file(one: os.DirEntry[str], kind: EntryKind, today: str) -> tuple[float, Entry]:
    """A file with the time of its last change, in seconds since 1970."""
    what = tr("plan") if kind == "plan" else tr("spreadsheet")
    try:
        known = one.stat()
    except OSError:
        return 0.0, Entry(kind, printable(one.name, 120), what, one.path)
    detail = tr("{what}, {size}, {day}", what=what, size=size_words(known.st_size), day=_day(known.st_mtime, today))
    return known.st_mtime, Entry(kind, printable(one.name, 120), detail, one.path)


def size_words(size_bytes: int) -> str:
    """The size of a file: whole kB, from a million bytes on MB with one place."""
    if size_bytes >= 1_000_000:
        return f"{size_bytes / 1e6:.1f} MB"
    return f"{max(1, round(size_bytes / 1000))} kB"


def _day(changed_s: float, today: str) -> str:
    """When a file was changed: the time if that was today, yesterday, else the date."""
    try:
        at = datetime.fromtimestamp(changed_s)
    except (ValueError, OverflowError, OSError):
        return tr("no date")
    days = (date.fromisoformat(today) - at.date()).days
    if days == 0:
        return tr("today {time}", time=f"{at:%H:%M}")
    return tr("yesterday") if days == 1 else at.date().isoformat()
