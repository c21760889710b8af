"""The stage plan: everything is on it, where it belongs, and nothing lies over anything else."""

import math
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from checkapp.page.drawing import Mark, Plate, Stroke, Words
from checkapp.page.fonts import measure
from checkapp.review.report import review
from checkapp.review.stage.look import chain_stroke
from checkapp.review.stage.marks import flags_by_place
from checkapp.review.stage.plan import stage

HEAD = """format = 1
[rig]
name = "Any rig"
owner = "AR"
[link_kind.wire]
max_length_m = 40.0
volts = 24.0
max_amps = 0.5
[cable_kind.hop]
core_mm2 = 0.3
[box_kind.unit]
inputs = 4
outputs = 2
accepts = ["mic"]
draw_w = 4.0
min_volts = 20.0
link_powered = true
[box_kind.drop]
inputs = 2
outputs = 0
passive = true
[[supply]]
code = "MAINS-L1"
volts = 230.0
breaker_amps = 16.0
"""


@pytest.fixture(scope="module")
def cases(plan_of, drawn):
    """The rigs that are looked at: shipped ones, two boxes and forty, with all, some and no places."""
    texts = {
        "two": plan_of(1, 2, 16),
        "two placed": plan_of(2, 2, 16, 1.0),
        "forty": plan_of(6, 40, 300),
        "forty placed": plan_of(6, 40, 300, 1.0),
        "forty, half placed": plan_of(6, 40, 300, 0.5, 2),
        "forty, few placed": plan_of(6, 40, 300, 0.1, 3),
    }
    found = {name: drawn(text) for name, text in texts.items()}
    return found | {name: drawn(name) for name in ("demo", "small", "wrong")}


NAMES = ["demo", "small", "wrong", "two", "two placed", "forty", "forty placed", "forty, half placed"]
NAMES.append("forty, few placed")


def words_of(drawing):
    return [shape for shape in drawing.shapes if isinstance(shape, Words)]


def spot(drawing, item):
    return next(found.rect for found in drawing.spots if found.item == item)


@pytest.mark.parametrize("name", NAMES)
def test_nothing_lies_over_anything_else_and_all_is_within_the_extent(cases, clashes, name):
    _, _, found = cases[name]
    assert clashes(found.drawing) == []
    slack = found.drawing.extent.width * 1e-9
    assert all(found.drawing.extent.holds(shape.rect, slack) for shape in found.drawing.shapes)


@pytest.mark.parametrize("name", NAMES)
def test_every_box_hop_and_supply_is_on_it_with_its_words(cases, name):
    rig, report, found = cases[name]
    texts = [words.text for words in words_of(found.drawing)]
    volts = {box.code: box.volts for chain in report.chains for box in chain.power.boxes}
    for box in rig.boxes.values():
        plate = spot(found.drawing, box.code)
        inside = [words.text for words in words_of(found.drawing) if plate.holds(words.rect, 1e-6)]
        assert box.code in inside
        if volts.get(box.code) is not None:
            assert f"{volts[box.code]:.2f} V" in inside
        if box.cable is not None:
            assert f"{box.cable} {rig.cables[box.cable].length}" in texts
            label = spot(found.drawing, box.cable)
            on = [words.text for words in words_of(found.drawing) if label.holds(words.rect, 1e-6)]
            if not rig.box_kind(box).passive:
                assert rig.chain_of(box.code) in on
        if box.supply is not None:
            assert box.supply in texts
    edges = [words.text for words in words_of(found.drawing) if words.tone == "quiet"]
    assert edges[:4] == ["upstage", "audience", "stage right", "stage left"]


@pytest.mark.parametrize("name", NAMES)
def test_no_hop_runs_under_a_box_that_it_does_not_belong_to(cases, name):
    """Strokes of a chain's style end at the plates that they join; every other plate stays clear of them."""
    rig, _, found = cases[name]
    looks = {chain_stroke(rig, chain) for chain in rig.chains}
    plates = {box: spot(found.drawing, box) for box in rig.boxes}
    for shape in found.drawing.shapes:
        look = (shape.style, round(shape.width / found.unit_m, 6)) if isinstance(shape, Stroke) else None
        if look in looks and len(shape.points) < 5:  # the frame and plates have five points and more
            inner = {key: plate.grown(-0.02 * found.unit_m) for key, plate in plates.items()}
            under = [key for key, plate in inner.items() if any(plate.crossed_by(*e) for e in pairwise(shape.points))]
            assert under == []


