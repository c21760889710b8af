"""Other journals and exports taken into a journal: all of them in one transaction, or none."""

from codecs import BOM_UTF8
from collections.abc import Callable, Iterator, Sequence
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from pathlib import Path
from sqlite3 import Connection

from checkapp.journal.entry import COLUMN_NAMES
from checkapp.journal.errors import RESCUE, JournalDamaged, JournalError, told
from checkapp.journal.facts import ends, get, read_end
from checkapp.journal.importing import if_faultless, read_lines
from checkapp.journal.journal import Journal
from checkapp.journal.schema import DEVICE, END, LAST, WAS
from checkapp.journal.store import named_errors
from checkapp.journal.taking_in import Intake, Row, TakenIn, intake
from checkapp.rig.errors import Fault
from checkapp.tongue import later

_SQLITE = b"SQLite format 3\0"
_HEAD_BYTES = 1000
_ROWS = 2000

Progress = Callable[[str, int, int], None]
"""Called now and then with the file's name and how much of how much of it was taken: entries, or bytes of an export."""


class NothingToMerge(JournalError):
    """A file to merge that is not there, or is neither a journal nor an export."""


@dataclass(frozen=True, slots=True)
class FromFile:
    """What a file brought; what is wrong stands with all of them together."""

    path: Path
    taken: TakenIn


@dataclass(frozen=True, slots=True)
class Merged:
    """What each file brought, and all of it together with what is wrong now."""

    files: tuple[FromFile, ...]
    taken: TakenIn


def merge(journal: Journal, others: Sequence[Path], progress: Progress | None = None) -> Merged:
    """Take everything in that the files ``others`` hold: journals of any format, and exports.

    A file that is damaged, or is something else, is refused with all others: nothing comes in then. Journals that are
    in use can be merged: what they hold at this moment comes in.

    Errors: `NothingToMerge`, `JournalDamaged`, `NotAJournal`, `JournalTooNew` of the files; `ImportRefused` for faults
    of an export; those of `checkapp.journal.taking_in.intake`.
    """
    say = progress or (lambda name, done, total: None)
    with ExitStack() as opened:
        sources = [opened.enter_context(_source(path)) for path in others]
        door = opened.enter_context(intake(journal))
        files = []
        for path, take in zip(others, sources, strict=True):
            new, known = door.new, door.known
            take(door, lambda done, total, path=path: say(path.name, done, total))  # type: ignore[misc]
            files.append(FromFile(path, TakenIn(door.new - new, door.known - known, (), 0, ())))
        return Merged(tuple(files), door.taken())


Take = Callable[[Intake, Callable[[int, int], None]], None]


@contextmanager
def _source(path: Path) -> Iterator[Take]:
    """A file opened and looked at, ready to be taken in."""
    try:
        with path.open("rb") as file:
            head = file.read(_HEAD_BYTES)
            file.seek(0)
            if not head.startswith(_SQLITE):
                if not head.removeprefix(BOM_UTF8).lstrip().startswith(b"{"):
                    wrong = "is neither a journal nor an export" if head else "is empty"
                    raise NothingToMerge(told(path, wrong, later("name a journal or an export")))
                faults: list[Fault] = []
                size = path.stat().st_size

                def take(door: Intake, say: Callable[[int, int], None]) -> None:
                    entries = if_faultless(read_lines(file, str(path), faults), faults)
                    door.take(entries, told=lambda _: say(file.tell(), size))

                yield take
                return
    except OSError as error:
        raise NothingToMerge(
            told(path, f"cannot be read ({error.strerror})", later("name a journal or an export"))
        ) from error
    with Journal.read(path) as other, other.reading() as bare:
        _look(bare, path)
        yield lambda door, say: _take_journal(bare, path, door, say)


def _look(bare: Connection, path: Path) -> None:
    """Refuse a journal that SQLite finds fault with: what is in it cannot be told for certain."""
    (found,) = bare.execute("PRAGMA quick_check(1)").fetchone()
    if found != "ok":
        raise JournalDamaged(told(path, later("the file is damaged"), RESCUE))


def _take_journal(bare: Connection, path: Path, door: Intake, say: Callable[[int, int], None]) -> None:
    (total,) = bare.execute("SELECT count(*) FROM entry").fetchone()
    door.take(_rows(bare, path), written=known_ends(bare), told=lambda done: say(done, total))


def known_ends(bare: Connection) -> dict[str, int]:
    """How many entries a journal file knows its own tablet and others to have written."""
    written = {device: end.seq for prefix in (END, WAS) for device, end in ends(bare, prefix).items()}
    own, last = get(bare, DEVICE), read_end(get(bare, LAST))
    if own and last:
        written[own] = max(last.seq, written.get(own, 0))
    return written


def take_sound(door: Intake, path: Path) -> None:
    """Take a journal or an export through a door that is open already. Errors: those of a file, as in `merge`."""
    with _source(path) as take:
        take(door, lambda done, total: None)


def _rows(bare: Connection, path: Path) -> Iterator[Row]:
    with named_errors(path):
        found = bare.execute(f"SELECT {COLUMN_NAMES} FROM entry NOT INDEXED")
        while rows := found.fetchmany(_ROWS):
            yield from rows
