"""The tables of a history as plain data, the same for the spreadsheet, the CSV files and the printed report."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime
from typing import TYPE_CHECKING, Literal

from checkapp.rig.errors import printable
from checkapp.tongue import later

if TYPE_CHECKING:
    from checkapp.history.analysis import History, ItemRow
    from checkapp.history.lives import CheckDone, FaultMade, Tally

Cell = str | int | float | datetime | date | None
Form = Literal["text", "count", "rate", "probability", "minutes", "seconds", "time", "date"]
FORMULA = ("=", "+", "-", "@", "\t", "\r")
"""A spreadsheet program takes text that begins so for a formula."""
NOT_SAID = later("not said")
"""Counted by a value that nobody gave."""
_LONGEST = 32_000
"""Characters of a cell; Excel takes 32,767."""


@dataclass(frozen=True, slots=True)
class Column:
    """A column: its title with the unit, what its cells are, and how wide it is in characters."""

    title: str
    form: Form = "text"
    width: int = 12


@dataclass(frozen=True, slots=True)
class Table:
    """A table: its name, its columns, and its rows with a cell for each of them; None where nothing is known."""

    name: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[Cell, ...], ...]


def tables(history: History) -> tuple[Table, ...]:
    """All tables of numbers, in the order of the report."""
    return (
        _items(history),
        _kinds(history),
        _spares(history),
        _faults(history.tally),
        _unconfirmed(history.tally),
        _counts(history.tally),
        _checks(history.tally),
    )


def moment(text: str | None) -> Cell:
    """A time in UTC without its zone from ISO 8601; the text as it is where it is none, None for an empty one."""
    if not text:
        return None
    try:
        found = datetime.fromisoformat(text)
    except ValueError:
        return printable(text, _LONGEST)
    return found.astimezone(UTC).replace(tzinfo=None) if found.tzinfo else found


def day(text: str) -> Cell:
    """A day from ISO 8601; the text as it is where it is none, None for an empty one."""
    try:
        return date.fromisoformat(text[:10]) if text else None
    except ValueError:
        return printable(text, _LONGEST)


def counts_by(tally: Tally) -> dict[str, Counter[str]]:
    """How many faults there were by show, venue, place, symptom, crew member's initials and action."""
    venues = {(check.rig, check.show): check.venue for check in tally.checks}
    what: dict[str, Callable[[FaultMade], Iterable[str]]] = {
        "show": lambda fault: [fault.show],
        "venue": lambda fault: [venues.get((fault.rig, fault.show), "")],
        "place": lambda fault: [fault.place],
        "symptom": lambda fault: dict.fromkeys(fault.symptoms) or [""],
        later("initials"): lambda fault: [fault.by],
        "action": lambda fault: [fault.action],
    }
    return {by: Counter(value or NOT_SAID for one in tally.faults for value in of(one)) for by, of in what.items()}


def seconds_per_line(check: CheckDone) -> float | None:
    """How long a line took, from the first mark to the last; None where fewer than two were marked."""
    return 60 * check.minutes / (check.lines - 1) if check.lines > 1 else None


def _words(text: str | None) -> Cell:
    return printable(text, _LONGEST) if text else None


def _listed(texts: Iterable[str]) -> Cell:
    return _words(", ".join(texts))


_ITEMS = (
    Column("item", width=16),
    Column("kind", width=9),
    Column("exposures (checks)", "count", 11),
    Column("faults", "count", 8),
    Column("rate (faults per check)", "rate", 12),
    Column("low (5 %)", "rate", 10),
    Column("high (95 %)", "rate", 10),
    Column("probability of being bad", "probability", 13),
    Column("trend", width=9),
    Column("trend p", "probability", 9),
    Column("advice", width=12),
    Column("reason", width=60),
    Column("failed in its check number", width=26),
    Column("first check (UTC)", "time", 17),
    Column("last check (UTC)", "time", 17),
    Column("pulled (UTC)", "time", 17),
    Column("bench", width=9),
)


def _items(history: History) -> Table:
    return Table("Items", _ITEMS, tuple(_item(row) for row in history.items))


