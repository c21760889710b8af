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
from checkapp.rig.ends import chain_start
from checkapp.rig.rig import Rig
from checkapp.tongue import later, tr
from checkapp.tongue.numbers import fixed, with_sign

_CHAIN = (
    Column(later("chain"), 22.0, bold=True),
    Column("from", 30.0),
    Column(later("length"), 28.0),
    Column(later("boxes"), 16.0),
    Column(later("slots"), 20.0),
    Column(later("link power"), 34.0),
    Column(later("lowest"), 36.0, lines=3),
)
_BOX = (
    Column(later("chain"), 22.0),
    Column(later("box"), 22.0, bold=True),
    Column(later("place"), 40.0),
    Column(later("inputs on slots"), 21.0),
    Column(later("outputs on slots"), 27.0),
    Column(later("supply"), 22.0),
    Column(later("link volts"), 17.0, align="right"),
    Column(later("link amps"), 15.0, align="right"),
)
_SUPPLY = (
    Column(later("supply"), 22.0, bold=True),
    Column(later("phase"), 16.0),
    Column(later("volts"), 16.0),
    Column(later("breaker"), 18.0),
    Column("load", 18.0),
    Column(later("boxes on it"), 96.0, lines=4),
)


def finding_page(rig: Rig, review: Review, pen: Pen) -> Iterator[Band | NewPage]:
    """All findings, worst first, each with its remedy."""
    yield NewPage(tr("what the review found"))
    yield from title(pen, summary_of(review))
    yield from lines_of(pen, detail_of(rig), WIDTH, BODY_MM)
    for number, finding in enumerate(review.findings, 1):
        yield space(2.4)
        yield from together(finding_bands(pen, number, finding, WIDTH, BODY_MM, remedy=True))


def chain_pages(rig: Rig, review: Review, pen: Pen) -> Iterator[Band]:
    """The chains against their limits, where each box stands on them, and what hangs on each supply."""
    if review.chains:
        yield from heading(pen, tr("Chains"))
        yield from table(_CHAIN, [_chain_row(rig, chain) for chain in review.chains], pen)
        yield from heading(pen, tr("Boxes of the chains, in order"))
        yield from table(_BOX, [row for chain in review.chains for row in _box_rows(rig, chain)], pen)
    if rig.supplies:
        amps = supply_amps(rig)
        yield from heading(pen, tr("Supplies"))
        yield from table(_SUPPLY, [_supply_row(rig, code, amps[code]) for code in rig.supplies], pen)


def _chain_row(rig: Rig, chain: ChainReview) -> Row:
    code, length, boxes, slots, power, _ = chain_cells(rig, chain)
    start = chain_start(rig, code) if rig.boxes_on(code) else tr("no box")
    return Row((code, start, length, boxes, slots, power, _lowest(rig, chain)))


def _lowest(rig: Rig, chain: ChainReview) -> str:
    """The box that draws with the least volts to spare, and what it needs."""
    found: list[tuple[float, str]] = []
    for box in chain.power.boxes:
        needs = rig.box_kind(rig.boxes[box.code]).min_volts
        if box.volts is not None and box.amps:
            words = f"{box.code} {fixed(box.volts, 2)} V"
            if needs is not None:
                words = tr("{box}, needs {volts} V", box=words, volts=with_sign(f"{needs:g}"))
            found.append((box.volts - (needs or 0.0), words))
    return min(found, default=(0.0, ""))[1]


def _box_rows(rig: Rig, chain: ChainReview) -> Iterator[Row]:
    slots = {(row.box, row.direction): tr("{first} to {last}", first=row.first, last=row.last) for row in chain.slots}
    power = {box.code: box for box in chain.power.boxes}
    for box in rig.boxes_on(chain.code):
        ins, outs = slots.get((box.code, "in"), ""), slots.get((box.code, "out"), "")
        outs = tr("{slots} of {box}", slots=outs, box=box.repeats) if box.repeats and outs else outs
        volts, amps = _power_cells(power[box.code])
        cells = (chain.code, box.code, box.place or "", ins, outs, box.supply or "", volts, amps)
        yield Row(cells)


def _power_cells(power: BoxPower) -> tuple[str, str]:
    volts = "" if power.volts is None else fixed(power.volts, 2)
    return volts, fixed(power.amps, 3) if power.amps else ""


def _supply_row(rig: Rig, code: str, amps: float) -> Row:
    supply = rig.supplies[code]
    boxes = ", ".join(box.code for box in rig.boxes.values() if box.supply == code)
    volts, most = with_sign(f"{supply.volts:g} V"), with_sign(f"{supply.breaker_amps:g} A")
    return Row((code, supply.phase or "", volts, most, f"{fixed(amps, 2)} A", boxes))


def plan_page(rig: Rig, review: Review, pen: Pen, measure: Measure, height: float) -> Iterator[Band | NewPage]:
    """The stage plan with the key of its chains."""
    plan = stage(rig, review, measure)
    notes = [band for note in plan.notes for band in lines_of(pen, note, WIDTH, NOTE_MM, tone="quiet")]
    if review.findings:
        numbers = tr("The numbers are those of the findings on the first pages.")
        notes += lines_of(pen, numbers, WIDTH, NOTE_MM, tone="quiet")
    key = chain_key(pen, rig, review, WIDTH, BODY_MM)
    head = title(pen, tr("Stage plan, seen from the audience"))
    low = sum(band.height for band in (*head, *notes, *key)) + 4.0
    room = Rect(0.0, -max(height - low, 0.45 * height), WIDTH, 0.0)
    drawn = plan_in(plan, room)
    drawn = drawn.moved(1.0, 0.0, -drawn.extent.top)
    yield NewPage(tr("stage plan"))
    yield from head
    band = Band(drawn.extent.height + 3.0, drawn.shapes)
    yield from showing([band], MAINS_WORD) if rig.supplies else [band]
    yield from notes
    yield space(1.0)
    yield from key
