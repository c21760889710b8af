"""Files that are put in their place as a whole or not at all."""

import shutil
from collections.abc import Iterator, Mapping
from contextlib import ExitStack, contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import BinaryIO

from checkapp.rig.errors import CheckappError, printable

_BEFORE = "before"
"""The name of a copy of what is replaced."""


class FileNotWritten(CheckappError):
    """A file could not be written where it was asked for."""


def replace_file(out: Path, content: bytes) -> None:
    """Write beside ``out`` and put it in its place, so that no half-written file is ever seen.

    A file that is replaced leaves its rights to the new one. `FileNotWritten`: the folder is not there or not ours,
    or ``out`` is a folder.
    """
    with replacing(out) as file:
        file.write(content)


def replace_files(contents: Mapping[Path, bytes]) -> None:
    """As `replace_file` for several that belong together: after an error all of them are as they were.

    All are written beside their places before the first is put in its own. Errors as in `replace_file`.
    """
    with ExitStack() as stack:
        news = {out: stack.enter_context(_written_beside(out, content)) for out, content in contents.items()}
        done: list[Path] = []
        try:
            for out, new in news.items():
                with _said_of(out):
                    _put(new, out)
                done.append(out)
        except FileNotWritten:
            for out in done:
                with _said_of(out):
                    _put_back(news[out].with_name(_BEFORE), out)
            raise


@contextmanager
def replacing(out: Path) -> Iterator[BinaryIO]:
    """A file beside ``out`` to write to bit by bit, put in its place at the end; after an error ``out`` is as it was.

    Errors as in `replace_file`, and those of the block that is run.
    """
    with _said_of(out), _beside(out) as new:
        with new.open("wb") as file:
            yield file
        _put(new, out)


@contextmanager
def _said_of(out: Path) -> Iterator[None]:
    """What the system says of the block is told of this file."""
    try:
        yield
    except (OSError, ValueError) as error:
        raise not_written(out, error) from None


@contextmanager
def _beside(out: Path) -> Iterator[Path]:
    """A name for a file in a folder of its own beside ``out``; the folder is gone after."""
    if out.is_dir():
        raise IsADirectoryError(None, "is a folder")
    with TemporaryDirectory(prefix=".checkapp-", dir=out.parent) as folder:
        yield Path(folder, "new")


@contextmanager
def _written_beside(out: Path, content: bytes) -> Iterator[Path]:
    """The content in a file beside ``out``, and beside that what is there now."""
    with _said_of(out), _beside(out) as new:
        new.write_bytes(content)
        if out.exists():
            shutil.copy2(out, new.with_name(_BEFORE))
        yield new


def _put(new: Path, out: Path) -> None:
    if out.exists():
        shutil.copymode(out, new)
    new.replace(out)


def _put_back(before: Path, out: Path) -> None:
    if before.exists():
        before.replace(out)
    else:
        out.unlink()


def not_written(out: Path, error: OSError | ValueError) -> FileNotWritten:
    """The error for what the system says about writing ``out``."""
    why = error.strerror if isinstance(error, OSError) else error
    return FileNotWritten(f"{printable(str(out))}: cannot be written: {why}; name a file in a folder that is yours")
