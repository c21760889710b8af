"""Filling a card: what each kind of item is, where it goes, what plugs into it, how it gets power."""

from collections.abc import Iterator

from checkapp.review.summary import counted
from checkapp.rig.codes import DESK, known_port
from checkapp.rig.connections import DESK_PLACE, shown_place
from checkapp.rig.ends import chain_start
from checkapp.rig.errors import UnknownCode
from checkapp.rig.hookup import PortRow, goes, power_words, taken_ports
from checkapp.rig.measures import length
from checkapp.rig.model import Box, Input, Line
from checkapp.rig.rig import Rig
from checkapp.show.card import Card, Section, sockets
from checkapp.show.card_cable import cable_card
from checkapp.show.card_run import box_run, chain_run, line_run
from checkapp.show.card_sockets import box_sockets, chain_sockets, desk_sockets, facts_words, free_words, port_socket
from checkapp.show.card_words import joined, lines_rows, lines_through, phantom_of, tags_of
from checkapp.show.cautions import MAINS
from checkapp.show.walk import number_of
from checkapp.tongue import shown_names, shown_word, tr
from checkapp.tongue.numbers import number


def card_of(rig: Rig, item: str, end: str = "") -> Card:
    """The card of an item, by its name as `Rig.resolve` gives it; of a cable that of its ``end``, if one is named."""
    kind = rig.items[item]
    if item in rig.boxes:
        return _box_card(rig, rig.boxes[item])
    if item in rig.cables:
        return cable_card(rig, item, end)
    if kind == "chain":
        return _chain_card(rig, item.removeprefix("chain "))
    if item in rig.supplies:
        return _supply_card(rig, item)
    if kind == "port":
        return _port_card(rig, item)
    return _source_card(rig, item)


def _box_card(rig: Rig, box: Box) -> Card:
    phantom = phantom_of(lines_through(rig, box.code))
    mains = shown_word(MAINS) if box.supply is not None else ""
    what = joined(tr("passive box") if rig.box_kind(box).passive else tr("box"), box.kind)
    free = free_words(rig, box)
    sections = [
        Section(tr("goes"), tuple((words,) for words in goes(rig, box)), "drawn"),
        Section(tr("set on it"), tuple(box.settings.items())),
        sockets(tr("ports"), box_sockets(rig, box), note=free and tr("free: {ports}", ports=free), caution=phantom),
        Section(tr("power"), tuple((words,) for words in power_words(rig, box)), caution=mains),
    ]
    return Card(
        item=box.code,
        kind="box",
        title=joined(what, box.place or tr("no place given")),
        tags=tags_of(rig, box.code),
        sections=tuple(section for section in sections if section.rows),
        cautions=tuple(words for words in (mains, phantom) if words),
        code=box.code,
        what=what,
        goes=box.place or tr("no place given"),
        hint=_position(rig, box),
        run=box_run(rig, box, box.code),
    )


def _position(rig: Rig, box: Box) -> str:
    """Where a box stands on its chain; for a passive one what it feeds."""
    chain = rig.chain_of(box.code)
    if rig.box_kind(box).passive:
        own = [one for one in box_sockets(rig, box) if one.towards_desk]
        return tr("feeds {socket}", socket=own[0].far)
    codes = [one.code for one in rig.boxes_on(chain or "")]
    place = tr("chain {chain}, box {n} of {count}", chain=chain, n=codes.index(box.code) + 1, count=len(codes))
    repeats = tr("its outputs repeat those of {box}", box=box.repeats) if box.repeats else ""
    return joined(place, repeats, by="; ")


def _chain_card(rig: Rig, code: str) -> Card:
    chain, boxes = rig.chains[code], rig.boxes_on(code)
    length_m = sum(rig.cables[box.cable].length_m for box in boxes if box.cable)
    lines = lines_through(rig, f"chain {code}")
    start = chain_start(rig, code)
    hint = tr("{boxes}, {length} in all", boxes=counted(len(boxes), "box"), length=length(length_m))
    sections = [
        Section(tr("goes"), ((hint,),), "drawn"),
        sockets(tr("hops"), chain_sockets(rig, code), caution=phantom_of(lines)),
        Section(tr("lines through it"), lines_rows(lines)),
    ]
    return Card(
        item=f"chain {code}",
        kind="chain",
        title=tr("chain"),
        tags=tags_of(rig, code),
        sections=tuple(section for section in sections if section.rows),
        cautions=tuple(words for words in (phantom_of(lines),) if words),
        code=shown_names(f"chain {code}"),
        what=joined(tr("chain"), chain.link),
        goes=tr("{start} to {end}", start=start, end=boxes[-1].code) if boxes else tr("no box on it"),
        hint=hint,
        run=chain_run(rig, code, f"chain {code}"),
    )


def _supply_card(rig: Rig, code: str) -> Card:
    supply = rig.supplies[code]
    on_it = [box for box in rig.boxes.values() if box.supply == code]
    lines = lines_through(rig, code)
    volts, amps = number(supply.volts), number(supply.breaker_amps)
    phase = supply.phase and tr("phase {phase}", phase=supply.phase)
    facts = joined(tr("{volts} V, breaker {amps} A", volts=volts, amps=amps), phase)
    sections = [
        Section(tr("power"), ((facts,),), caution=shown_word(MAINS)),
        Section(tr("boxes on it"), tuple((box.code, box.place or "") for box in on_it)),
        Section(tr("lines through it"), lines_rows(lines)),
    ]
    phantom = phantom_of(lines)
    return Card(
        item=code,
        kind="supply",
        title=joined(tr("supply"), supply.phase),
        tags=tags_of(rig, code),
        sections=tuple(section for section in sections if section.rows),
        cautions=(shown_word(MAINS), *((phantom,) if phantom else ())),
        code=code,
        what=tr("supply"),
        goes=tr("feeds {socket}", socket=joined(*(box.code for box in on_it))) if on_it else tr("no box plugs into it"),
        hint=facts,
    )


