"""Which parts of a history's tables are printed, how they are set, and what is said of the rows that are not."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime
from typing import TYPE_CHECKING, Final

from checkapp.history.tables import Cell, Form, Table, tables
from checkapp.page.drawing import Align
from checkapp.page.table import Column, Row
from checkapp.review.summary import counted

if TYPE_CHECKING:
    from checkapp.history.analysis import History

MOST_ROWS: Final = 40
"""Rows of a table on paper; of the others it is said only how many there are."""
ELSEWHERE: Final = "in the workbook and the CSV files"
"""Where rows stand that are not printed."""
_MOST_COUNTS: Final = 10
_LEAST_RATE: Final = 0.0001
"""A rate below it is not printed."""
_GAP: Final = Column("", 3.0)
"""Between figures, which end at the right, and text, which begins at the left."""


@dataclass(frozen=True, slots=True)
class Printed:
    """A table as it is printed: its heading, words below it, columns, rows, and what is said of the rest."""

    heading: str
    words: str
    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    rest: str


@dataclass(frozen=True, slots=True)
class _Plan:
    """From which table, under which heading; each column by its title there, its title here, its width in mm."""

    table: str
    heading: str
    words: str
    columns: tuple[tuple[str, str, float], ...]
    latest: bool = False
    only: str = ""
    """The title of a column that must not be empty."""
    is_asking: bool = False
    """Only what failed or asks for something to be done is printed."""


_AGAIN = (
    ("cleared (UTC)", "cleared", 27.0),
    ("item", "item", 30.0),
    ("kind", "kind", 15.0),
    ("show", "show", 22.0),
    ("place", "place", 31.0),
    ("symptoms", "symptoms", 25.0),
    ("action", "action", 18.0),
    ("open (minutes)", "min. open", 18.0),
)
_PLANS: Final = (
    _Plan(
        "Items",
        "Items, worst first",
        "Rate in faults per check, low and high of its central 90 %. Left out: what never failed and needs nothing.",
        (
            ("item", "item", 30.0),
            ("kind", "kind", 13.0),
            ("faults", "faults", 11.0),
            ("exposures (checks)", "checks", 12.0),
            ("rate (faults per check)", "rate", 13.0),
            ("low (5 %)", "low", 13.0),
            ("high (95 %)", "high", 13.0),
            ("trend", "trend", 13.0),
            ("advice", "advice", 17.0),
            ("reason", "why", 48.0),
        ),
        is_asking=True,
    ),
    _Plan(
        "Kinds",
        "Kinds",
        "Rate: faults per check of an item of which nothing else is known. Growth above 1: more often as time goes on.",
        (
            ("kind", "kind", 30.0),
            ("items", "items", 20.0),
            ("exposures (checks)", "checks", 20.0),
            ("faults", "faults", 20.0),
            ("rate (faults per check)", "rate", 24.0),
            ("growth shape", "growth", 24.0),
            ("growth shape, bias taken out", "bias taken out", 28.0),
        ),
    ),
    _Plan(
        "Spares",
        "Spares for the next leg",
        "Enough with the probability that is given. Ports, chains, desk inputs are not carried: so many may fail.",
        (
            ("kind", "kind", 30.0),
            ("shows", "shows", 20.0),
            ("probability of being enough", "probability", 24.0),
            ("spares", "spares", 20.0),
        ),
    ),
    _Plan(
        "Items",
        "Pulled and not yet back",
        "",
        (
            ("item", "item", 30.0),
            ("kind", "kind", 20.0),
            ("pulled (UTC)", "pulled", 32.0),
            ("bench", "bench", 20.0),
            ("faults", "faults", 20.0),
            ("exposures (checks)", "checks", 20.0),
            ("advice", "advice", 24.0),
        ),
        only="pulled (UTC)",
    ),
    _Plan("Faults", "Failed again after a repair", "", _AGAIN, latest=True, only="again"),
    _Plan("Faults", "Faults", "", _AGAIN, latest=True),
    _Plan(
        "Unconfirmed",
        "Never confirmed",
        "Lines that were faulty in a check and that no repair cleared.",
        (
            ("at (UTC)", "at", 30.0),
            ("line", "line", 24.0),
            ("rig", "rig", 44.0),
            ("show", "show", 44.0),
            ("symptom", "symptom", 26.0),
            ("by", "by", 18.0),
        ),
        latest=True,
    ),
    _Plan(
        "Checks",
        "Checks",
        "",
        (
            ("began (UTC)", "began", 27.0),
            ("rig", "rig", 33.0),
            ("show", "show", 22.0),
            ("venue", "venue", 24.0),
            ("lines", "lines", 10.0),
            ("faulty", "faulty", 11.0),
            ("took (minutes)", "minutes", 13.0),
            ("seconds per line", "s a line", 13.0),
            ("crew", "crew", 30.0),
        ),
        latest=True,
    ),
)
_COUNTS: Final = (("by", "by", 24.0), ("which", "which", 80.0), ("faults", "faults", 20.0))


def printed(history: History) -> tuple[Printed, ...]:
    """The tables of the report in their order."""
    found = {table.name: table for table in tables(history)}
    parts = [_set(plan, found[plan.table]) for plan in _PLANS]
    return (*parts[:-2], _counts(found["Counts"]), *parts[-2:])


def _set(plan: _Plan, table: Table) -> Printed:
    titles = [column.title for column in table.columns]
    rows = list(table.rows)
    if plan.only:
        rows = [row for row in rows if row[titles.index(plan.only)] is not None]
    heading = plan.heading
    if plan.latest:
        rows.reverse()
        heading = f"{heading}, latest first"
    asking = [row for row in rows if _asks(row, titles)] if plan.is_asking else rows
    others = [row for row in rows if not _asks(row, titles)] if plan.is_asking else []
    at = [titles.index(title) for title, _, _ in plan.columns]
    forms = [table.columns[number].form for number in at]
    picked = [
        _row([_text(row[number], table.columns[number].form) for number in at], forms) for row in asking[:MOST_ROWS]
    ]
    rest = _rest(len(rows), [*asking[MOST_ROWS:], *others], titles)
    return Printed(heading, plan.words, _columns(plan.columns, forms), tuple(picked), rest)


def _asks(row: tuple[Cell, ...], titles: list[str]) -> bool:
    return bool(row[titles.index("faults")]) or row[titles.index("advice")] != "keep"


def _columns(planned: tuple[tuple[str, str, float], ...], forms: list[Form]) -> tuple[Column, ...]:
    """Figures to the right; a little room before text that follows them."""
    found: list[Column] = []
    for number, ((_, title, width), form) in enumerate(zip(planned, forms, strict=True)):
        if _gap(forms, number):
            found.append(_GAP)
        align: Align = "right" if _is_figure(form) else "left"
        found.append(Column(title, width, bold=title == "item", align=align, lines=3))
    return tuple(found)


def _row(cells: list[str], forms: list[Form]) -> Row:
    return Row(tuple(part for number, cell in enumerate(cells) for part in [""] * _gap(forms, number) + [cell]))


def _gap(forms: list[Form], number: int) -> bool:
    return number > 0 and _is_figure(forms[number - 1]) and not _is_figure(forms[number])


def _is_figure(form: Form) -> bool:
    return form in ("count", "rate", "probability", "minutes", "seconds")


def _rest(many: int, left: list[tuple[Cell, ...]], titles: list[str]) -> str:
    """What is said of the rows of a table that are not printed; that there are none at all."""
    if not many:
        return "None."
    if not left:
        return ""
    totals = [
        f"{sum(value for row in left if isinstance(value := row[titles.index(title)], int))} {word}"
        for title, word in (("faults", "faults"), ("exposures (checks)", "checks of an item"))
        if title in titles
    ]
    first = f"And {counted(len(left), 'more row')}" if len(left) < many else f"None here; {counted(many, 'row')}"
    more = f"{first} {ELSEWHERE}"
    return f"{more}: together {' in '.join(totals)}." if totals else f"{more}."


def _counts(table: Table) -> Printed:
    """By each of its values the most frequent ones."""
    rows: list[Row] = []
    seen: dict[Cell, int] = {}
    for by, which, count in table.rows:
        seen[by] = seen.get(by, 0) + 1
        if seen[by] <= _MOST_COUNTS:
            rows.append(Row((str(by) if seen[by] == 1 else "", str(which), str(count))))
    columns = _columns(_COUNTS, ["text", "text", "count"])
    more = sum(max(0, count - _MOST_COUNTS) for count in seen.values())
    rest = "None." if not rows else f"And {counted(more, 'more row')} {ELSEWHERE}." if more else ""
    words = f"Confirmed faults by what they have in common; of each the {_MOST_COUNTS} most frequent."
    return Printed("Faults by show, venue, place, symptom, initials, action", words, columns, tuple(rows), rest)


_FORMS: Final[dict[Form, Callable[[float], str]]] = {
    "count": lambda value: f"{value:.0f}",
    "rate": lambda value: "<0.0001" if 0 < value < _LEAST_RATE else f"{value:.4f}",
    "probability": lambda value: f"{value:.3f}",
    "minutes": lambda value: f"{value:.1f}",
    "seconds": lambda value: f"{value:.0f}",
}


def _text(value: Cell, form: Form) -> str:
    """A cell as it is printed."""
    if value is None:
        return ""
    if isinstance(value, datetime):
        return value.strftime("%Y-%m-%d %H:%M")
    if isinstance(value, date):
        return value.isoformat()
    return value if isinstance(value, str) else _FORMS[form](value)
