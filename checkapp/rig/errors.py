"""What can be wrong with what we were given: one base class, errors named by the condition."""

from collections.abc import Iterable
from dataclasses import dataclass


class CheckappError(Exception):
    """Base of every error that a person can do something about.

    ``lines`` holds one message per fault, ready to be shown; a command prints them on standard error and ends
    with status 2, a screen shows them in one banner.
    """

    @property
    def lines(self) -> tuple[str, ...]:
        """One message per fault."""
        return (str(self),)

    @property
    def said(self) -> tuple[str, ...]:
        """The same as a screen says it."""
        return self.lines


@dataclass(frozen=True, slots=True, order=True)
class Fault:
    """One thing that is wrong in a file: where it stands, what is wrong and what would be right.

    ``line`` counts from 1; 0 speaks of the file as a whole. ``table``, ``entry`` and ``field`` are empty where
    they do not apply.
    """

    file: str
    line: int
    table: str
    entry: str
    field: str
    wrong: str
    right: str

    def __str__(self) -> str:
        """``FILE:LINE: [table] entry field: what is wrong; what would be right``."""
        return self._at(f"{self.file}:{self.line}")

    @property
    def said(self) -> str:
        """The same, but of the file as a whole without a line: ``FILE: what is wrong; what would be right``."""
        return self._at(f"{self.file}:{self.line}" if self.line else self.file)

    def _at(self, where: str) -> str:
        words = [f"[{self.table}]" if self.table else "", self.entry, self.field]
        place = " ".join(word for word in words if word)
        said = f"{self.wrong}; {self.right}" if self.right else self.wrong
        return printable(f"{where}: {place}: {said}" if place else f"{where}: {said}")


class FileRefused(CheckappError):
    """A file that cannot be used; ``faults`` holds all that was found, in the order of the file."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(faults)
        super().__init__(f"{len(self.faults)} faults in the file")

    @property
    def lines(self) -> tuple[str, ...]:
        """One message per fault."""
        return tuple(str(fault) for fault in self.faults)

    @property
    def said(self) -> tuple[str, ...]:
        """The same as a screen says it: of a file as a whole without a line."""
        return tuple(fault.said for fault in self.faults)


class PlanRefused(FileRefused):
    """A plan file that cannot be used."""


class UnknownCode(CheckappError):
    """A code, item or line that the loaded rig does not have."""


class WrongCheckCharacter(CheckappError):
    """A typed or scanned tag whose check character does not fit."""


def printable(text: str, most: int = 400) -> str:
    """``text`` on one line, without control or direction marks, cut at ``most`` characters."""
    clean = "".join(c if c.isprintable() else repr(c)[1:-1] for c in text)
    return clean if len(clean) <= most else clean[: most - 3] + "..."


def shown(value: object, most: int = 40) -> str:
    """A value of a file as a message shows it, on one line, cut at ``most`` characters."""
    try:
        return printable(str(value), most)
    except ValueError:  # Python writes out no whole number of more than some thousand figures
        return "far too large a number"
