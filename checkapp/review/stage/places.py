"""Where the blocks of the stage plan stand: at their places as far as there is room, tidily where none is given.

Pure geometry in the size of a code (see `stage_blocks`). Everything is tried in a fixed order, so that the same rig
always gives the same picture.
"""

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache

from checkapp.page.rect import Crowd, Point, Rect

GAP = 1.5
"""White between two blocks, at least: room for a hop to pass."""
LONE_GAP = 3.2
"""White round a block whose place is ours to choose: room for the label of its hop."""
_ROUNDS = 150
_REACH = 120
_BLOCK_AREA = 90.0


def apart(wished: Mapping[str, Point], rooms: Mapping[str, Rect]) -> dict[str, Point]:
    """Places near the wished ones at which no two rooms come nearer than `GAP`.

    ``rooms`` are about the origin. Blocks push each other aside by equal shares; should that not come to rest, each in
    turn takes the nearest free place.
    """
    places = dict(wished)
    for _ in range(_ROUNDS):
        if not _push_all(places, rooms):
            return places
    settled: dict[str, Point] = {}
    crowd = Crowd()
    for key, place in places.items():
        settled[key] = free_place(rooms[key], place, crowd)
        crowd.add(rooms[key].shifted(*settled[key]).grown(GAP - 1e-6))
    return settled


def _push_all(places: dict[str, Point], rooms: Mapping[str, Rect]) -> bool:
    """Push every two blocks that are too near, going from left to right; whether there were any."""
    widest = max((room.right - room.left for room in rooms.values()), default=0.0) + GAP
    order = sorted(places, key=lambda key: places[key][0] + rooms[key].left)
    pushed = False
    for number, one in enumerate(order):
        edge = places[one][0] + rooms[one].right + GAP
        for other in order[number + 1 :]:
            if places[other][0] + rooms[other].left > edge + widest:
                break
            pushed = _push(one, other, places, rooms) or pushed
    return pushed


def _push(one: str, other: str, places: dict[str, Point], rooms: Mapping[str, Rect]) -> bool:
    """Push two blocks apart, sideways or up and down, whichever is less; whether it was needed."""
    first = rooms[one].shifted(*places[one]).grown(GAP / 2)
    second = rooms[other].shifted(*places[other]).grown(GAP / 2)
    across = min(first.right, second.right) - max(first.left, second.left)
    down = min(first.top, second.top) - max(first.bottom, second.bottom)
    if across <= 1e-6 or down <= 1e-6:
        return False
    sideways = across <= down
    axis = 0 if sideways else 1
    sign = 1.0 if first.middle[axis] <= second.middle[axis] else -1.0
    by = sign * ((across if sideways else down) / 2 + 1e-3)
    for key, share in ((one, -by), (other, by)):
        x, y = places[key]
        places[key] = (x + share, y) if sideways else (x, y + share)
    return True


def free_place(room: Rect, wished: Point, taken: Crowd, within: Rect | None = None) -> Point:
    """The place nearest to the wished one at which the room overlaps nothing that is taken.

    Places ``within`` a rectangle are taken first, if there are any.
    """
    outside: Point | None = None
    for right, up in _rings():
        place = (wished[0] + right, wished[1] + up)
        here = room.shifted(*place)
        inner = within is None or within.holds(here)
        if (inner or outside is None) and not taken.touches(here):
            if inner:
                return place
            outside = place
    return outside or (wished[0], taken.top - room.bottom)


@cache
def _rings() -> tuple[Point, ...]:
    """Steps away from a place, nearest first; a step up or down counts a little more than one aside."""
    steps = [(x / 2, y / 2) for x in range(-_REACH, _REACH + 1) for y in range(-_REACH, _REACH + 1)]
    near = [step for step in steps if math.hypot(*step) <= _REACH / 2]
    return tuple(sorted(near, key=lambda step: (round(math.hypot(step[0], 1.2 * step[1]), 6), -step[0], -step[1])))


@dataclass(frozen=True, slots=True)
class Group:
    """The boxes of a chain in order, and the passive ones that hang on them: each with the box that it feeds."""

    boxes: tuple[str, ...]
    hung: tuple[tuple[str, str], ...] = ()


