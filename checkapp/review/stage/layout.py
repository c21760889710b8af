"""Which blocks the stage plan has and where each stands: from the places that the plan gives, or without them."""

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from checkapp.page.rect import Point, Rect
from checkapp.review.stage import places as stage_places
from checkapp.review.stage.places import Group
from checkapp.rig.codes import DESK, known_port
from checkapp.rig.model import Box, Chain
from checkapp.rig.rig import Rig

ASPECT = 1.3
"""Width to height that suits both a page across and a screen."""
_NOMINAL_M = 0.25
"""Size of a code where no places give a scale."""
_HEAP_M, _MOST_HEAPED = 1.0, 3
"""More boxes than these within so little of a stage: their places tell nothing."""
_SAME_DESK_M = 4.0
_DESK_BELOW = 6.5


@dataclass(frozen=True, slots=True)
class Desk:
    """A desk on the plan: the chains that start there, and where it is, in metres."""

    key: str
    name: str
    chains: tuple[str, ...]
    at: Point | None = None


@dataclass(frozen=True, slots=True)
class Layout:
    """Places by box or desk in the size of a code, and how many metres that size is.

    ``far`` are the desks that are drawn nearer than they are; ``tidy`` says that boxes stand in the order of their
    chains, because their places tell nothing; ``unplaced`` counts boxes without a place; ``moved`` says that some
    stand aside for want of room.
    """

    places: dict[str, Point]
    unit_m: float
    far: frozenset[str]
    tidy: bool
    unplaced: int
    moved: bool


def desks_of(rig: Rig) -> tuple[Desk, ...]:
    """The desks of a rig: by name, and one name twice where its chains start far apart. There is always one."""
    found: list[Desk] = []
    for chain in rig.chains.values():
        if chain.start is not None:
            continue
        name = chain.desk or "desk"
        same = next((n for n, desk in enumerate(found) if desk.name == name and _near(desk.at, chain.at)), None)
        if same is None:
            found.append(Desk(f"desk {len(found)}", name, (chain.code,), chain.at))
        else:
            desk = found[same]
            found[same] = Desk(desk.key, name, (*desk.chains, chain.code), _between(rig, desk, chain))
    return tuple(found) or (Desk("desk 0", "desk", ()),)


def _near(one: Point | None, other: Point | None) -> bool:
    return one is None or other is None or math.dist(one, other) <= _SAME_DESK_M


def _between(rig: Rig, desk: Desk, more: Chain) -> Point | None:
    known = [at for code in (*desk.chains, more.code) if (at := rig.chains[code].at) is not None]
    return (sum(x for x, _ in known) / len(known), sum(y for _, y in known) / len(known)) if known else None


def lay_out(rig: Rig, desks: Sequence[Desk], rooms: Mapping[str, Rect], wings: Mapping[str, float]) -> Layout:
    """Find a place for every block; ``rooms`` are about the origin, ``wings`` are widths of labels beside a hop."""
    given = {box.code: box.at for box in rig.boxes.values() if box.at is not None}
    unplaced = len(rig.boxes) - len(given)
    if not given or (len(given) > _MOST_HEAPED and _across_m(given.values()) < _HEAP_M):
        found = stage_places.columns(_groups(rig), rooms, wings, ASPECT)
        found = stage_places.apart(found | _desks_below(rig, desks, found, rooms), rooms)
        return Layout(found, _NOMINAL_M, frozenset(), tidy=True, unplaced=unplaced, moved=False)
    unit_m = _unit_m(given.values(), len(rooms))
    wished = {key: (x / unit_m, y / unit_m) for key, (x, y) in given.items()}
    placed = stage_places.apart(wished, rooms)
    moved = any(math.dist(placed[key], wished[key]) > 1.0 for key in wished)
    at = {desk.key: (desk.at[0] / unit_m, desk.at[1] / unit_m) for desk in desks if desk.at is not None}
    about = Rect.around_all(rooms[key].shifted(*place) for key, place in placed.items())
    most = max(_DESK_BELOW, 0.2 * max(about.width, about.height))
    nearer = {key: stage_places.drawn_near(place, about, most) for key, place in at.items()}
    far = frozenset(key for key in at if math.dist(at[key], nearer[key]) > 1.0)
    below = _desks_below(rig, desks, placed, rooms)
    placed = stage_places.apart({**placed, **below, **nearer}, rooms)
    missing = [code for code in _in_order(rig) if code not in given]
    whole = stage_places.beside(missing, lambda code: list(_neighbours(rig, desks, code)), placed, rooms, ASPECT)
    return Layout(whole, unit_m, far, tidy=False, unplaced=unplaced, moved=moved)