def _item(row: ItemRow) -> tuple[Cell, ...]:
    life = row.life
    bench = {None: None, True: later("passed"), False: later("failed")}[life.bench]
    seen = (moment(life.first_at), moment(life.last_at), moment(life.pulled_at))
    rates = (row.rate, row.low, row.high, row.bad, row.trend.word, row.trend.p)
    failed = _listed(str(number) for number in life.faults)
    head = (_words(life.item), life.kind, life.exposures, len(life.faults))
    return (*head, *rates, row.advice, _words(row.why), failed, *seen, bench)


def _kinds(history: History) -> Table:
    columns = (
        Column("kind", width=9),
        Column("items", "count", 8),
        Column("exposures (checks)", "count", 11),
        Column("faults", "count", 8),
        Column("rate (faults per check)", "rate", 12),
        Column("growth shape", "rate", 12),
        Column("growth shape, bias taken out", "rate", 14),
    )
    rows = (
        (row.kind, row.items, row.exposures, row.faults, row.rate)
        + ((row.growth.shape, row.growth.unbiased) if row.growth else (None, None))
        for row in history.kinds
    )
    return Table("Kinds", columns, tuple(rows))


def _spares(history: History) -> Table:
    columns = (
        Column("kind", width=9),
        Column("shows", "count", 8),
        Column("probability of being enough", "probability", 14),
        Column("spares", "count", 8),
    )
    return Table("Spares", columns, tuple((row.kind, row.shows, row.level, row.count) for row in history.spares))


def _faults(tally: Tally) -> Table:
    columns = (
        Column("cleared (UTC)", "time", 17),
        Column("item", width=16),
        Column("kind", width=9),
        Column("rig", width=18),
        Column("show", width=18),
        Column("place", width=18),
        Column("by", width=8),
        Column("action", width=16),
        Column("put in", width=16),
        Column("lines", width=16),
        Column("symptoms", width=16),
        Column("open (minutes)", "minutes", 10),
        Column("again", width=8),
    )
    return Table("Faults", columns, tuple(_fault(fault) for fault in tally.faults))


def _fault(fault: FaultMade) -> tuple[Cell, ...]:
    where = (_words(fault.rig), _words(fault.show), _words(fault.place), _words(fault.by), _words(fault.action))
    said = (_words(fault.put_in), _listed(fault.lines), _listed(fault.symptoms))
    again = "again" if fault.again else None
    return (moment(fault.at), _words(fault.item), fault.kind, *where, *said, fault.open_minutes, again)


def _unconfirmed(tally: Tally) -> Table:
    columns = (
        Column("at (UTC)", "time", 17),
        Column("line", width=12),
        Column("rig", width=18),
        Column("show", width=18),
        Column("symptom", width=12),
        Column("by", width=8),
    )
    rows = (
        (moment(one.at), _words(one.line), _words(one.rig), _words(one.show), _words(one.symptom), _words(one.by))
        for one in tally.unconfirmed
    )
    return Table("Unconfirmed", columns, tuple(rows))


def _counts(tally: Tally) -> Table:
    columns = (Column("by", width=10), Column("which", width=28), Column("faults", "count", 8))
    return Table("Counts", columns, tuple(_counted(counts_by(tally))))


def _counted(found: dict[str, Counter[str]]) -> Iterator[tuple[Cell, ...]]:
    for by, counts in found.items():
        for value, count in sorted(counts.items(), key=lambda pair: (-pair[1], pair[0])):
            yield by, _words(value), count


def _checks(tally: Tally) -> Table:
    columns = (
        Column("began (UTC)", "time", 17),
        Column("date", "date", 11),
        Column("rig", width=18),
        Column("show", width=18),
        Column("venue", width=22),
        Column("lines", "count", 8),
        Column("faulty", "count", 8),
        Column("took (minutes)", "minutes", 10),
        Column("seconds per line", "seconds", 10),
        Column("crew", width=16),
    )
    return Table("Checks", columns, tuple(_check(check) for check in tally.checks))


def _check(check: CheckDone) -> tuple[Cell, ...]:
    where = (_words(check.rig), _words(check.show), _words(check.venue))
    took = (check.lines, check.faulty, check.minutes, seconds_per_line(check))
    return (moment(check.at), day(check.date), *where, *took, _listed(check.crew))
