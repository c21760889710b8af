"""Entries from the lines of an export; each line that holds none is told by its number."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import BinaryIO

from checkapp.journal.entry import Entry
from checkapp.journal.journal import Journal
from checkapp.journal.lines import NoEntry, read_line
from checkapp.journal.taking_in import TakenIn, take_in
from checkapp.rig.errors import Fault, FileRefused

MOST_FAULTS = 1000
"""Nobody reads more at once; the rest is said after these are mended."""
MOST_BYTES = 64_000_000
"""The longest line that is looked at."""
_BOM = b"\xef\xbb\xbf"


class ImportRefused(FileRefused):
    """A file of which nothing was taken in, because of its faults."""


@dataclass(frozen=True, slots=True)
class Imported:
    """What came in, and what was wrong with the rest, line by line."""

    taken: TakenIn
    faults: tuple[Fault, ...]


def import_lines(
    journal: Journal,
    file: BinaryIO,
    name: str,
    *,
    all_or_nothing: bool = True,
    told: Callable[[int], None] | None = None,
) -> Imported:
    """Take the entries of an export into ``journal``; ``name`` is what messages call the file.

    A line that holds no entry is a fault, and so is one whose digest does not fit. Without ``all_or_nothing`` whatever
    is an entry comes in, also one that was changed, which verification reports from then on. ``told`` is called now
    and then with how many entries were looked at.

    Errors: `ImportRefused`, after which nothing came in, and those of `checkapp.journal.taking_in`.
    """
    faults: list[Fault] = []
    entries = read_lines(file, name, faults)
    taken = take_in(journal, if_faultless(entries, faults) if all_or_nothing else entries, told=told)
    return Imported(taken, tuple(faults))


def if_faultless(entries: Iterable[Entry], faults: list[Fault]) -> Iterator[Entry]:
    """The same entries, and at their end an error if there are faults by then. `ImportRefused`: there are."""
    yield from entries
    if faults:
        raise ImportRefused(faults)


def read_lines(file: BinaryIO, name: str, faults: list[Fault]) -> Iterator[Entry]:
    """The entries of an export, one after the other; ``name`` is what messages call the file.

    Lines that hold no entry are added to ``faults``; so are those whose digest does not fit, which come all the same.
    It ends after `MOST_FAULTS` of them. Empty lines are passed over. `ImportRefused`: the file cannot be read.
    """
    for number, content in enumerate(_lines(file, name), 1):
        line = (content.removeprefix(_BOM) if number == 1 else content).strip()
        if not line:
            continue
        try:
            entry = _read(line)
        except NoEntry as error:
            faults.append(Fault(name, number, "", "", error.field, error.wrong, error.right))
        else:
            if entry.digest != entry.computed_digest():
                wrong = "does not fit: the entry was changed after it was written"
                faults.append(Fault(name, number, "", "", "digest", wrong, "export it once more"))
            yield entry
        if len(faults) >= MOST_FAULTS or len(content) >= MOST_BYTES:
            faults.append(Fault(name, 0, "", "", "", "the rest was not looked at", "mend these first"))
            return


def _lines(file: BinaryIO, name: str) -> Iterator[bytes]:
    """The lines of a file; what the system says of it must not be taken for the journal's, written meanwhile."""
    try:
        while content := file.readline(MOST_BYTES):
            yield content
    except OSError as error:
        wrong = f"cannot be read: {error.strerror}"
        raise ImportRefused([Fault(name, 0, "", "", "", wrong, "look whether it is still there")]) from None


def _read(line: bytes) -> Entry:
    if len(line) >= MOST_BYTES:
        raise NoEntry("", f"is longer than {MOST_BYTES // 1_000_000} MB", "one entry a line")
    try:
        return read_line(line.decode())
    except UnicodeDecodeError as error:
        wrong = f"is no UTF-8 text (byte {line[error.start]:#04x} at {error.start + 1})"
        raise NoEntry("", wrong, "export it once more") from None
