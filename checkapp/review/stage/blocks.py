"""What stands as one piece on the stage plan: a box with its supply and marks, a desk, the label of a hop.

All measures are in the size of a code: 1 is the size of type in which a box's code is written.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from checkapp.page.drawing import CAP_HEIGHT, Area, Mark, Plate, Shape, Spot, Stroke, Words
from checkapp.page.pen import Pen
from checkapp.page.rect import Point, Rect
from checkapp.review.link import BoxPower
from checkapp.review.stage.marks import Flag
from checkapp.rig.codes import DESK
from checkapp.rig.model import Box
from checkapp.rig.rig import Rig
from checkapp.tongue import tr
from checkapp.tongue.numbers import fixed

SMALL = 0.72
"""Size of all that is not a box's code."""
LINE_WIDTH = 0.13
_THIN = 0.06
_MOST_PLACE = 7.0
_MOST_DESK = 9.0
_LEAST_PLATE = 3.4
_PAD = 0.45
_LEADING = 1.25
_MARK = 0.95
_DROP = 1.0
_PORT_PITCH = 1.8


@dataclass(frozen=True, slots=True)
class Piece:
    """Shapes that are moved as one, drawn about the origin, and the room that they take."""

    room: Rect
    shapes: tuple[Shape, ...]
    spots: tuple[Spot, ...] = ()

    def at(self, place: Point) -> "Piece":
        """The same at a place."""
        right, up = place
        shapes = tuple(shape.moved(1.0, right, up) for shape in self.shapes)
        spots = tuple(Spot(spot.item, spot.rect.shifted(right, up)) for spot in self.spots)
        return Piece(self.room.shifted(right, up), shapes, spots)


@dataclass(frozen=True, slots=True)
class Block:
    """A plate about the origin and what hangs on it: for each such thing the ways to hang it, the usual one first."""

    plate: Rect
    body: Piece
    hung: tuple[tuple[Piece, ...], ...] = ()

    @property
    def room(self) -> Rect:
        """The room of all of it, hung in the usual way."""
        return Rect.around_all([self.body.room, *(ways[0].room for ways in self.hung)])

    def dashed(self) -> "Block":
        """The same with a broken outline."""
        shapes = tuple(replace(one, style="dashed") if isinstance(one, Plate) else one for one in self.body.shapes)
        return replace(self, body=replace(self.body, shapes=shapes))

    def at(self, place: Point) -> "Block":
        """The same at a place."""
        hung = tuple(tuple(way.at(place) for way in ways) for ways in self.hung)
        return Block(self.plate.shifted(*place), self.body.at(place), hung)


@dataclass(frozen=True, slots=True)
class StagePen(Pen):
    """Makes words, and the marks that stand at each place."""

    flags: Mapping[str, tuple[Flag, ...]]

    def small(self, text: str, left: float, base: float, *, bold: bool = False) -> Words:
        """A line of small type that begins at ``left``."""
        return self.words(text, (left, base), SMALL, bold=bold)

    def marks(self, place: str, left: float, middle: float) -> tuple[Shape, ...]:
        """The marks of a place in a row, each with its numbers."""
        shapes: list[Shape] = []
        for flag in self.flags.get(place, ()):
            shapes.append(Mark(flag.level, left + _MARK / 2, middle, _MARK))
            said = self.small(flag.words, left + _MARK + 0.15, middle - SMALL * CAP_HEIGHT / 2, bold=True)
            shapes.append(said)
            left = said.rect.right + 0.45
        return tuple(shapes)


def box_block(rig: Rig, box: Box, power: BoxPower | None, pen: StagePen) -> Block:
    """A box as a plate with its code, place and link volts; marks above it, its supply hanging below."""
    passive = rig.box_kind(box).passive
    rows = [(box.code, 1.0, True)]
    if box.place:
        rows += [(text, SMALL, False) for text in pen.wrapped(box.place, SMALL, _MOST_PLACE, lines=2)]
    if power is not None:
        rows.append((volts_words(power), SMALL, False))
    plate, texts = _plate(rows, pen, _LEAST_PLATE)
    body = _piece([Plate(plate, _THIN if passive else LINE_WIDTH), *texts], Spot(box.code, plate))
    hung = [_ways_of_marks(box.code, plate, pen)] if pen.flags.get(box.code) else []
    if box.supply is not None:
        hung.append(_ways_of_supply(box.supply, plate, pen))
    return Block(plate, body, tuple(hung))


def volts_words(power: BoxPower) -> str:
    """The link volts at a box, or that there are none."""
    return tr("no volts") if power.volts is None else f"{fixed(power.volts, 2)} V"


