"""Whether the files of an open journal are still at their place: what is written to a removed file is lost."""

from pathlib import Path

from checkapp.journal.errors import JournalGone, told


class Watch:
    """The database file at ``path`` and its log, as they are when they are first seen."""

    def __init__(self, path: Path) -> None:
        self._path = path
        self._seen: dict[Path, tuple[int, int]] = {}

    def look(self) -> None:
        """Make sure that both are what they were. `JournalGone`: one is not."""
        for path in (self._path, Path(f"{self._path}-wal")):
            try:
                found = path.stat()
            except OSError as error:
                raise JournalGone(self._said(f"{path.name} is gone")) from error
            now = (found.st_dev, found.st_ino)
            if self._seen.setdefault(path, now) != now:
                raise JournalGone(self._said(f"{path.name} was replaced by another file"))

    def _said(self, wrong: str) -> str:
        return told(
            self._path, f"{wrong} while the journal was open", "look whether its disk is there, then open it again"
        )
