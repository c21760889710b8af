"""Whether the files of an open journal are still at their place: what is written to a removed file is lost."""

import os
from pathlib import Path

from checkapp.journal.errors import JournalGone, told
from checkapp.tongue import later, tr


class Watch:
    """The database file at ``path`` and its log, as they are when they are first seen."""

    def __init__(self, path: Path) -> None:
        self._path = path
        self._files = (str(path), f"{path}-wal")
        self._seen: dict[str, tuple[int, int]] = {}

    def look(self) -> None:
        """Make sure that both are what they were. `JournalGone`: one is not."""
        for file in self._files:
            try:
                found = os.stat(file)  # noqa: PTH116 - with each entry, and a Path is made anew each time
            except OSError as error:
                raise JournalGone(
                    self._said(tr("{file} is gone while the journal was open", file=Path(file).name))
                ) from error
            now = (found.st_dev, found.st_ino)
            if self._seen.setdefault(file, now) != now:
                raise JournalGone(
                    self._said(
                        tr("{file} was replaced by another file while the journal was open", file=Path(file).name)
                    )
                )

    def _said(self, wrong: str) -> str:
        return told(self._path, wrong, later("look whether its disk is there, then open it again"))
