"""Which findings of the review concern a card."""

from __future__ import annotations

from typing import TYPE_CHECKING

from checkapp.rig.codes import read_port
from checkapp.rig.hookup import port_rows

if TYPE_CHECKING:
    from collections.abc import Iterator

    from checkapp.rig.rig import Rig
    from checkapp.show.card import Card
    from checkapp.show.views import FindingRow


def concerned(rig: Rig, card: Card, finding: FindingRow) -> bool:
    """Whether a finding concerns what a card is of: the thing itself, its lines, and what it stands or falls with."""
    return finding.where in _names(rig, card) or (finding.level == "stop" and finding.where in _leaning(rig, card))


def _names(rig: Rig, card: Card) -> set[str]:
    """The thing itself, the lines that plug into it, a box's hop and its supply, what a chain or a supply holds."""
    names = {card.item, *(one.line for one in card.connectors), *_lines_of(rig, card)}
    if card.item in rig.boxes:
        box = rig.boxes[card.item]
        names |= {one.port for one in card.connectors} | {box.cable or "", box.supply or ""}
    if card.kind == "chain":
        boxes = rig.boxes_on(card.item.removeprefix("chain "))
        names |= {box.code for box in boxes} | {box.cable or "" for box in boxes}
    if card.item in rig.supplies:
        names |= {box.code for box in rig.boxes.values() if box.supply == card.item}
    if card.item == "DESK":
        names |= {f"chain {chain.code}" for chain in rig.chains.values() if chain.start is None}
    return names - {""}


def _lines_of(rig: Rig, card: Card) -> Iterator[str]:
    """The lines on a box's ports, inserts too; the line that a desk strip or a line's card is of."""
    if card.item in rig.boxes:
        yield from (row.line.line for row in port_rows(rig, rig.boxes[card.item]) if row.line is not None)
    port = read_port(card.item)
    if port is not None and port.code in rig.boxes:
        rows = port_rows(rig, rig.boxes[port.code])
        yield from (row.line.line for row in rows if row.line is not None and row.port == card.item)


def _leaning(rig: Rig, card: Card) -> set[str]:
    """What must work for this to work: the chain of a box or of a hop, and of a hop the box that it feeds."""
    fed = {box.code for box in rig.boxes.values() if card.item in (box.code, box.cable)}
    return {f"chain {rig.chain_of(code)}" for code in fed} | fed
