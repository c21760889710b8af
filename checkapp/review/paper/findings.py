"""The first pages of the paper: what the review found, the chains and supplies in figures, the stage plan."""

from collections.abc import Iterator

from checkapp.page.bands import Band, NewPage, lines_of, showing, space, together
from checkapp.page.pen import Pen
from checkapp.page.rect import Rect
from checkapp.page.table import Column, Row, table
from checkapp.page.text import Measure
from checkapp.review.link import BoxPower
from checkapp.review.mains import supply_amps
from checkapp.review.paper.look import BODY_MM, NOTE_MM, WIDTH, heading, title
from checkapp.review.paper.parts import chain_key, finding_bands, plan_in
from checkapp.review.paper.speaks import MAINS_WORD
from checkapp.review.report import ChainReview, Review
from checkapp.review.stage.plan import stage
from checkapp.review.summary import chain_cells, detail_of, summary_of
from checkapp.rig.ends import socket_before
from checkapp.rig.rig import Rig

_CHAIN = (
    Column("chain", 22.0, bold=True),
    Column("from", 30.0),
    Column("length", 28.0),
    Column("boxes", 16.0),
    Column("slots", 20.0),
    Column("link power", 34.0),
    Column("lowest", 36.0, lines=3),
)
_BOX = (
    Column("chain", 22.0),
    Column("box", 22.0, bold=True),
    Column("place", 40.0),
    Column("inputs on slots", 21.0),
    Column("outputs on slots", 27.0),
    Column("supply", 22.0),
    Column("link volts", 17.0, align="right"),
    Column("link amps", 15.0, align="right"),
)
_SUPPLY = (
    Column("supply", 22.0, bold=True),
    Column("phase", 16.0),
    Column("volts", 16.0),
    Column("breaker", 18.0),
    Column("load", 18.0),
    Column("boxes on it", 96.0, lines=4),
)


def finding_page(rig: Rig, review: Review, pen: Pen) -> Iterator[Band | NewPage]:
    """All findings, worst first, each with its remedy."""
    yield NewPage("what the review found")
    yield from title(pen, summary_of(review))
    yield from lines_of(pen, detail_of(rig), WIDTH, BODY_MM)
    for number, finding in enumerate(review.findings, 1):
        yield space(2.4)
        yield from together(finding_bands(pen, number, finding, WIDTH, BODY_MM, remedy=True))


def chain_pages(rig: Rig, review: Review, pen: Pen) -> Iterator[Band]:
    """The chains against their limits, where each box stands on them, and what hangs on each supply."""
    if review.chains:
        yield from heading(pen, "Chains")
        yield from table(_CHAIN, [_chain_row(rig, chain) for chain in review.chains], pen)
        yield from heading(pen, "Boxes of the chains, in order")
        yield from table(_BOX, [row for chain in review.chains for row in _box_rows(rig, chain)], pen)
    if rig.supplies:
        amps = supply_amps(rig)
        yield from heading(pen, "Supplies")
        yield from table(_SUPPLY, [_supply_row(rig, code, amps[code]) for code in rig.supplies], pen)


def _chain_row(rig: Rig, chain: ChainReview) -> Row:
    code, length, boxes, slots, power, _ = chain_cells(rig, chain)
    start = next((socket_before(rig, box) for box in rig.boxes_on(chain.code)), "no box")
    start = start.removesuffix(f" for chain {code}").removesuffix(f" chain {code}")
    return Row((code, start, length, boxes, slots, power, _lowest(rig, chain)))


def _lowest(rig: Rig, chain: ChainReview) -> str:
    """The box that draws with the least volts to spare, and what it needs."""
    found: list[tuple[float, str]] = []
    for box in chain.power.boxes:
        needs = rig.box_kind(rig.boxes[box.code]).min_volts
        if box.volts is not None and box.amps:
            limit = f", needs {needs:g} V" if needs is not None else ""
            found.append((box.volts - (needs or 0.0), f"{box.code} {box.volts:.2f} V{limit}"))
    return min(found, default=(0.0, ""))[1]


def _box_rows(rig: Rig, chain: ChainReview) -> Iterator[Row]:
    slots = {(row.box, row.direction): f"{row.first} to {row.last}" for row in chain.slots}
    power = {box.code: box for box in chain.power.boxes}
    for box in rig.boxes_on(chain.code):
        ins, outs = slots.get((box.code, "in"), ""), slots.get((box.code, "out"), "")
        outs += f" of {box.repeats}" if box.repeats and outs else ""
        volts, amps = _power_cells(power[box.code])
        cells = (chain.code, box.code, box.place or "", ins, outs, box.supply or "", volts, amps)
        yield Row(cells)


def _power_cells(power: BoxPower) -> tuple[str, str]:
    volts = "" if power.volts is None else f"{power.volts:.2f}"
    return volts, f"{power.amps:.3f}" if power.amps else ""


def _supply_row(rig: Rig, code: str, amps: float) -> Row:
    supply = rig.supplies[code]
    boxes = ", ".join(box.code for box in rig.boxes.values() if box.supply == code)
    cells = (code, supply.phase or "", f"{supply.volts:g} V", f"{supply.breaker_amps:g} A", f"{amps:.2f} A", boxes)
    return Row(cells)


def plan_page(rig: Rig, review: Review, pen: Pen, measure: Measure, height: float) -> Iterator[Band | NewPage]:
    """The stage plan with the key of its chains."""
    plan = stage(rig, review, measure)
    notes = [band for note in plan.notes for band in lines_of(pen, note, WIDTH, NOTE_MM, tone="quiet")]
    if review.findings:
        notes += lines_of(
            pen, "The numbers are those of the findings on the first pages.", WIDTH, NOTE_MM, tone="quiet"
        )
    key = chain_key(pen, rig, review, WIDTH, BODY_MM)
    head = title(pen, "Stage plan, seen from the audience")
    low = sum(band.height for band in (*head, *notes, *key)) + 4.0
    room = Rect(0.0, -max(height - low, 0.45 * height), WIDTH, 0.0)
    drawn = plan_in(plan, room)
    drawn = drawn.moved(1.0, 0.0, -drawn.extent.top)
    yield NewPage("stage plan")
    yield from head
    band = Band(drawn.extent.height + 3.0, drawn.shapes)
    yield from showing([band], MAINS_WORD) if rig.supplies else [band]
    yield from notes
    yield space(1.0)
    yield from key