def _ways_of_marks(code: str, plate: Rect, pen: StagePen) -> tuple[Piece, ...]:
    """Above the plate at its left or right, or beside it."""
    wide = _room(pen.marks(code, 0.0, 0.0)).width
    above, middle = plate.top + 0.25 + _MARK / 2, plate.middle[1]
    lefts = ((plate.left + 0.1, above), (plate.right - wide - 0.1, above), (0.5, above), (-wide - 0.5, above))
    sides = ((plate.right + 0.35, middle), (plate.left - wide - 0.35, middle))
    return tuple(_piece(_grounded(pen.marks(code, *place))) for place in (*lefts, *sides))


def _ways_of_supply(code: str, plate: Rect, pen: StagePen) -> tuple[Piece, ...]:
    """Below the plate on a short stroke, at its left or right, the words on either side of the stroke."""
    ways = ((plate.left + 0.8, 1.0), (plate.right - 0.8, -1.0), (plate.left + 0.8, -1.0), (plate.right - 0.8, 1.0))
    return tuple(_supply(code, at, way, plate.bottom, pen) for at, way in ways)


def _supply(code: str, at: float, way: float, bottom: float, pen: StagePen) -> Piece:
    """A supply on its stroke, which turns to the right or (``way`` below 0) to the left."""
    foot = bottom - _DROP
    stroke = Stroke(((at, bottom), (at, foot), (at + way * 0.7, foot)), _THIN)
    words = pen.small(code, 0.0, foot - SMALL * CAP_HEIGHT / 2)
    said = (words, *pen.marks(code, words.rect.right + 0.4, foot))
    left = at + 0.95 if way > 0 else at - 0.95 - _room(said).width
    moved = [shape.moved(1.0, left, 0.0) for shape in said]
    return _piece([stroke, *_grounded(moved)], Spot(code, _room(moved)))


def desk_block(name: str, chains: int, pen: StagePen, *, flagged: bool) -> Block:
    """A desk as a plate that is open towards the audience, wide enough for its chains' ports.

    ``flagged`` says that it bears the marks of desk ports: one of several desks does.
    """
    shown = tr("desk") if name == "desk" else name
    rows = [(pen.words(shown, (0.0, 0.0), 1.0, bold=True, most=_MOST_DESK).text, 1.0, True)]
    if name != "desk":
        rows.append((tr("desk"), SMALL, False))
    plate, texts = _plate(rows, pen, max(_LEAST_PLATE, _PORT_PITCH * chains))
    body = _piece([Plate(plate, LINE_WIDTH, open=True), *texts], Spot(DESK, plate))
    if not flagged or not pen.flags.get(DESK):
        return Block(plate, body)
    marks = pen.marks(DESK, plate.right + 0.4, plate.middle[1])
    return Block(plate, body, ((_piece(marks),),))


def desk_port(plate: Rect, number: int, count: int) -> Point:
    """Where the ``number``-th of a desk's chains leaves it, from 0 and from the left."""
    return plate.left + plate.width * (number + 0.5) / count, plate.top


def hop_label(parts: Sequence[tuple[str, bool]], cable: str, pen: StagePen) -> Piece:
    """The label of a hop about the origin: words, each bold or not, then the marks of its cable."""
    shapes: list[Shape] = []
    left, base = 0.0, -SMALL * CAP_HEIGHT / 2
    for text, bold in parts:
        words = pen.small(text, left, base, bold=bold)
        shapes.append(words)
        left = words.rect.right + 0.3
    shapes += pen.marks(cable, left + 0.1, 0.0)
    room = _room(shapes)
    piece = _piece(_grounded(shapes), *([Spot(cable, room)] if cable else []))
    return piece.at((-room.middle[0], 0.0))


def _plate(rows: Sequence[tuple[str, float, bool]], pen: StagePen, least: float) -> tuple[Rect, tuple[Words, ...]]:
    """A plate about the origin with its rows of type in the middle."""
    widths = [pen.measure(text, bold) * size for text, size, bold in rows]
    width = max(least, max(widths) + 2 * _PAD)
    height = sum(_LEADING * size for _, size, _ in rows) + 2 * 0.25
    plate = Rect(-width / 2, -height / 2, width / 2, height / 2)
    top = plate.top - 0.25
    words = []
    for (text, size, bold), wide in zip(rows, widths, strict=True):
        base = top - (_LEADING + CAP_HEIGHT) / 2 * size
        words.append(Words(text, 0.0, base, size, wide, bold, "middle"))
        top -= _LEADING * size
    return plate, tuple(words)


def _room(shapes: Sequence[Shape]) -> Rect:
    return Rect.around_all(shape.rect for shape in shapes)


def _grounded(shapes: Sequence[Shape]) -> list[Shape]:
    """The shapes with paper behind them, so that they are read where a hop runs below."""
    return [Area(_room(shapes).grown(0.1).corners, "paper"), *shapes]


def _piece(shapes: Sequence[Shape], *spots: Spot) -> Piece:
    return Piece(_room(shapes), tuple(shapes), spots)