@pytest.mark.parametrize("name", NAMES)
def test_no_label_hides_where_a_hop_is_plugged(cases, name):
    """The ticks at both ends of every hop, each a stroke of its own width, stay clear of the hops' labels."""
    rig, _, found = cases[name]
    widths = [(shape, shape.width / found.unit_m) for shape in found.drawing.shapes if isinstance(shape, Stroke)]
    ticks = [shape for shape, width in widths if width == pytest.approx(0.16)]
    assert len(ticks) == 2 * len(rig.boxes)
    for box in rig.boxes.values():
        if box.cable is not None:
            label = spot(found.drawing, box.cable)
            assert not [tick for tick in ticks if tick.rect.overlaps(label)]


@pytest.mark.parametrize("name", NAMES)
def test_every_finding_that_has_a_place_is_marked_there_with_its_number(cases, name):
    rig, report, found = cases[name]
    flags = flags_by_place(rig, report.findings)
    marks = [shape for shape in found.drawing.shapes if isinstance(shape, Mark)]
    on_several = {code: sum(1 for box in rig.boxes.values() if box.supply == code) for code in rig.supplies}
    wanted = sum(len(these) * on_several.get(place, 1) for place, these in flags.items())
    assert len(marks) == wanted
    texts = {words.text for words in words_of(found.drawing)}
    assert all(flag.words in texts for these in flags.values() for flag in these)


def test_a_boxs_mark_is_nearer_to_it_than_to_any_other(cases):
    rig, report, found = cases["wrong"]
    number = next(n for n, finding in enumerate(report.findings, 1) if finding.where == "CRANE")
    at = next(words for words in words_of(found.drawing) if words.text == str(number)).rect.middle
    near = sorted(rig.boxes, key=lambda box: math.dist(at, spot(found.drawing, box).nearest_to(at)))
    assert near[0] == "CRANE"


def test_boxes_stand_as_on_the_stage_seen_from_the_audience(cases):
    """In the demo RIGHT is at stage right and KEYS upstage of it: to the left, and higher up."""
    rig, _, found = cases["demo"]
    placed = {code: spot(found.drawing, code).middle for code, box in rig.boxes.items() if box.at is not None}
    assert placed["RIGHT"][0] < placed["LEFT"][0]
    assert placed["RIGHT"][1] < placed["KEYS"][1]
    for code, middle in placed.items():
        assert math.dist(middle, rig.boxes[code].at) < 2.5  # metres; those too close to each other give way
    assert spot(found.drawing, "DESK").top < min(y for _, y in placed.values())
    left, right = (next(w for w in words_of(found.drawing) if w.text == f"stage {side}") for side in ("left", "right"))
    assert right.x < left.x


def test_a_far_desk_is_drawn_nearer_and_says_so(cases):
    rig, _, found = cases["demo"]
    assert spot(found.drawing, "DESK").middle[1] > rig.chains["FRONT"].at[1] + 10
    assert "Two slanting strokes: the desk is farther off than it is drawn." in found.notes


def test_places_that_tell_nothing_are_laid_out_by_chain(cases, drawn):
    for name in ("forty", "wrong"):
        rig, _, found = cases[name]
        assert found.notes == ("No places are given: boxes stand in the order of their chains.",)
        for chain in rig.chains:
            first, *_ = (spot(found.drawing, box.code) for box in rig.boxes_on(chain))
            assert first.bottom > spot(found.drawing, "DESK").top
    rows = [f'[[cable]]\ncode="H{n}"\nkind="hop"\nlength_m=5.0' for n in range(6)]
    rows += [
        f'[[box]]\ncode="B{n}"\nkind="unit"\nfed_from="{f"B{n - 1}" if n else "A"}"\ncable="H{n}"\nat=[1.0, 1.{n}]'
        for n in range(6)
    ]
    _, _, found = drawn(HEAD + '[[chain]]\ncode = "A"\nlink = "wire"\n' + "\n".join(rows))
    assert found.notes == ("The places given are all but one: boxes stand in the order of their chains.",)


