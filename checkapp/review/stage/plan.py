"""The stage plan as a drawing: boxes at their places, hops with cable and length, link volts, supplies, findings.

Seen from the audience: stage left is on the right. The drawing's unit is the metre, of the stage where places are
given; sizes of type follow from how many boxes the stage holds.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from checkapp.page.drawing import CAP_HEIGHT, Align, Area, Drawing, Shape, Stroke, Style
from checkapp.page.rect import Crowd, Point, Rect
from checkapp.page.text import Measure
from checkapp.review.report import Review
from checkapp.review.stage import routes
from checkapp.review.stage.blocks import SMALL, Piece, StagePen, box_block, desk_block, desk_port, hop_label
from checkapp.review.stage.layout import ASPECT, Desk, Layout, desks_of, feeder_of, lay_out
from checkapp.review.stage.look import MULTICORE, chain_stroke
from checkapp.review.stage.marks import flags_by_place
from checkapp.review.stage.routes import Path
from checkapp.rig.measures import in_unit, length, length_of
from checkapp.rig.model import Box
from checkapp.rig.rig import Rig
from checkapp.tongue import tr

_TICK, _TICK_OFF = 0.8, 0.5
_MARGIN, _LEAST_FRAME = 1.6, 19.0


@dataclass(frozen=True, slots=True)
class Stage:
    """The drawing in metres, and what must be said beside it. ``unit_m`` is the size of a code's type in it."""

    drawing: Drawing
    unit_m: float
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Hop:
    """A stroke between two blocks: where it starts and ends, how it is drawn, what its label says."""

    first: str
    last: str
    start: Point
    goal: Point
    stroke: tuple[Style, float]
    label: Piece | None
    broken: bool = False


def stage(rig: Rig, review: Review, measure: Measure) -> Stage:
    """Draw the stage plan of a rig; ``measure`` gives the width of words in the type that it will be drawn with."""
    pen = StagePen(measure, flags_by_place(rig, review.findings))
    plan = _Plan(rig, review, pen)
    inner = plan.drawing()
    shapes, extent = _framed(inner, plan.layout, pen)
    drawing = Drawing(extent, shapes, inner.spots)
    return Stage(drawing.moved(plan.layout.unit_m, 0.0, 0.0), plan.layout.unit_m, tuple(_notes(plan.layout)))