def columns(
    groups: Sequence[Group], rooms: Mapping[str, Rect], wings: Mapping[str, float], aspect: float
) -> dict[str, Point]:
    """Places for boxes of which none has one: each group rises from the desk in columns, there and back.

    Passive boxes stand in a column of their own, beside what they feed. ``wings`` are the widths of the labels that
    stand left of a column. The rows are as many as suit the aspect, width to height.
    """
    boxes = [key for group in groups for key in (*group.boxes, *(key for key, _ in group.hung))]
    high = max((rooms[key].height for key in boxes), default=1.0) + LONE_GAP
    most = max((max(len(group.boxes), len(group.hung)) for group in groups), default=1)
    tried = (_cells(groups, rows) for rows in range(1, max(most, 1) + 1))
    spread = [_spread(cells, rooms, wings, high) for cells in tried]

    def size(places: Mapping[str, Point]) -> float:
        if not places:
            return 0.0
        whole = Rect.around_all(rooms[key].shifted(*place) for key, place in places.items())
        return max(whole.width / aspect, whole.height + high)

    return min(spread, key=size)


def _cells(groups: Sequence[Group], rows: int) -> dict[str, tuple[int, int]]:
    """The column and row of each box."""
    cells: dict[str, tuple[int, int]] = {}
    for group in groups:
        left = max((column + 1 for column, _ in cells.values()), default=0)
        cells |= _there_and_back(group.boxes, rows, left)
        left = max((column + 1 for column, _ in cells.values()), default=0)
        cells |= _level_with(group.hung, cells, rows, left)
    return cells


def _spread(
    cells: Mapping[str, tuple[int, int]], rooms: Mapping[str, Rect], wings: Mapping[str, float], high: float
) -> dict[str, Point]:
    """Each column as wide as its boxes and labels need."""
    found: dict[str, Point] = {}
    edge = 0.0
    for column in sorted({column for column, _ in cells.values()}):
        keys = [key for key, cell in cells.items() if cell[0] == column]
        middle = edge + max(max(-rooms[key].left, wings.get(key, 0.0)) for key in keys)
        found |= {key: (middle, cells[key][1] * high) for key in keys}
        edge = middle + max(rooms[key].right for key in keys) + GAP
    return found


def _there_and_back(boxes: Sequence[str], rows: int, left: int) -> dict[str, tuple[int, int]]:
    cells = {}
    for number, key in enumerate(boxes):
        column, row = divmod(number, rows)
        cells[key] = (left + column, rows - 1 - row if column % 2 else row)
    return cells


def _level_with(
    hung: Sequence[tuple[str, str]], cells: Mapping[str, tuple[int, int]], rows: int, left: int
) -> dict[str, tuple[int, int]]:
    """Each passive box on the row of the box that it feeds, or the next free one."""
    found: dict[str, tuple[int, int]] = {}
    taken: set[tuple[int, int]] = set()
    for key, feeds in hung:
        row = (found.get(feeds) or cells.get(feeds) or (0, 0))[1]
        free = ((left + step // rows, (row + step) % rows) for step in range(rows * (len(hung) + 1)))
        found[key] = next(cell for cell in free if cell not in taken)
        taken.add(found[key])
    return found


def beside(
    missing: Sequence[str],
    near: Callable[[str], Sequence[tuple[str, float]]],
    places: Mapping[str, Point],
    rooms: Mapping[str, Rect],
    aspect: float,
) -> dict[str, Point]:
    """Places for the boxes that lack one: in turn each beside the first of its neighbours that has a place.

    ``near`` names a box's neighbours, the likeliest first, each with how far above it the box would best stand.
    """
    found = dict(places)
    within = _roomy([rooms[key].shifted(*at) for key, at in places.items()], len(rooms), aspect)
    crowd = Crowd(rooms[key].shifted(*at).grown(LONE_GAP - 1e-6) for key, at in places.items())
    for key in missing:
        x, y, up = next(((*found[other], up) for other, up in near(key) if other in found), (0.0, 0.0, 0.0))
        found[key] = free_place(rooms[key], (x, y + up), crowd, within)
        crowd.add(rooms[key].shifted(*found[key]).grown(LONE_GAP - 1e-6))
    return found


def _roomy(rooms: Sequence[Rect], count: int, aspect: float) -> Rect:
    """A rectangle about all rooms, large enough for so many blocks."""
    about = Rect.around_all(rooms)
    x, y = about.middle
    high = math.sqrt(count * _BLOCK_AREA / aspect)
    width, height = max(about.width, aspect * high), max(about.height, high)
    return Rect(x - width / 2, y - height / 2, x + width / 2, y + height / 2)


def drawn_near(place: Point, about: Rect, most: float) -> Point:
    """A place, brought as near as ``most`` to a rectangle where it lies farther from it."""
    return about.grown(most).nearest_to(place)
