"""Which parts of a history's tables are printed, how they are set, and what is said of the rows that are not."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime
from typing import TYPE_CHECKING, Final

from checkapp.history.tables import NOT_SAID, Cell, Form, Table, tables
from checkapp.history.tables import Column as TableColumn
from checkapp.page.drawing import Align
from checkapp.page.table import Column, Row
from checkapp.tongue import later, shown_names, shown_word, tr, trn
from checkapp.tongue.numbers import paper_day, with_sign

if TYPE_CHECKING:
    from checkapp.history.analysis import History

MOST_ROWS: Final = 40
"""Rows of a table on paper; of the others it is said only how many there are."""
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
    """From which table, under which heading; each column by its title there, its title here, its width in mm.

    What is here is said in the language of the report; what is there is data, and English.
    """

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
    ("cleared (UTC)", later("cleared"), 27.0),
    ("item", later("item"), 30.0),
    ("kind", later("kind"), 15.0),
    ("show", later("show"), 22.0),
    ("place", later("place"), 31.0),
    ("symptoms", later("symptoms"), 25.0),
    ("action", later("action"), 18.0),
    ("open (minutes)", later("min. open"), 18.0),
)
_PLANS: Final = (
    _Plan(
        "Items",
        later("Items, worst first"),
        later(
            "Rate in faults per check, low and high of its central 90 %. Left out: what never failed and needs nothing."
        ),
        (
            ("item", later("item"), 30.0),
            ("kind", later("kind"), 13.0),
            ("faults", later("faults"), 11.0),
            ("exposures (checks)", later("checks"), 12.0),
            ("rate (faults per check)", later("rate"), 13.0),
            ("low (5 %)", "low", 13.0),
            ("high (95 %)", later("high"), 13.0),
            ("trend", later("trend"), 13.0),
            ("advice", later("advice"), 17.0),
            ("reason", later("why"), 48.0),
        ),
        is_asking=True,
    ),
    _Plan(
        "Kinds",
        later("Kinds"),
        later(
            "Rate: faults per check of an item of which nothing else is known. Growth above 1: more often as time goes "
            "on."
        ),
        (
            ("kind", later("kind"), 30.0),
            ("items", later("items"), 20.0),
            ("exposures (checks)", later("checks"), 20.0),
            ("faults", later("faults"), 20.0),
            ("rate (faults per check)", later("rate"), 24.0),
            ("growth shape", later("growth"), 24.0),
            ("growth shape, bias taken out", later("bias taken out"), 28.0),
        ),
    ),
    _Plan(
        "Spares",
        later("Spares for the next leg"),
        later(
            "Enough with the probability that is given. Ports, chains, desk inputs are not carried: so many may fail."
        ),
        (
            ("kind", later("kind"), 30.0),
            ("shows", later("shows"), 20.0),
            ("probability of being enough", later("probability"), 24.0),
            ("spares", later("spares"), 20.0),
        ),
    ),
    _Plan(
        "Items",
        later("Pulled and not yet back"),
        "",
        (
            ("item", later("item"), 30.0),
            ("kind", later("kind"), 20.0),
            ("pulled (UTC)", later("pulled"), 32.0),
            ("bench", later("bench"), 20.0),
            ("faults", later("faults"), 20.0),
            ("exposures (checks)", later("checks"), 20.0),
            ("advice", later("advice"), 24.0),
        ),
        only="pulled (UTC)",
    ),
    _Plan("Faults", later("Failed again after a repair"), "", _AGAIN, latest=True, only="again"),
    _Plan("Faults", later("Faults"), "", _AGAIN, latest=True),
    _Plan(
        "Unconfirmed",
        later("Never confirmed"),
        later("Lines that were faulty in a check and that no repair cleared."),
        (
            ("at (UTC)", "at", 30.0),
            ("line", "line", 24.0),
            ("rig", later("rig"), 44.0),
            ("show", later("show"), 44.0),
            ("symptom", later("symptom"), 26.0),
            ("by", "by", 18.0),
        ),
        latest=True,
    ),
    _Plan(
        "Checks",
        later("Checks"),
        "",
        (
            ("began (UTC)", later("began"), 27.0),
            ("rig", later("rig"), 33.0),
            ("show", later("show"), 22.0),
            ("venue", later("venue"), 24.0),
            ("lines", later("lines"), 10.0),
            ("faulty", later("faulty"), 11.0),
            ("took (minutes)", later("minutes"), 13.0),
            ("seconds per line", later("s a line"), 13.0),
            ("crew", later("crew"), 30.0),
        ),
        latest=True,
    ),
)
_COUNTS: Final = (("by", "by what", 24.0), ("which", later("which"), 80.0), ("faults", later("faults"), 20.0))


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
    heading = shown_word(plan.heading)
    if plan.latest:
        rows.reverse()
        heading = tr("{table}, latest first", table=heading)
    asking = [row for row in rows if _asks(row, titles)] if plan.is_asking else rows
    others = [row for row in rows if not _asks(row, titles)] if plan.is_asking else []
    at = [titles.index(title) for title, _, _ in plan.columns]
    columns = [table.columns[number] for number in at]
    forms = [column.form for column in columns]
    picked = [
        _row([_text(row[number], column) for number, column in zip(at, columns, strict=True)], forms)
        for row in asking[:MOST_ROWS]
    ]
    rest = _rest(len(rows), [*asking[MOST_ROWS:], *others], titles)
    return Printed(heading, shown_word(plan.words), _columns(plan.columns, forms), tuple(picked), rest)


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
        return tr("None.")
    if not left:
        return ""
    more = _more_rows(len(left)) if len(left) < many else _rows_elsewhere(many)
    if "faults" not in titles:
        return more
    faults, checks = (
        sum(value for row in left if title in titles and isinstance(value := row[titles.index(title)], int))
        for title in ("faults", "exposures (checks)")
    )
    return tr(
        "{more}: together {faults} faults in {checks} checks of an item.", more=more[:-1], faults=faults, checks=checks
    )


def _more_rows(count: int) -> str:
    return trn(
        "And {count} more row in the workbook and the CSV files.",
        "And {count} more rows in the workbook and the CSV files.",
        count,
    )


def _rows_elsewhere(count: int) -> str:
    return trn(
        "None here; {count} row in the workbook and the CSV files.",
        "None here; {count} rows in the workbook and the CSV files.",
        count,
    )


def _counts(table: Table) -> Printed:
    """By each of its values the most frequent ones."""
    rows: list[Row] = []
    seen: dict[Cell, int] = {}
    for by, which, count in table.rows:
        seen[by] = seen.get(by, 0) + 1
        if seen[by] <= _MOST_COUNTS:
            what = _shown_by(str(by), str(which))
            rows.append(Row((shown_word(str(by)) if seen[by] == 1 else "", what, str(count))))
    columns = _columns(_COUNTS, ["text", "text", "count"])
    more = sum(max(0, count - _MOST_COUNTS) for count in seen.values())
    rest = tr("None.") if not rows else _more_rows(more) if more else ""
    words = tr("Confirmed faults by what they have in common; of each the {most} most frequent.", most=_MOST_COUNTS)
    heading = tr("Faults by show, venue, place, symptom, initials, action")
    return Printed(heading, words, columns, tuple(rows), rest)


_FORMS: Final[dict[Form, Callable[[float], str]]] = {
    "count": lambda value: f"{value:.0f}",
    "rate": lambda value: "<0.0001" if 0 < value < _LEAST_RATE else f"{value:.4f}",
    "probability": lambda value: f"{value:.3f}",
    "minutes": lambda value: f"{value:.1f}",
    "seconds": lambda value: f"{value:.0f}",
}


def _text(value: Cell, column: TableColumn) -> str:
    """A cell as it is printed."""
    if value is None:
        return ""
    if isinstance(value, datetime):
        return f"{paper_day(value.date())} {value:%H:%M}"
    if isinstance(value, date):
        return paper_day(value)
    return _shown_by(column.title, value) if isinstance(value, str) else with_sign(_FORMS[column.form](value))


def _shown_by(title: str, value: str) -> str:
    """The text of a cell in a column of that title: words of the data said in the language, names as they are."""
    if title in ("kind", "trend", "advice", "bench", "symptom", "action") or value == NOT_SAID:
        return shown_word(value)
    if title == "symptoms":
        return ", ".join(shown_word(one) for one in value.split(", "))
    return shown_names(value) if title == "item" else value
