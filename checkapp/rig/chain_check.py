"""Across tables: does every box hang on a chain, in no circle, and is each powered hop's resistance known."""

from typing import Any

from checkapp.rig.codes import DESK, read_port
from checkapp.rig.draft import Draft
from checkapp.tongue import later, tr

Feeds = dict[str, str | None]


def check_chains(draft: Draft) -> None:
    """Add a fault for each loop, each repeat across chains and each hop of a powered chain without a resistance."""
    feeds = {
        code: _feeding(draft, table, entry)
        for code, (table, _, entry) in draft.coded.items()
        if table in ("box", "chain")
    }
    rings, looped = rings_of(feeds)
    for ring in rings:
        _say_loop(draft, ring)
    over = _chains_over(draft, {code: fed for code, fed in feeds.items() if code not in looped})
    for index, box in draft.each("box"):
        if isinstance(box.code, str):
            _check_repeats(draft, index, box, over)
            _check_resistance(draft, index, box, over.get(box.code))
    _check_starts(draft)
    _check_repeat_rings(draft)
    _check_return_rings(draft)


def rings_of(feeds: Feeds) -> tuple[list[list[str]], set[str]]:
    """The circles in a graph where each node points to one at most, and all nodes that are in one or lead into one."""
    rings: list[list[str]] = []
    done: set[str] = set()
    looped: set[str] = set()
    for start in feeds:
        walk: dict[str, int] = {}
        code: str | None = start
        while code is not None and code not in done and code not in walk:
            walk[code] = len(walk)
            code = feeds.get(code)
        if code is not None and code in walk:
            rings.append(list(walk)[walk[code] :])
        if code is not None and (code in walk or code in looped):
            looped.update(walk)
        done.update(walk)
    return rings, looped


def _feeding(draft: Draft, table: str, entry: Any) -> str | None:
    if table == "chain":
        found = entry.start
    else:
        port = read_port(entry.fed_from) if isinstance(entry.fed_from, str) else None
        found = port.code if port else entry.fed_from
    return found if isinstance(found, str) and found in draft.coded and found != DESK else None


def _chains_over(draft: Draft, feeds: Feeds) -> dict[str, str | None]:
    """The chain that each box hangs on, None where it hangs on none; ``feeds`` holds no circle."""
    over: dict[str, str | None] = {}
    for start in feeds:
        walk: list[str] = []
        code: str | None = start
        while code is not None and code not in over and draft.coded[code][0] == "box":
            walk.append(code)
            code = feeds.get(code)
        top = over[code] if code is not None and code in over else code
        over.update(dict.fromkeys(walk, top))
    return over


def _say_loop(draft: Draft, ring: list[str]) -> None:
    chains = [code for code in ring if draft.coded[code][0] == "chain"]
    code = min(chains or ring, key=lambda one: draft.line(draft.coded[one][:2]))
    table, index, entry = draft.coded[code]
    if table == "chain":
        wrong = (
            tr('starts at "{box}", a box of its own', box=entry.start)
            if len(chains) == 1
            else tr("starts at itself by way of {chains}", chains=", ".join(chains))
        )
        draft.say(
            "chain",
            index,
            "from",
            wrong,
            later("start it at the desk (no from) or at a box of another chain"),
        )
        return
    shown = [*ring[:6], *(["..."] if len(ring) > 6 else []), ring[0]]
    draft.say(
        "box",
        index,
        "fed_from",
        _circle(shown),
        later("feed one of them from a chain"),
    )


def _circle(ring: list[str]) -> str:
    return tr("goes round in a circle: {boxes}", boxes=f" {tr('from')} ".join(ring))


def _check_repeats(draft: Draft, index: int, box: Any, over: dict[str, str | None]) -> None:
    other = draft.find("box", box.repeats)
    if other is None or other.code is None:
        return
    if _passive(draft, other):
        draft.say(
            "box",
            index,
            "repeats",
            tr("{box} is a passive box", box=other.code),
            later("name a box of the same chain"),
        )
        return
    chain, others = over.get(box.code), over.get(other.code)
    if chain is not None and other.code in over and others != chain:
        draft.say(
            "box",
            index,
            "repeats",
            tr("{box} is not on chain {chain}", box=other.code, chain=chain),
            later("name a box of the same chain"),
        )


def _check_repeat_rings(draft: Draft) -> None:
    repeats = {box.code: box.repeats for _, box in draft.each("box") if draft.find("box", box.repeats)}
    for ring in rings_of(repeats)[0]:
        first = min(ring, key=lambda code: draft.coded[code][1])
        shown = ", ".join(ring[:6])
        wrong = later("repeats itself") if len(ring) == 1 else tr("goes round in a circle: {boxes}", boxes=shown)
        draft.say(
            "box",
            draft.coded[first][1],
            "repeats",
            wrong,
            later("name a box whose outputs come from the desk"),
        )


def _check_return_rings(draft: Draft) -> None:
    """Returns that feed themselves; what an active box writes there is said already."""
    feeds: Feeds = {}
    for _, box in draft.each("box"):
        port = read_port(box.outputs_from) if isinstance(box.outputs_from, str) else None
        if port and isinstance(box.code, str) and _passive(draft, box) and draft.find("box", port.code):
            feeds[box.code] = port.code
    for ring in rings_of(feeds)[0]:
        first = min(ring, key=lambda code: draft.coded[code][1])
        wrong = _circle([*ring[:6], ring[0]])
        draft.say(
            "box", draft.coded[first][1], "outputs_from", wrong, later("feed one of them from the desk or a stage box")
        )


def _passive(draft: Draft, box: Any) -> bool:
    kind = draft.kind_of("box_kind", box)
    return bool(kind and kind.passive)


def _check_resistance(draft: Draft, index: int, box: Any, chain: str | None) -> None:
    link = draft.kind_of("link_kind", draft.find("chain", chain))
    cable = draft.find("cable", box.cable)
    kind = draft.kind_of("cable_kind", cable)
    if link is None or link.volts is None or cable is None or kind is None:
        return
    if draft.kind_of("box_kind", box) is None or _passive(draft, box):
        return
    if kind.loop_ohm_per_m is None and not _written(draft, cable.kind):
        told = {"cable": cable.code, "kind": cable.kind, "chain": chain}
        wrong = tr("{cable} is of kind {kind}, without resistance, on the powered chain {chain}", **told)
        right = tr("add core_mm2, core_awg or loop_ohm_per_m to cable_kind {kind}", kind=cable.kind)
        draft.say("box", index, "cable", wrong, right)


def _written(draft: Draft, kind: str) -> bool:
    """True when the kind writes a resistance that is wrong: that is said already."""
    for sheet in (draft.sheet, *draft.used):
        raw = sheet.data.get("cable_kind", {}).get(kind, {})
        if isinstance(raw, dict) and raw.keys() & {"core_mm2", "core_awg", "loop_ohm_per_m"}:
            return True
    return False


def _check_starts(draft: Draft) -> None:
    for index, chain in draft.each("chain"):
        box = draft.find("box", chain.start)
        if box is not None and _passive(draft, box):
            draft.say(
                "chain",
                index,
                "from",
                f'"{chain.start}" is a passive box',
                "name a box with an outlet",
            )
