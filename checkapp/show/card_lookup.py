"""From a typed or scanned code to its card: findings that concern it and what was marked or repaired on it included."""

from __future__ import annotations

import re
from dataclasses import asdict, replace
from pathlib import Path
from typing import TYPE_CHECKING

from checkapp.journal.errors import NoJournal
from checkapp.review.report import review
from checkapp.rig.codes import DESK, Tag, read_line, read_tags
from checkapp.rig.errors import CheckappError
from checkapp.rig.planfile import load_plan
from checkapp.rig.rig import Rig
from checkapp.show.card_concerns import concerned
from checkapp.show.card_making import card_of, desk_card, line_card, socket_card
from checkapp.show.reviewing import rows_of

if TYPE_CHECKING:
    from checkapp.journal.journal import Journal
    from checkapp.show.card import Card

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


def find_card(rig: Rig, code: str, journal: Journal | None, show: str | None = None) -> Card:
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
    card = _either(run.rig, rig, code)
    found = find_show(recorder.shows(), show)
    if found is not None:
        card = with_setup(card, read_setup_state(journal, rig.name, found.name))
    told, instead = history(journal, rig.name, card.item), instead_of(run.made, card.item)
    return replace(_with_findings(run.rig, card), history=told, instead=instead)


def _either(running: Rig, planned: Rig, code: str) -> Card:
    """The card in the rig as it runs, or in the plan of what is out of the rig since a swap."""
    try:
        return _card(running, code)
    except CheckappError as unknown:
        if running is planned:
            raise
        try:
            return _card(planned, code)
        except CheckappError:
            raise unknown from None


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
    """The end of a cable that was named, by its tag or its show tag; empty where the whole cable was."""
    shown = [Tag(tag.owner, tag.code, tag.end, rig.mark) for tag in rig.tags]
    ends = {tag.end for tag in read_tags(code, [*rig.tags, *shown])}
    return ends.pop() if len(ends) == 1 else ""


def _with_findings(rig: Rig, card: Card) -> Card:
    findings = tuple(row for row in rows_of(review(rig).findings) if concerned(rig, card, row))
    return replace(card, findings=findings)


def document(card: Card) -> dict[str, object]:
    """The card as a JSON document."""
    return asdict(card)