def _port_card(rig: Rig, port: str) -> Card:
    row = taken_ports(rig).get(port, PortRow(port))
    box = rig.boxes.get(known_port(port).code)
    lines = lines_through(rig, port)
    phantom = phantom_of(lines)
    return Card(
        item=port,
        kind="port",
        title=tr("port"),
        tags=(),
        sections=(sockets(tr("plugs in"), (port_socket(rig, row, port),), caution=phantom),),
        cautions=(phantom,) if phantom else (),
        code=port,
        what=joined(tr("port"), box.kind if box else tr("desk")),
        goes=(box.place or box.code) if box else shown_place(DESK_PLACE),
        number=number_of(row.line) if row.line else "",
        name=row.line.name if row.line else "",
        run=line_run(rig, lines[0], port) if lines else (),
    )


def socket_card(rig: Rig, box: Box, word: str) -> Card:
    """The card of a chain socket of a box, ``link in`` or ``link out``. `UnknownCode`: it has none."""
    found = [one for one in box_sockets(rig, box) if one.word == word]
    if not found:
        raise UnknownCode(tr("{box} is passive: it has no {socket}", box=box.code, socket=word))
    return Card(
        item=found[0].port,
        kind="port",
        title=tr("link socket"),
        tags=(),
        sections=(sockets(tr("plugs in"), found),),
        cautions=(),
        code=found[0].port,
        what=joined(tr("link socket"), box.kind),
        goes=box.place or box.code,
        hint=found[0].hint,
        run=box_run(rig, box, box.code),
    )


def _source_card(rig: Rig, item: str) -> Card:
    """A source, a load or a desk strip: what runs from it or to it."""
    source = rig.sources.get(item)
    kind = rig.items[item]
    what = joined(_kind_words(kind), source.kind if source else "")
    lines = lines_through(rig, item)
    first = lines[0] if lines else None
    phantom = phantom_of(lines)
    on_port = taken_ports(rig)
    plugged = sockets(
        tr("plugs in"), (port_socket(rig, on_port[line.port], line.port) for line in lines), caution=phantom
    )
    return Card(
        item=item,
        kind=kind,
        title=what,
        tags=tags_of(rig, item),
        sections=(plugged,) if lines else (),
        cautions=(phantom,) if phantom else (),
        code=item,
        what=what,
        goes=(first.zone or first.port) if first else tr("no line uses it"),
        hint=_said_of(first) if first else "",
        number=number_of(first) if len(lines) == 1 and first else "",
        name=first.name if len(lines) == 1 and first else "",
        run=line_run(rig, first, item) if len(lines) == 1 and first else (),
    )


def line_card(rig: Rig, line: Line) -> Card:
    """The card of a line: the facts of its plan and everything it runs through, from source to desk."""
    path = tuple((item.name, _kind_words(item.kind)) for item in rig.path(line.line))
    facts = joined(line.port, line.cable, line.zone, *_needs(line))
    phantom = phantom_of((line,))
    sections = [
        Section(tr("planned"), ((facts,), *(((line.note,),) if line.note else ())), "drawn"),
        Section(tr("runs through"), path, "drawn"),
        sockets(tr("plugs in"), (port_socket(rig, taken_ports(rig)[line.port], line.port),), caution=phantom),
    ]
    return Card(
        item=line.line,
        kind="desk",
        title=line.name,
        tags=(),
        sections=tuple(sections),
        cautions=(phantom,) if phantom else (),
        code=line.line,
        what=tr("input") if isinstance(line, Input) else tr("output"),
        goes=line.port,
        hint=joined(line.zone, _said_of(line)),
        number=number_of(line),
        name=line.name,
        run=line_run(rig, line),
    )


def _kind_words(kind: str) -> str:
    return tr("desk strip") if kind == "desk" else shown_word(kind)


def _needs(line: Line) -> Iterator[str | None]:
    if isinstance(line, Input):
        yield from (shown_word(line.level), tr("phantom") if line.phantom else "", line.stand)


def _said_of(line: Line) -> str:
    """Level, phantom, stand and note of a line, as the plan gives them."""
    return joined(facts_words(line), line.stand if isinstance(line, Input) else "", line.note)


def desk_card(rig: Rig) -> Card:
    """The card of the desk: which chains start there, which lines plug straight in."""
    rows = tuple(desk_sockets(rig))
    lines = [rig.line(row.line) for row in rows if row.line]
    phantom = phantom_of(lines)
    names = dict.fromkeys(chain.desk for chain in rig.chains.values() if chain.start is None and chain.desk)
    chains = sum(1 for row in rows if not row.line)
    return Card(
        item=DESK,
        kind="desk",
        title=tr("desk"),
        tags=(),
        sections=(sockets(tr("ports"), rows, caution=phantom),),
        cautions=(phantom,) if phantom else (),
        code=tr("desk"),
        what=tr("desk"),
        goes=joined(*names) or shown_place(DESK_PLACE),
        hint=joined(counted(chains, "chain"), tr("{lines} straight in", lines=counted(len(lines), "line"))),
    )
