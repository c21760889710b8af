"""From a typed or scanned code to its card: findings that concern it and what was marked or repaired on it included."""

from __future__ import annotations

import re
from dataclasses import asdict, replace
from pathlib import Path
from typing import TYPE_CHECKING

from checkapp.journal.errors import NoJournal
from checkapp.rig.codes import DESK, read_line, read_tags
from checkapp.rig.errors import CheckappError
from checkapp.rig.planfile import load_plan
from checkapp.rig.rig import Rig
from checkapp.show.card_concerns import concerned
from checkapp.show.card_making import card_of, desk_card, line_card, socket_card
from checkapp.show.reviewing import reviewed, rows_of

if TYPE_CHECKING:
    from checkapp.show.card import Card
    from checkapp.show.logbook import Log

_LINK = re.compile(r"(\S+) link (in|out)", re.IGNORECASE)


def look_up(plan: Path, code: str, journal: Path | None) -> Card:
    """The card of what ``code`` names in a plan. Errors: those of the plan, `UnknownCode`, `WrongCheckCharacter`."""
    from checkapp.show.recording import open_journal

    rig = load_plan(plan)
    try:
        opened = open_journal(journal, create=False)
    except NoJournal:
        return find_card(rig, code, None)
    with opened:
        return find_card(rig, code, opened)


def find_card(rig: Rig, code: str, journal: Log | None, show: str | None = None) -> Card:
    """The card of what ``code`` names in a rig: an item, a tag, a cable's end, a port, a link socket, a line, the desk.

    ``rig`` is the plan's; the card shows it as it runs, with the swaps and moves of the journal, and how the set-up of
    ``show`` stands (None: of the latest). Errors: `UnknownCode`, `WrongCheckCharacter`.
    """
    if journal is None:
        return _with_findings(rig, _card(rig, code))
    from checkapp.journal.setup_state import read_setup_state
    from checkapp.show.card_history import history, instead_of
    from checkapp.show.card_setup import with_setup
    from checkapp.show.recording import Recorder, find_show

    recorder = Recorder(journal, rig)
    run = recorder.run()
    card, gone = _either(run.rig, rig, code)
    found = find_show(recorder.shows(), show)
    if found is not None and not gone:
        card = with_setup(card, read_setup_state(journal, rig.name, found.name))
    card = replace(_with_findings(run.rig, card), history=history(journal, rig.name, card.item))
    return _instead(card, instead_of(run.made, card.item), gone=gone)


def _either(running: Rig, planned: Rig, code: str) -> tuple[Card, bool]:
    """The card in the rig as it runs; of a box that is out of it since a swap that of the plan, and that it is out."""
    try:
        return _card(running, code), False
    except CheckappError as unknown:
        if running is planned:
            raise
        try:
            return _card(planned, code), True
        except CheckappError:
            raise unknown from None


def _instead(card: Card, words: str, *, gone: bool) -> Card:
    """The card with what it took the place of; where another thing took its place, that is all there is to say."""
    if gone:
        return replace(card, sections=(), cautions=(), run=(), goes=words, hint="")
    if not words or any(True for _ in card.connectors):
        return replace(card, instead=words)
    findings = tuple(row for row in card.findings if row.rule != "unused")
    return replace(card, goes=words, hint="", findings=findings)


def _card(rig: Rig, code: str) -> Card:
    words = " ".join(code.split())
    if words.upper() == DESK:
        return desk_card(rig)
    if read_line(words):
        return line_card(rig, rig.line(words))
    link = _LINK.fullmatch(words)
    if link and link[1].upper() in rig.boxes:
        return socket_card(rig, rig.boxes[link[1].upper()], f"link {link[2].lower()}")
    item = rig.resolve(code)
    return card_of(rig, item, _end_of(rig, code) if item in rig.cables else "")


def _end_of(rig: Rig, code: str) -> str:
    """The end of a cable that was named; empty where the whole cable was."""
    ends = {tag.end for tag in read_tags(code, rig.tags)}
    return ends.pop() if len(ends) == 1 else ""


def _with_findings(rig: Rig, card: Card) -> Card:
    findings = tuple(row for row in rows_of(reviewed(rig).findings) if concerned(rig, card, row))
    return replace(card, findings=findings)


def document(card: Card) -> dict[str, object]:
    """The card as a JSON document."""
    return asdict(card)
