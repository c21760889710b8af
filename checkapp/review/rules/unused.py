"""What is in the plan and nothing uses it."""

from collections.abc import Iterator

from checkapp.review.findings import Finding
from checkapp.rig.codes import read_port
from checkapp.rig.model import Input
from checkapp.rig.occupied import cables_used
from checkapp.rig.rig import Rig
from checkapp.tongue import later, shown_word, tr

_TAKE_OUT = later("Take it out of the plan, or give it its work.")


def unused(rig: Rig) -> Iterator[Finding]:
    """Nothing uses an item, spares aside: chains, supplies, sources, cables and boxes, each in the plan's order."""
    supplies = {box.supply for box in rig.boxes.values()}
    sources = {line.source for line in rig.lines if isinstance(line, Input)}
    cables = cables_used(rig)
    spares = {cable.code for cable in rig.cables.values() if cable.spare}
    yield from _unused([f"chain {code}" for code in rig.chains if not rig.boxes_on(code)], later("no box hangs on it"))
    yield from _unused([code for code in rig.supplies if code not in supplies], later("no box is on it"))
    yield from _unused([code for code in rig.sources if code not in sources], later("no line has it"))
    yield from _unused(
        [code for code in rig.cables if code not in cables and code not in spares],
        later("no box and no line has it, and it is no spare"),
        later("Mark it spare, or take it out of the plan."),
    )
    used = _used_boxes(rig)
    yield from _unused(
        [code for code in rig.boxes if code not in used], later("no line is on it and nothing hangs on it")
    )


def _used_boxes(rig: Rig) -> set[str | None]:
    """Boxes with a line, a box, a chain or an insert on them, or whose outputs another repeats."""
    used = {chain.start for chain in rig.chains.values()}
    ports = [line.port for line in rig.lines]
    ports += [port for insert in rig.plan.insert for port in (insert.send, insert.back)]
    for box in rig.boxes.values():
        used |= {box.fed_from, box.repeats}
        ports += [box.fed_from, box.outputs_from or ""]
    return used | {port.code for text in ports if (port := read_port(text))}


def _unused(names: list[str], why: str, remedy: str = _TAKE_OUT) -> Iterator[Finding]:
    for name in names:
        yield Finding(
            "unused",
            "note",
            name,
            tr("Nothing uses {item}: {why}.", item=name, why=shown_word(why)),
            shown_word(remedy),
        )
