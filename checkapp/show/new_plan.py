"""A plan to start from, asked for by a command: what is missing is asked, and no file is overwritten unasked."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Final, NamedTuple, Protocol, TypeVar

from checkapp.rig.errors import CheckappError, printable
from checkapp.rig.starting import DEFAULT_SIZES, MOST_LINES, CannotStart, Size, Started, read_size, started
from checkapp.rig.writing import replace_file

_T = TypeVar("_T")
NEW_NAME: Final = "New rig"
NEW_FILE: Final = "plan.toml"


class NumbersMissing(CheckappError):
    """A plan was asked for without a number of lines, and there is nobody to ask."""


class FileIsThere(CheckappError):
    """The file that a new plan is to go to is there already."""


class Ask(Protocol):
    """Put a question to a person until ``read`` takes the answer; a `CheckappError` of ``read`` says what is wrong."""

    def __call__(self, question: str, default: str, read: Callable[[str], _T]) -> _T:
        """The answer as read; the default where a person just goes on."""


class Wanted(NamedTuple):
    """What a new plan is to be. ``out`` is None where it is printed."""

    name: str
    inputs: int
    outputs: int
    sizes: tuple[Size, ...]
    out: Path | None


def wanted(
    name: str | None,
    inputs: int | None,
    outputs: int | None,
    boxes: Sequence[str],
    out: Path | None,
    ask: Ask | None,
    *,
    force: bool = False,
) -> Wanted:
    """What is asked for; with neither a number of inputs nor of outputs a person is asked for all that is not said.

    A number that is not said is 0, no boxes are boxes of 16x8 and 8x4. Errors: `NumbersMissing` where ``ask`` is None,
    `CannotStart`.
    """
    if inputs is None and outputs is None:
        if ask is None:
            raise NumbersMissing(
                "how many lines? Give --inputs N, --outputs N or both; --box 16x8 for each size of box"
            )
        name = name or ask("Name of the rig", NEW_NAME, str)
        inputs, outputs = ask("How many inputs", "16", _number), ask("How many outputs", "8", _number)
        sizes = tuple(map(read_size, boxes)) or ask("Sizes of box, inputs x outputs", _said(DEFAULT_SIZES), _sizes)
        return Wanted(name, inputs, outputs, sizes, out or ask("File to write", NEW_FILE, _new_file(force)))
    sizes = tuple(map(read_size, boxes)) or DEFAULT_SIZES
    return Wanted(NEW_NAME if name is None else name, inputs or 0, outputs or 0, sizes, out)


def new_plan(asked: Wanted, *, force: bool = False) -> Started:
    """The plan, written to its file where it has one.

    A file that is there is replaced with ``force`` alone. Errors: `CannotStart`, `FileIsThere`, `FileNotWritten`.
    """
    made = started(asked.name, asked.inputs, asked.outputs, asked.sizes)
    if asked.out is not None:
        if not force:
            check_new(asked.out)
        replace_file(asked.out, made.text.encode())
    return made


def made_words(asked: Wanted, made: Started) -> str:
    """What was written, in a line, and what comes next."""
    from checkapp.review.summary import counted

    lines = f"{counted(asked.inputs, 'input')}, {counted(asked.outputs, 'output')}"
    boxes = f"{counted(made.boxes, 'box')} on {counted(made.chains, 'chain')}"
    file = printable(str(asked.out))
    return f"{file}: {lines}, {boxes}. Put in names and gear, then: checkapp review {file}"


def check_new(out: Path) -> None:
    """`FileIsThere`: there is such a file, and nobody said that it may go."""
    if out.exists():
        raise FileIsThere(f"{printable(str(out))} is there already; name another file, or add --force")


def _new_file(force: bool) -> Callable[[str], Path]:
    def read(text: str) -> Path:
        if not force:
            check_new(Path(text))
        return Path(text)

    return read


def _number(text: str) -> int:
    words = text.strip()
    if not (words.isascii() and words.isdigit() and int(words) <= MOST_LINES):
        raise CannotStart(f"write a number from 0 to {MOST_LINES}")
    return int(words)


def _sizes(text: str) -> tuple[Size, ...]:
    """Sizes with commas or blanks between them."""
    return tuple(map(read_size, text.replace(",", " ").split())) or DEFAULT_SIZES


def _said(sizes: Sequence[Size]) -> str:
    return ", ".join(f"{size.inputs}x{size.outputs}" for size in sizes)
