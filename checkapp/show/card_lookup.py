"""From a typed or scanned code to its card: findings that concern it and what was marked or repaired on it included."""

from collections.abc import Iterator
from dataclasses import asdict, replace
from pathlib import Path

from checkapp.journal import kinds
from checkapp.journal.entry import Entry
from checkapp.journal.errors import NoJournal
from checkapp.journal.journal import Journal
from checkapp.review.report import review
from checkapp.rig.codes import read_line
from checkapp.rig.planfile import load_plan
from checkapp.rig.rig import Rig
from checkapp.show.card import Card, card_of, line_card, lines_through
from checkapp.show.clock import local_time
from checkapp.show.recording import open_journal
from checkapp.show.reviewing import rows_of

_MOST_HISTORY = 8


def look_up(plan: Path, code: str, journal: Path | None) -> Card:
    """The card of what ``code`` names in a plan. Errors: those of the plan, `UnknownCode`, `WrongCheckCharacter`."""
    rig = load_plan(plan)
    try:
        opened = open_journal(journal, create=False)
    except NoJournal:
        return find_card(rig, code, None)
    with opened:
        return find_card(rig, code, opened)


def find_card(rig: Rig, code: str, journal: Journal | None) -> Card:
    """The card of what ``code`` names in a rig. Errors: `UnknownCode`, `WrongCheckCharacter`."""
    if read_line(code):
        line = rig.line(code)
        rows = tuple(row for row in rows_of(review(rig).findings) if row.where == line.line)
        return replace(line_card(rig, line), findings=rows, history=_history(rig, "", {line.line}, journal))
    item = rig.resolve(code)
    lines = {line.line for line in lines_through(rig, item)}
    findings = tuple(row for row in rows_of(review(rig).findings) if row.where == item or row.where in lines)
    return replace(card_of(rig, item), findings=findings, history=_history(rig, item, lines, journal))


def document(card: Card) -> dict[str, object]:
    """The card as a JSON document."""
    return asdict(card)


def _history(rig: Rig, item: str, lines: set[str], journal: Journal | None) -> tuple[tuple[str, ...], ...]:
    if journal is None:
        return ()
    entries = journal.entries(rig=rig.name, kind=(kinds.MARK, kinds.REPAIR, kinds.VOID))
    undone = {entry.subject for entry in entries if entry.kind == kinds.VOID}
    told = [row for entry in entries if entry.id not in undone for row in _told(entry, item, lines)]
    return tuple(reversed(told[-_MOST_HISTORY:]))


def _told(entry: Entry, item: str, lines: set[str]) -> Iterator[tuple[str, ...]]:
    when = local_time(entry.at)
    mark, repair = kinds.read_mark(entry), kinds.read_repair(entry)
    if mark is not None and mark.verdict == "faulty" and mark.line in lines:
        heard = ", ".join(word for word in (mark.symptom, mark.note) if word)
        yield when, entry.show or "", f"{mark.line} faulty" + (f": {heard}" if heard else "")
    if repair is not None and item in (repair.item, repair.replacement):
        other = f" with {repair.replacement}" if repair.replacement else ""
        result = "cleared" if repair.cleared else "did not clear"
        yield when, entry.show or "", f"{repair.item} {repair.action}{other}, {result}"