class _Plan:
    """The plan in the size of a code."""

    def __init__(self, rig: Rig, review: Review, pen: StagePen) -> None:
        self.rig = rig
        self.pen = pen
        self.desks = desks_of(rig)
        power = {box.code: box for chain in review.chains if chain.power.sources for box in chain.power.boxes}
        blocks = {code: box_block(rig, box, power.get(code), pen) for code, box in rig.boxes.items()}
        for number, desk in enumerate(self.desks):
            blocks[desk.key] = desk_block(desk.name, len(desk.chains), pen, flagged=number == 0)
        self.labels = {code: _label(rig, box, pen) for code, box in rig.boxes.items()}
        rooms = {key: block.room for key, block in blocks.items()}
        wings = {
            code: label.room.width + 0.6
            for code, label in self.labels.items()
            if label is not None and feeder_of(rig, rig.boxes[code]) is not None
        }
        self.layout = lay_out(rig, self.desks, rooms, wings)
        loose = {code for code, box in rig.boxes.items() if box.at is None and not self.layout.tidy}
        blocks |= {code: blocks[code].dashed() for code in loose}
        self.blocks = {key: block.at(self.layout.places[key]) for key, block in blocks.items()}

    def drawing(self) -> Drawing:
        """Hops below, then labels with their leaders, then blocks."""
        hops = [self._hop(box) for box in self.rig.boxes.values()]
        paths = [self._path(hop) for hop in hops]
        bodies = [*self._hung(paths), *(block.body for block in self.blocks.values())]
        kept = [_break_room(path) for hop, path in zip(hops, paths, strict=True) if hop.broken]
        kept += [_tick(*ends).rect for path in paths for ends in _ends(path)]
        labels = self._labelled(hops, paths, [*(piece.room for piece in bodies), *kept])
        pieces = [*labels, *bodies]
        shapes: list[Shape] = []
        for hop, path in zip(hops, paths, strict=True):
            shapes += _drawn(hop, path)
        shapes += [shape for piece in pieces for shape in piece.shapes]
        rooms = [piece.room for piece in pieces] + [Rect.around(path) for path in paths]
        return Drawing(Rect.around_all(rooms), tuple(shapes), tuple(spot for piece in pieces for spot in piece.spots))

    def _hung(self, paths: list[Path]) -> Iterator[Piece]:
        """What hangs on the blocks, out of the way of hops and of each other where that can be."""
        taken = {key: [block.room] for key, block in self.blocks.items()}
        for key, block in self.blocks.items():
            others = [room for other, rooms in taken.items() if other != key for room in rooms]
            mine: list[Rect] = []
            for ways in block.hung:
                found = routes.best_way([way.room for way in ways], [*others, *mine], paths)
                mine.append(ways[found].room)
                yield ways[found]
            taken[key] = [block.plate, *mine]

    def _hop(self, box: Box) -> _Hop:
        feeder = feeder_of(self.rig, box)
        here = self.blocks[box.code].plate.middle
        if self.rig.box_kind(box).passive:
            first = feeder or self.desks[0].key
            start = self.blocks[first].plate.middle
            return _Hop(first, box.code, start, here, ("solid", MULTICORE), self.labels[box.code])
        chain = self.rig.chain_of(box.code) or ""
        stroke = chain_stroke(self.rig, chain)
        if feeder is not None:
            start = self.blocks[feeder].plate.middle
            return _Hop(feeder, box.code, start, here, stroke, self.labels[box.code])
        desk = next(desk for desk in self.desks if chain in desk.chains)
        start = self._port(desk, chain)
        return _Hop(desk.key, box.code, start, here, stroke, self.labels[box.code], desk.key in self.layout.far)

    def _port(self, desk: Desk, chain: str) -> Point:
        """The chain's port on its desk; ports stand in the order of the boxes that they lead to."""
        firsts = {code: self.rig.boxes_on(code)[:1] for code in desk.chains}
        across = {
            code: self.blocks[boxes[0].code].plate.middle[0] if boxes else math.inf for code, boxes in firsts.items()
        }
        order = sorted(desk.chains, key=lambda code: across[code])
        return desk_port(self.blocks[desk.key].plate, order.index(chain), len(order))

    def _path(self, hop: _Hop) -> Path:
        walls = [block.room for key, block in self.blocks.items() if key not in (hop.first, hop.last)]
        path = routes.route(hop.start, hop.goal, walls)
        plate = self.blocks[hop.first].plate
        first = None if hop.start[1] >= plate.top else plate
        return routes.outside(path, first, self.blocks[hop.last].plate)

    def _labelled(self, hops: list[_Hop], paths: list[Path], taken: list[Rect]) -> Iterator[Piece]:
        """The labels at their places, those of short hops first; a label that stands off gets a leader."""
        crowd = Crowd(taken)
        pairs = [(hop.label, path) for hop, path in zip(hops, paths, strict=True) if hop.label is not None]
        for label, path in sorted(pairs, key=lambda pair: routes.length(pair[1])):
            others = [other for other in paths if other is not path]
            spare = routes.label_place(label.room, path, crowd, others)
            placed = label.at(spare.middle)
            crowd.add(placed.room)
            leader = _leader(placed.room, path) if spare.away else ()
            yield Piece(placed.room, (*leader, *placed.shapes), placed.spots)


def _label(rig: Rig, box: Box, pen: StagePen) -> Piece | None:
    parts: list[tuple[str, bool]] = []
    if not rig.box_kind(box).passive:
        parts.append((rig.chain_of(box.code) or "", True))
    if box.cable is not None:
        parts.append((f"{box.cable} {length_of(rig.cables[box.cable])}", False))
    return hop_label(parts, box.cable or "", pen) if parts else None


def _leader(label: Rect, path: Path) -> tuple[Stroke, ...]:
    """A faint stroke from a label to the hop that it stands away from."""
    ends = [(at, label.nearest_to(at)) for step in range(1, 10) for at in [routes.point_at(path, step / 10)[0]]]
    at, edge = min(ends, key=lambda pair: math.dist(*pair))
    return (Stroke((edge, at), MULTICORE, tone="faint"),) if math.dist(at, edge) > 1.0 else ()


def _drawn(hop: _Hop, path: Path) -> Iterator[Shape]:
    """The stroke, with a tick at both sockets, and a break where the desk is farther off."""
    style, width = hop.stroke
    yield Stroke(path, width, style)
    for ends in _ends(path):
        yield _tick(*ends)
    if hop.broken:
        yield from _break(path)


def _ends(path: Path) -> tuple[tuple[Point, Point], tuple[Point, Point]]:
    """Both ends of a path, each with the point that it goes on to."""
    return (path[0], path[1]), (path[-1], path[-2])


