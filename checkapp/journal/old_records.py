"""Old records, kept on paper or in a spreadsheet: what the rows of a CSV file say.

The columns are `COLUMNS`, in any order; each may be missing but the date. What other columns hold is kept in the note.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date
from typing import get_args

from checkapp.journal.kinds import Action, Verdict
from checkapp.rig.codes import ENDS, read_line, read_port, written_tag
from checkapp.rig.csv_table import TableRow, read_table
from checkapp.rig.dates import Order, Written, day_order, is_ambiguous, read_date
from checkapp.rig.errors import Fault, shown
from checkapp.rig.words import SYMPTOMS

COLUMNS = ("date", "show", "line", "item", "verdict", "symptom", "action", "note")
MS_OF_SECOND = 1000
MS_OF_DAY = 86_400_000
_EARLIEST = date(1970, 1, 1)
_SPOKEN = ("source", "load", "desk")  # what items that have no code begin with
_WORDS: dict[str, tuple[str, ...]] = {
    "verdict": get_args(Verdict),
    "symptom": SYMPTOMS,
    "action": get_args(Action),
}


@dataclass(frozen=True, slots=True)
class Record:
    """One row: when, at which show, on which line, with which item, what was found, done and noted.

    ``day_ms`` is the time of day where one was written. ``show`` is the date where no show was named. ``row`` counts
    rows that say the same, from 1.
    """

    day: date
    day_ms: int | None
    show: str
    line: str | None
    item: str | None
    verdict: str | None
    symptom: str | None
    action: str | None
    note: str | None
    row: int = 1


@dataclass(frozen=True, slots=True)
class Records:
    """What a file says, what is wrong with it by rows, and what should be looked at: how its dates were read."""

    records: tuple[Record, ...]
    faults: tuple[Fault, ...]
    doubts: tuple[str, ...]


class _BadCell(ValueError):
    """A cell that does not hold what its column must."""

    def __init__(self, column: str, wrong: str, right: str) -> None:
        self.column, self.wrong, self.right = column, wrong, right
        super().__init__(wrong)


def read_records(content: bytes, name: str, *, today: date, day_first: bool | None = None) -> Records:
    """The records of a CSV file; ``name`` is what messages call it.

    ``day_first`` says how a date such as 02/05/2031 is read; None: as the column tells. ``today`` tells which records
    are of the future.

    Errors: `checkapp.rig.csv_table.TableRefused`, when there is no table with such columns.
    """
    table = read_table(content, name, COLUMNS)
    order = day_order(row.cells.get("date", "") for row in table.rows)
    if day_first is not None:
        order = Order(day_first, example=order.example)
    reader = _Reader(order, today)
    found, faults = [], list(table.faults)
    if "date" not in table.columns:
        faults.append(Fault(name, 1, "", "", "date", "there is no such column", "say when it was"))
        return Records((), tuple(faults), ())
    for row in table.rows:
        try:
            found.append(reader.read(row))
        except _BadCell as error:
            faults.append(Fault(name, row.line, "", "", error.column, error.wrong, error.right))
    faults.sort(key=lambda fault: fault.line)
    doubts = [*(_order_said(order, today) if day_first is None else ()), *_future(found, today)]
    return Records(tuple(_numbered(found)), tuple(faults), tuple(doubts))


def _numbered(records: Iterable[Record]) -> Iterator[Record]:
    """The records, those that say the same told apart by a number."""
    seen: dict[Record, int] = {}
    for record in records:
        seen[record] = seen.get(record, 0) + 1
        yield replace(record, row=seen[record])


def _order_said(order: Order, today: date) -> Iterator[str]:
    """How the dates were read, where that was a question."""
    written = read_date(order.example, day_first=order.day_first, this_year=today.year)
    if written is None or order.torn:
        return
    read = f"dates: {shown(order.example)} is read as {written.day.day} {written.day:%B %Y}"
    if order.proof:
        yield f"{read}, since there is {shown(order.proof)}"
    else:
        yield f"{read}, the day first; nothing in the column tells, so if not, say --month-first"


def _future(records: Iterable[Record], today: date) -> Iterator[str]:
    days = sorted(record.day for record in records if record.day > today)
    if days:
        rows = "1 row is" if len(days) == 1 else f"{len(days)} rows are"
        yield f"dates: {rows} dated after today, {today}, the last {days[-1]}; look at the year"


@dataclass(frozen=True, slots=True)
class _Reader:
    """Reads rows, with what is known of the whole column of dates."""

    order: Order
    today: date

    def read(self, row: TableRow) -> Record:
        """What a row says. `_BadCell`: something that it must not."""
        cells = row.cells
        written = self._date(cells["date"])
        words = {column: _word(cells.get(column, ""), column, known) for column, known in _WORDS.items()}
        record = Record(
            written.day,
            written.day_ms,
            cells.get("show") or written.day.isoformat(),
            _line(cells.get("line", "")),
            _item(cells.get("item", "")),
            words["verdict"] or ("faulty" if words["symptom"] else None),
            words["symptom"],
            words["action"],
            _note(cells),
        )
        _check(record)
        return record

    def _date(self, text: str) -> Written:
        if not text:
            raise _BadCell("date", "is missing", "say when it was: 2031-05-02")
        if self.order.torn and is_ambiguous(text):
            wrong = f"is {shown(text)}, and the column has both {self.order.torn[0]} and {self.order.torn[1]}"
            raise _BadCell("date", wrong, "write the year first, or say --day-first or --month-first")
        found = read_date(text, day_first=self.order.day_first, this_year=self.today.year)
        if found is None:
            raise _BadCell("date", f"is {shown(text)}", "a date there is: 2031-05-02, 2.5.2031 or 2 May 2031")
        if found.day < _EARLIEST:
            raise _BadCell("date", f"is {shown(text)}, which is {found.day}, before 1970", "check the year")
        return found


def day_ms(day: date) -> int:
    """The beginning of a day in UTC, in milliseconds since 1970."""
    return (day - _EARLIEST).days * MS_OF_DAY


def moment_ms(record: Record) -> int:
    """When it was, in milliseconds since 1970; noon where no time was written."""
    return day_ms(record.day) + (MS_OF_DAY // 2 if record.day_ms is None else record.day_ms)


def _word(text: str, column: str, known: tuple[str, ...]) -> str | None:
    word = " ".join(text.lower().replace("-", " ").split())
    if not word:
        return None
    if word not in known:
        raise _BadCell(column, f"is {shown(text)}", f"one of {', '.join(known)}")
    return word


def _line(text: str) -> str | None:
    if not text:
        return None
    line = read_line(text)
    if line is None:
        raise _BadCell("line", f"is {shown(text)}", "write in 7 or out 2")
    return line


def _item(text: str) -> str | None:
    """An item as it was written: a code, a port or a tag in capitals, a whole tag without its end and check."""
    if not text:
        return None
    written = written_tag(text)
    if written is not None:
        if not written.fits and (written.tag.end or written.check not in ENDS):
            raise _BadCell("item", f"is {shown(text)}, and its check character does not fit", "check the tag")
        return written.tag.item
    parts = text.split()
    if len(parts) == 3 and parts[0] not in _SPOKEN:
        port = read_port(f"{parts[0].upper()} {parts[1].lower()} {parts[2]}")
        return str(port) if port else " ".join(parts)
    return parts[0].upper() if len(parts) == 1 else " ".join(parts)


def _note(cells: dict[str, str]) -> str | None:
    """The note, and what the other columns hold."""
    more = [f"{column}: {cell}" for column, cell in cells.items() if column not in COLUMNS and cell]
    return "; ".join(part for part in (cells.get("note", ""), *more) if part) or None


def _check(record: Record) -> None:
    if record.line is None and record.item is None:
        raise _BadCell("line", "is missing, and so is the item", "say which line or item it was")
    if record.action and record.item is None:
        raise _BadCell("item", f"is missing: {record.action} of what", "name what it was done to")
    if record.symptom and record.verdict == "ok":
        raise _BadCell("symptom", f"is {record.symptom} where the verdict is ok", "faulty, or no symptom")
    if not (record.verdict or record.action or record.note):
        raise _BadCell("verdict", "is missing, and so are action and note", "say what was found, done or noted")
    if any("\0" in text for text in (record.show, record.item or "", record.note or "")):
        raise _BadCell("", "has a zero character", "save the file once more as CSV")