def test_boxes_without_a_place_among_others_have_a_broken_outline(cases):
    for name in NAMES:
        rig, _, found = cases[name]
        broken = [shape.rect for shape in found.drawing.shapes if isinstance(shape, Plate) and shape.style == "dashed"]
        loose = [box.code for box in rig.boxes.values() if box.at is None]
        wanted = loose if len(loose) < len(rig.boxes) else []
        assert sorted(broken, key=repr) == sorted((spot(found.drawing, code) for code in wanted), key=repr)
        assert any(note.startswith("A broken outline") for note in found.notes) == bool(wanted)


def test_chains_differ_in_style_or_width_up_to_twelve(plan_of, drawn):
    rig, _, _ = drawn(plan_of(12, 12, 12))
    assert len({chain_stroke(rig, chain) for chain in rig.chains}) == 12


def test_the_same_rig_gives_the_same_drawing(cases):
    for name in ("demo", "forty, half placed"):
        rig, report, found = cases[name]
        assert stage(rig, report, measure) == found


def test_a_rig_without_boxes_still_has_a_desk(drawn):
    _, _, found = drawn('format = 1\n[rig]\nname = "Empty"\nowner = "EM"\n')
    assert [shape.open for shape in found.drawing.shapes if isinstance(shape, Plate)] == [True]
    assert [place.item for place in found.drawing.spots] == ["DESK"]


@st.composite
def plans(draw):
    """Small rigs with boxes anywhere, even all in one spot, drop boxes, outlets, two desks, long words."""
    position = st.tuples(st.sampled_from([-4.0, 0.0, 0.1, 3.0, 400.0]), st.sampled_from([-2.0, 0.0, 0.2, 5.0]))
    at = st.one_of(st.just(""), position.map(lambda place: f"at = [{place[0]}, {place[1]}]\n"))
    chains = draw(st.integers(1, 4))
    boxes = draw(st.integers(0, 12))
    text = HEAD
    for chain in range(chains):
        start = f'from = "B{chain - 1}"\n' if chain and boxes > chain and draw(st.booleans()) else ""
        desk = "" if start else draw(st.sampled_from(["", 'desk = "House"\n', 'desk = "Monitors at the side"\n']))
        text += f'[[chain]]\ncode = "C{chain}"\nlink = "wire"\n{start}{desk}{"" if start else draw(at)}'
    for box in range(boxes):
        fed = f"C{box}" if box < chains else f"B{box - chains}"
        place = draw(st.sampled_from(["", "place = 'Stage left, behind the drum riser and down the steps'\n"]))
        supply = draw(st.sampled_from(["", "supply = 'MAINS-L1'\n"]))
        text += f'[[cable]]\ncode = "H{box}"\nkind = "hop"\nlength_m = {draw(st.integers(1, 40))}.0\n'
        text += f'[[box]]\ncode = "B{box}"\nkind = "unit"\nfed_from = "{fed}"\ncable = "H{box}"\n'
        text += place + supply + draw(at)
        if draw(st.integers(0, 3)) == 0:
            text += f'[[box]]\ncode = "DROP-{box}"\nkind = "drop"\nfed_from = "B{box} in 1"\n{draw(at)}'
    return text


@settings(max_examples=60)
@given(text=plans())
def test_whatever_the_rig_nothing_overlaps(drawn, clashes, text):
    rig, _, found = drawn(text)
    assert clashes(found.drawing) == []
    assert all(
        found.drawing.extent.holds(shape.rect, 1e-9 * found.drawing.extent.width) for shape in found.drawing.shapes
    )
    assert set(rig.boxes) <= {place.item for place in found.drawing.spots}
    assert math.isfinite(found.drawing.extent.width)


def test_a_hundred_boxes_are_drawn_in_a_moment(plan_of, drawn):
    from time import perf_counter

    rig, report, _ = drawn(plan_of(16, 100, 512))
    began = perf_counter()
    stage(rig, review(rig), measure)
    assert report.chains
    assert perf_counter() - began < 3  # 0.15 s as measured where it was written
