"""How the set-up of a show stands, put on a card: what is placed, what is set, which ends are in their sockets."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from checkapp.show.card_words import joined
from checkapp.tongue import tr
from checkapp.tongue.numbers import clock as clock_time

if TYPE_CHECKING:
    from checkapp.journal.setup_state import Made, SetupState
    from checkapp.show.card import Card, Connector, Section


def with_setup(card: Card, state: SetupState) -> Card:
    """The card with what set-up knows of it; nothing is said of what set-up has not been at."""
    sections = tuple(_section(card, section, state) for section in card.sections)
    placed = state.placed.get(card.item)
    card = replace(card, sections=sections)
    if placed is not None:
        return replace(card, status="ok", said=tr("placed, {who}", who=_who(placed)))
    own = [one for section in sections for one in section.connectors if card.end and one.end == card.code]
    if any(one.status == "faulty" for one in own):
        return replace(card, status="faulty", said=next(one.said for one in own if one.status == "faulty"))
    if own and all(one.status == "ok" for one in own):
        return replace(card, status="ok", said=tr("connected, {who}", who=own[-1].said))
    return card


def _section(card: Card, section: Section, state: SetupState) -> Section:
    if section.connectors:
        return replace(section, connectors=tuple(_connector(one, state) for one in section.connectors))
    if section.title == tr("set on it"):
        made = state.settings.get(card.item, {})
        return replace(section, status=tuple("ok" if row[0] in made else "open" for row in section.rows))
    return section


def _connector(one: Connector, state: SetupState) -> Connector:
    """A socket with what was found in it: its own end, or another one, or that its own end is elsewhere."""
    found = state.connected.get(one.end, {})
    if one.end and state.is_in(one.end, one.port):
        return replace(one, status="ok", said=_who(found[one.port]))
    for end, ports in state.connected.items():
        if one.port in ports and ports[one.port].verdict == "wrong":
            return replace(
                one, status="faulty", said=tr("{end} was found here, {who}", end=end, who=_who(ports[one.port]))
            )
    for port, made in found.items():
        if made.verdict == "wrong":
            return replace(
                one,
                status="faulty",
                said=tr("{end} was found in {port}, {who}", end=one.end, port=port, who=_who(made)),
            )
    return one


def _who(made: Made) -> str:
    """By whom and when, by the clock on the wall."""
    return joined(made.by, clock_time(made.at), tr("by hand") if made.verdict == "ticked" else "")
