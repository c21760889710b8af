"""A changed copy of a rig, in memory: a box on another supply, on another cable, at the end of another chain.

What a plan file may not say no copy says either: one cable to one box, one feed to one box, one port to one line,
repeated outputs on the same chain, a resistance for every hop with link power, no circles.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import reduce
from itertools import chain, count, islice
from typing import Any, TypeVar

from checkapp.rig.codes import DESK, Direction, Port, read_port, without_hyphens
from checkapp.rig.edit import Edit, with_edits
from checkapp.rig.errors import CheckappError
from checkapp.rig.model import LARGEST, Cable, Chain, Input, Supply
from checkapp.rig.occupied import cables_used, lines_through, passive_way, ports_used
from checkapp.rig.rig import Rig
from checkapp.tongue import tr

_Entry = TypeVar("_Entry")


class CannotChange(CheckappError):
    """A change that would leave a rig which no plan file may hold."""


@dataclass(frozen=True, slots=True)
class OnSupply:
    """A box gets that supply, of the rig's, as its own."""

    box: str
    supply: str


@dataclass(frozen=True, slots=True)
class OtherCable:
    """A box gets a cable that nothing uses; the one that it had becomes a spare."""

    box: str
    cable: str


@dataclass(frozen=True, slots=True)
class OtherChain:
    """The last boxes of a chain, in their order, go to the end of another chain; each keeps its cable."""

    boxes: tuple[str, ...]
    chain: str


@dataclass(frozen=True, slots=True)
class OtherPort:
    """A line goes to another port, which is free."""

    line: str
    port: str


@dataclass(frozen=True, slots=True)
class OtherLoad:
    """What else hangs on a supply: watts, 0 or more."""

    supply: str
    other_load_w: float


@dataclass(frozen=True, slots=True)
class NewSupply:
    """A supply that the rig does not have."""

    supply: Supply


@dataclass(frozen=True, slots=True)
class NewCable:
    """A box gets a cable that the rig does not have; the one that it had becomes a spare."""

    box: str
    cable: Cable


@dataclass(frozen=True, slots=True)
class NewChain:
    """A chain that the rig does not have, from the desk and without boxes."""

    chain: Chain


Change = OnSupply | OtherCable | OtherChain | OtherPort | OtherLoad | NewSupply | NewCable | NewChain
Way = tuple[Change, ...]
"""Changes that are made together, one after the other."""


def changed(rig: Rig, changes: Iterable[Change]) -> Rig:
    """A copy of the rig with the changes made, one after the other; the rig itself stays as it is.

    The copy still names the plan file and the digest that it comes from. `CannotChange`: a change names what the rig
    does not have, or would break a rule of plan files.
    """
    return reduce(_one, changes, rig)


def _one(rig: Rig, change: Change) -> Rig:
    make: Callable[[Rig, Any], Rig] = _MAKERS[type(change)]
    return make(rig, change)


def with_tables(rig: Rig, **tables: object) -> Rig:
    """A copy with other entries in the named tables of its plan; nothing is checked."""
    return Rig(rig.plan.model_copy(update=tables), rig.digest, rig.file)


def new_code(rig: Rig, word: str) -> str:
    """A code that the rig does not have yet: the word, or the word with a number."""
    return new_codes(rig, word, 1)[0]


def new_codes(rig: Rig, word: str, number: int) -> list[str]:
    """So many codes that the rig does not have yet, of a word of up to seven letters."""
    taken = {without_hyphens(code) for code in _codes(rig)}
    names = chain([word], (f"{word}{more}" for more in count(2)))
    return list(islice((name for name in names if name not in taken), number))


def _codes(rig: Rig) -> tuple[str, ...]:
    return (DESK, *rig.boxes, *rig.cables, *rig.chains, *rig.supplies, *rig.sources)


def _known(table: Mapping[str, _Entry], code: str) -> _Entry:
    if code not in table:
        raise CannotChange(tr("the rig has no {item}", item=code))
    return table[code]


def must_be_new(rig: Rig, code: str) -> None:
    """Refuse a code that the rig has, hyphens aside. `CannotChange`."""
    if without_hyphens(code) in map(without_hyphens, _codes(rig)):
        raise CannotChange(tr("the rig has a {item} already", item=code))


def _on_supply(rig: Rig, change: OnSupply) -> Rig:
    _known(rig.boxes, change.box)
    _known(rig.supplies, change.supply)
    return with_edits(rig, [Edit("box", change.box, "supply", change.supply)])


def _other_load(rig: Rig, change: OtherLoad) -> Rig:
    _known(rig.supplies, change.supply)
    if not 0 <= change.other_load_w <= LARGEST:
        raise CannotChange(f"{change.supply}: {change.other_load_w} W is no load")
    fields = {"other_load_w": change.other_load_w}
    supplies = [one.model_copy(update=fields) if one.code == change.supply else one for one in rig.plan.supply]
    return with_tables(rig, supply=supplies)


def _new_supply(rig: Rig, change: NewSupply) -> Rig:
    must_be_new(rig, change.supply.code)
    return with_tables(rig, supply=[*rig.plan.supply, change.supply])


def _new_chain(rig: Rig, change: NewChain) -> Rig:
    must_be_new(rig, change.chain.code)
    _known(rig.plan.link_kind, change.chain.link)
    if change.chain.start is not None:
        raise CannotChange(f"{change.chain.code} does not start at the desk")
    return with_tables(rig, chain=[*rig.plan.chain, change.chain])