def _tick(at: Point, towards: Point) -> Stroke:
    """A short stroke across the line from ``at`` towards a point, at its beginning."""
    reach = math.dist(at, towards) or 1.0
    x, y = (towards[0] - at[0]) / reach, (towards[1] - at[1]) / reach
    half, off = _TICK / 2, min(_TICK_OFF, reach / 4)
    middle = (at[0] + x * off, at[1] + y * off)
    return Stroke(((middle[0] - y * half, middle[1] + x * half), (middle[0] + y * half, middle[1] - x * half)), 0.16)


def _break_at(path: Path) -> tuple[Point, Point]:
    return routes.point_at(path, min(0.5, 1.8 / (routes.length(path) or 1.0)))


def _break_room(path: Path) -> Rect:
    (x, y), _ = _break_at(path)
    return Rect(x, y, x, y).grown(0.6)


def _break(path: Path) -> Iterator[Shape]:
    """Two slanting strokes across a path, a gap between them: it is longer than it is drawn."""
    at, (x, y) = _break_at(path)
    ends = []
    for along in (-0.22, 0.22):
        middle = (at[0] + x * along, at[1] + y * along)
        slant = (-y * 0.5 + x * 0.25, x * 0.5 + y * 0.25)
        ends.append(((middle[0] - slant[0], middle[1] - slant[1]), (middle[0] + slant[0], middle[1] + slant[1])))
    (low1, high1), (low2, high2) = ends
    yield Area((low1, high1, high2, low2), "paper")
    for low, high in ends:
        yield Stroke((low, high), 0.1)


def _framed(inner: Drawing, layout: Layout, pen: StagePen) -> tuple[tuple[Shape, ...], Rect]:
    """The shapes with a frame round them that says which side is which, and a bar for the scale."""
    frame = _at_least(inner.extent.grown(_MARGIN))
    shapes: list[Shape] = [Stroke((*frame.corners, frame.corners[0]), 0.05, tone="faint")]
    middle = frame.middle[0]
    edges: tuple[tuple[str, float, float, Align], ...] = (
        (tr("upstage"), middle, frame.top, "middle"),
        (tr("audience"), middle, frame.bottom, "middle"),
        (tr("stage right"), frame.left + 1.0, frame.bottom, "left"),
        (tr("stage left"), frame.right - 1.0, frame.bottom, "right"),
    )
    for text, x, y, align in edges:
        words = pen.words(text, (x, y - SMALL * CAP_HEIGHT / 2), SMALL, align=align, tone="quiet")
        shapes.append(replace(words, ground=True))
    shapes += inner.shapes
    extent = frame.grown(0.8)
    if not layout.tidy:
        bar, low = _scale_bar(frame, layout.unit_m, pen)
        shapes += bar
        extent = Rect(extent.left, low, extent.right, extent.top)
    return tuple(shapes), extent


def _at_least(frame: Rect) -> Rect:
    """The frame, or a larger one about the same middle, so that a few boxes do not fill it."""
    x, y = frame.middle
    width, height = max(frame.width, _LEAST_FRAME * ASPECT), max(frame.height, _LEAST_FRAME)
    return Rect(x - width / 2, y - height / 2, x + width / 2, y + height / 2)


def _scale_bar(frame: Rect, unit_m: float, pen: StagePen) -> tuple[tuple[Shape, ...], float]:
    """A bar of some whole metres under the frame; and the foot of it."""
    unit = in_unit(1.0)
    length_m = _round_below(frame.width / 4 * unit_m * unit) / unit
    left, y = frame.left + 1.0, frame.bottom - 1.5
    right = left + length_m / unit_m
    bar = Stroke(((left, y + 0.3), (left, y), (right, y), (right, y + 0.3)), 0.08, tone="quiet")
    return (bar, pen.words(length(length_m), (right + 0.5, y - 0.1), SMALL, tone="quiet")), y - 0.8


def _round_below(length: float) -> float:
    """The greatest of 1, 2, 5, 10, 20 and so on that is not above ``length``."""
    ten: float = 10.0 ** math.floor(math.log10(length))
    return max(step * ten for step in (1, 2, 5) if step * ten <= length * (1 + 1e-9))


def _notes(layout: Layout) -> Iterator[str]:
    if layout.tidy:
        if layout.unplaced:
            yield tr("No places are given: boxes stand in the order of their chains.")
        else:
            yield tr("The places given are all but one: boxes stand in the order of their chains.")
    elif layout.unplaced:
        yield tr("A broken outline: no place is given for the box, so it stands beside what feeds it.")
    if layout.moved:
        yield tr("Boxes that are closer together than their plates stand a little apart.")
    if layout.far:
        yield tr("Two slanting strokes: the desk is farther off than it is drawn.")
