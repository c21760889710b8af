"""Questions to whoever sits at the terminal."""

from __future__ import annotations

import sys
from collections.abc import Callable
from typing import TYPE_CHECKING, TypeVar

if TYPE_CHECKING:
    from checkapp.show.new_plan import Ask

_T = TypeVar("_T")


def asker() -> Ask | None:
    """How to ask a person; None where nobody can be asked: input or messages are no terminal."""
    return _ask if sys.stdin.isatty() and sys.stderr.isatty() else None


def _ask(question: str, default: str, read: Callable[[str], _T]) -> _T:
    import typer

    from checkapp.rig.errors import CheckappError

    while True:
        try:
            return read(typer.prompt(question, default=default, err=True))
        except CheckappError as error:
            for line in error.lines:
                typer.echo(line, err=True)