def _across_m(given: Iterable[Point]) -> float:
    """How wide, in metres, a picture of these places must be."""
    about = Rect.around(given)
    return max(about.width, ASPECT * about.height)


def _unit_m(given: Iterable[Point], blocks: int) -> float:
    """Metres that a code is high, so that all blocks find room near their places."""
    across_m = _across_m(given)
    if across_m < _HEAP_M:
        return _NOMINAL_M
    return across_m / math.sqrt(max(900.0, 75.0 * blocks + 150.0) * ASPECT)


def _groups(rig: Rig) -> list[Group]:
    chains = {code: tuple(box.code for box in rig.boxes_on(code)) for code in rig.chains}
    hung: dict[str | None, list[tuple[str, str]]] = {}
    for code in _in_order(rig):
        if rig.box_kind(rig.boxes[code]).passive:
            chain = rig.chain_of(code)
            hung.setdefault(chain, []).append((code, known_port(rig.boxes[code].fed_from).code))
    groups = [Group(boxes, tuple(hung.get(chain, ()))) for chain, boxes in chains.items()]
    return [*groups, Group((), tuple(hung.get(None, ())))]


def _in_order(rig: Rig) -> list[str]:
    """Boxes in an order in which what a box hangs on comes before it."""

    def depth(code: str) -> int:
        feeder = feeder_of(rig, rig.boxes[code])
        return 0 if feeder is None else 1 + depth(feeder)

    return sorted(rig.boxes, key=depth)


def feeder_of(rig: Rig, box: Box) -> str | None:
    """The box that a box hangs on, by link, outlet or port; None when that is the desk."""
    if rig.box_kind(box).passive:
        code = known_port(box.fed_from).code
        return None if code == DESK else code
    return rig.chains[box.fed_from].start if box.fed_from in rig.chains else box.fed_from


def _neighbours(rig: Rig, desks: Sequence[Desk], code: str) -> Iterator[tuple[str, float]]:
    """What a box is best put beside: what feeds it, what comes after it, at last above its desk."""
    feeder = feeder_of(rig, rig.boxes[code])
    if feeder is not None:
        yield feeder, 0.0
    chain = rig.chain_of(code)
    along = [box.code for box in rig.boxes_on(chain)] if chain is not None else []
    yield from ((other, 0.0) for other in (along[along.index(code) + 1 :] if code in along else ()))
    yield next((desk.key for desk in desks if chain in desk.chains), desks[0].key), _DESK_BELOW


def _desks_below(
    rig: Rig, desks: Sequence[Desk], placed: Mapping[str, Point], rooms: Mapping[str, Rect]
) -> dict[str, Point]:
    """Places of desks that have none: below the stage, under the first boxes of their chains."""
    taken = [rooms[key].shifted(*place) for key, place in placed.items()]
    about = Rect.around_all(taken) if taken else Rect(0.0, 0.0, 0.0, 0.0)
    found = {}
    for desk in desks:
        firsts = [box.code for chain in desk.chains for box in rig.boxes_on(chain)[:1]]
        across = [placed[code][0] for code in firsts if code in placed]
        x = sum(across) / len(across) if across else about.middle[0]
        found[desk.key] = (x, about.bottom - _DESK_BELOW)
    return found
