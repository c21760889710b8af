"""The history of a journal as it is now, and its JSON document."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import timedelta
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from checkapp.history.analysis import LEG_SHOWS, LEVEL, analysed
from checkapp.history.lives import Tally
from checkapp.history.tally import tally
from checkapp.journal.errors import NoJournal
from checkapp.rig.errors import CheckappError, printable
from checkapp.show import clock
from checkapp.show.recording import UnknownShow, open_journal
from checkapp.tongue import shown_word, tr
from checkapp.tongue.catalogue import ENGLISH
from checkapp.tongue.numbers import paper_day

if TYPE_CHECKING:
    from checkapp.history.analysis import History, ItemRow


class LevelRefused(CheckappError):
    """A probability for the spares that is none, or is certainty."""


@dataclass(frozen=True, slots=True)
class Asked:
    """What is asked: of one show, by name, and one kind of item, or of all; spares for so many shows, at that level.

    ``leg_shows`` is 1 or more, ``level`` above 0 and below 1. ``days``: of the checks that began in so many days up to
    today (1: today alone), in UTC; None: of all. ``language`` is that of the report on paper (ISO 639-1).
    """

    show: str | None = None
    kind: str | None = None
    leg_shows: int = LEG_SHOWS
    level: float = LEVEL
    days: int | None = None
    language: str = ENGLISH

    @property
    def since(self) -> str:
        """The first of the days, ISO 8601; empty where all count."""
        return "" if self.days is None else (clock.today_utc() - timedelta(days=self.days - 1)).isoformat()


def history_of(journal: Path | None, asked: Asked | None = None) -> History:
    """The history of the journal at ``journal``, or of the user's own; empty where there is none yet.

    Errors: `LevelRefused`; `UnknownShow`: nothing was marked or repaired at a show of that name; those of the journal.
    """
    asked = asked or Asked()
    if not 0 < asked.level < 1:
        raise LevelRefused(f"level {asked.level:g}: give a probability above 0 and below 1, such as {LEVEL}")
    found = _tally(journal, asked.show, asked.since)
    if asked.show is not None and not found.checks:
        raise UnknownShow(f'nothing was marked or repaired at a show "{printable(asked.show, 60)}"')
    return analysed(_of_kind(found, asked.kind), asked.leg_shows, asked.level)


def _tally(journal: Path | None, show: str | None, since: str) -> Tally:
    try:
        opened = open_journal(journal, create=False)
    except NoJournal:
        return Tally(())
    with opened:
        return tally(opened, show, since)


def _of_kind(found: Tally, kind: str | None) -> Tally:
    if kind is None:
        return found
    lives = tuple(life for life in found.lives if life.kind == kind)
    return replace(found, lives=lives, faults=tuple(fault for fault in found.faults if fault.kind == kind))


def reports(
    found: History, asked: Asked, pdf: Path | None, xlsx: Path | None, csv_dir: Path | None, *, about: str = ""
) -> list[str]:
    """Write the reports that are asked for, as of today; a line of words for each file.

    ``about`` stands in their title. Errors: `UnknownLanguage`, those of writing.
    """
    from checkapp.show.history_reporting import write_reports

    title, today, language = partial(_title, asked, about), clock.today(), asked.language
    return write_reports(found, pdf=pdf, xlsx=xlsx, csv_dir=csv_dir, today=today, title=title, language=language)


def _title(asked: Asked, about: str) -> str:
    of = (
        shown_word(about),
        asked.show,
        tr("kind {kind}", kind=shown_word(asked.kind)) if asked.kind else None,
        tr("since {day}", day=paper_day(asked.since)) if asked.since else None,
    )
    return ", ".join((tr("Fault history"), *(printable(words, 60) for words in of if words)))


def document(found: History) -> dict[str, Any]:
    """The history as one JSON document; what cannot be told is null."""
    return {
        "items": [_item(row) for row in found.items],
        "kinds": [
            {"kind": row.kind, "items": row.items, "exposures": row.exposures, "faults": row.faults, "rate": row.rate}
            for row in found.kinds
        ],
        "spares": [
            {"kind": row.kind, "shows": row.shows, "level": row.level, "count": row.count} for row in found.spares
        ],
    }


def _item(row: ItemRow) -> dict[str, Any]:
    return {
        "item": row.life.item,
        "kind": row.life.kind,
        "exposures": row.life.exposures,
        "faults": len(row.life.faults),
        "rate": row.rate,
        "low": row.low,
        "high": row.high,
        "trend": row.trend.word,
        "trend_p": row.trend.p,
        "advice": row.advice,
        "reason": row.reason,
    }
