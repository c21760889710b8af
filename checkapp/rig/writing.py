"""Files that are put in their place as a whole or not at all."""

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import BinaryIO

from checkapp.rig.errors import CheckappError, printable


class FileNotWritten(CheckappError):
    """A file could not be written where it was asked for."""


def replace_file(out: Path, content: bytes) -> None:
    """Write beside ``out`` and put it in its place, so that no half-written file is ever seen.

    A file that is replaced leaves its rights to the new one. `FileNotWritten`: the folder is not there or not ours,
    or ``out`` is a folder.
    """
    with replacing(out) as file:
        file.write(content)


@contextmanager
def replacing(out: Path) -> Iterator[BinaryIO]:
    """A file beside ``out`` to write to bit by bit, put in its place at the end; after an error ``out`` is as it was.

    Errors as in `replace_file`, and those of the block that is run.
    """
    try:
        if out.is_dir():
            raise IsADirectoryError(None, "is a folder")
        with TemporaryDirectory(prefix=".checkapp-", dir=out.parent) as folder:
            new = Path(folder, out.name)
            with new.open("wb") as file:
                yield file
            if out.exists():
                shutil.copymode(out, new)
            new.replace(out)
    except (OSError, ValueError) as error:
        raise not_written(out, error) from None


def not_written(out: Path, error: OSError | ValueError) -> FileNotWritten:
    """The error for what the system says about writing ``out``."""
    why = error.strerror if isinstance(error, OSError) else error
    return FileNotWritten(f"{printable(str(out))}: cannot be written: {why}; name a file in a folder that is yours")