def _new_cable(rig: Rig, change: NewCable) -> Rig:
    must_be_new(rig, change.cable.code)
    _known(rig.plan.cable_kind, change.cable.kind)
    with_it = with_tables(rig, cable=[*rig.plan.cable, change.cable])
    return _other_cable(with_it, OtherCable(change.box, change.cable.code))


def _other_cable(rig: Rig, change: OtherCable) -> Rig:
    box, cable = _known(rig.boxes, change.box), _known(rig.cables, change.cable)
    if cable.code in cables_used(rig):
        raise CannotChange(tr("{cable} is in use: one cable feeds one box", cable=cable.code))
    if not rig.box_kind(box).passive:
        must_have_resistance(rig, cable, rig.chain_of(box.code))
    edits = [Edit("box", box.code, "cable", cable.code), Edit("cable", cable.code, "spare", False)]
    if box.cable is not None:
        edits.append(Edit("cable", box.cable, "spare", True))
    copy = with_edits(rig, edits)
    must_have_ways(copy)
    return copy


def must_have_resistance(rig: Rig, cable: Cable, chain: str | None) -> None:
    """Refuse a hop cable without resistance on a chain with link power. `CannotChange`."""
    powered = chain is not None and rig.link_kind(rig.chains[chain]).volts is not None
    if powered and rig.cable_kind(cable).loop_ohm_per_m is None:
        told = {"cable": cable.code, "kind": cable.kind, "chain": chain}
        raise CannotChange(tr("{cable} is of kind {kind}, without resistance, on the powered chain {chain}", **told))


def must_have_ways(rig: Rig) -> None:
    """Refuse a passive box whose cable has fewer ways than lines go through it. `CannotChange`."""
    for code, lines in lines_through(rig).items():
        cable = rig.boxes[code].cable
        if cable is not None and lines > rig.cable_kind(rig.cables[cable]).ways:
            told = {"cable": cable, "count": lines, "box": code}
            raise CannotChange(tr("{cable} has too few ways for {count} lines through {box}", **told))


def _other_chain(rig: Rig, change: OtherChain) -> Rig:
    _known(rig.chains, change.chain)
    moved = [_known(rig.boxes, code) for code in change.boxes]
    now = rig.chain_of(change.boxes[0]) if moved else None
    on_it = [] if now is None else [box.code for box in rig.boxes_on(now)]
    if not moved or on_it[-len(moved) :] != list(change.boxes):
        raise CannotChange(f"{', '.join(change.boxes)}: not the last boxes of a chain")
    if change.chain == now or _hangs_under(rig, change.chain, set(change.boxes)):
        raise CannotChange(f"chain {change.chain} is no other chain, or hangs on what would move")
    for box in rig.boxes.values():
        if box.repeats is not None and (box.code in change.boxes) != (box.repeats in change.boxes):
            raise CannotChange(f"{box.code} repeats {box.repeats}: they stay on the same chain")
    for box in moved:
        must_have_resistance(rig, rig.cables[box.cable or ""], change.chain)
    ends_at = [change.chain, *(box.code for box in rig.boxes_on(change.chain))][-1]
    return with_edits(rig, [Edit("box", change.boxes[0], "fed_from", ends_at)])


def _hangs_under(rig: Rig, chain: str, boxes: set[str]) -> bool:
    """Whether a chain starts at one of the boxes, or at a box of a chain that does, and so on."""
    above: str | None = chain
    while above is not None:
        start = rig.chains[above].start
        if start is None or start in boxes:
            return start is not None
        above = rig.chain_of(start)
    return False


def _other_port(rig: Rig, change: OtherPort) -> Rig:
    line = _known({one.line: one for one in rig.lines}, change.line)
    port = read_port(change.port)
    direction: Direction = "in" if isinstance(line, Input) else "out"
    if port is None or port.direction != direction or not _has(rig, port):
        is_in = direction == "in"
        raise CannotChange(
            tr("the rig has no input {port}", port=change.port)
            if is_in
            else tr("the rig has no output {port}", port=change.port)
        )
    if port in ports_used(rig):
        raise CannotChange(tr("{port} is in use: one port takes one line", port=port))
    table = "input" if isinstance(line, Input) else "output"
    moved = [line.model_copy(update={"port": str(port)}) if one is line else one for one in getattr(rig.plan, table)]
    copy = with_tables(rig, **{table: moved})
    if any(at.direction == "out" and rig.boxes[at.code].outputs_from is None for at in passive_way(rig, port)):
        raise CannotChange(tr("nothing feeds {port}", port=port))
    must_have_ways(copy)
    return copy


def _has(rig: Rig, port: Port) -> bool:
    if port.code == DESK:
        return True
    box = rig.boxes.get(port.code)
    return box is not None and port.number <= rig.box_kind(box).ports(port.direction)


_MAKERS: Mapping[type, Callable[[Rig, Any], Rig]] = {
    OnSupply: _on_supply,
    OtherCable: _other_cable,
    OtherChain: _other_chain,
    OtherPort: _other_port,
    OtherLoad: _other_load,
    NewSupply: _new_supply,
    NewCable: _new_cable,
    NewChain: _new_chain,
}
