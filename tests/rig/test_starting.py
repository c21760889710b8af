"""A plan to start from is one that can be read, has what was asked for, and has nothing that the review would say."""

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from checkapp.review.report import review
from checkapp.rig.planfile import load_plan
from checkapp.rig.starting import DEFAULT_SIZES, MOST_LINES, MOST_PORTS, CannotStart, Size, read_size, started

NUMBERS = st.integers(0, 160)
SIZES = st.lists(st.builds(Size, st.integers(0, 40), st.integers(0, 24)).filter(any), min_size=1, max_size=4)


def rig_of(found, tmp_path):
    return load_plan(tmp_path / "new.toml", found.text.encode())


@settings(max_examples=60)
@given(inputs=NUMBERS, outputs=NUMBERS, sizes=st.one_of(st.just(DEFAULT_SIZES), SIZES))
@example(inputs=1, outputs=0, sizes=DEFAULT_SIZES)
@example(inputs=256, outputs=256, sizes=[Size(MOST_PORTS, MOST_PORTS)])
@example(inputs=200, outputs=1, sizes=[Size(1, 1)])
@example(inputs=0, outputs=90, sizes=[Size(0, 54)])
def test_a_plan_of_any_size_is_read_and_has_no_finding(tmp_path_factory, inputs, outputs, sizes):
    possible = (inputs or outputs) and not (
        (inputs and not any(size.inputs for size in sizes)) or (outputs and not any(size.outputs for size in sizes))
    )
    if not possible:
        with pytest.raises(CannotStart):
            started("Old mill", inputs, outputs, sizes)
        return
    found = started("Old mill", inputs, outputs, sizes)
    rig = rig_of(found, tmp_path_factory.getbasetemp())
    assert review(rig).findings == ()
    assert [line.line for line in rig.lines] == [
        *(f"in {number}" for number in range(1, inputs + 1)),
        *(f"out {number}" for number in range(1, outputs + 1)),
    ]
    assert (len(rig.boxes), len(rig.chains)) == (found.boxes, found.chains)
    assert {(kind.inputs, kind.outputs) for kind in rig.plan.box_kind.values()} == set(sizes)


def test_the_most_lines_on_the_smallest_boxes(tmp_path):
    found = started("Old mill", MOST_LINES, 0, [Size(8, 0)])
    assert found.boxes == MOST_LINES / 8
    rig = rig_of(found, tmp_path)
    assert len(rig.lines) == MOST_LINES
    assert not review(rig).has_stop


def test_more_chains_where_one_does_not_carry_it_all(tmp_path):
    assert started("Old mill", 16, 8).chains == 1
    assert started("Old mill", 32, 16).chains == 1
    assert started("Old mill", 64, 24).chains == 2
    rig = rig_of(started("Old mill", 64, 24), tmp_path)
    assert [box.kind for box in rig.boxes.values()] == ["stage16x8"] * 4


def test_a_small_box_for_a_small_rest():
    assert 'kind = "stage8x4"' in started("Old mill", 24, 8).text
    assert 'kind = "stage8x4"' not in started("Old mill", 32, 8).text


def test_a_large_box_is_on_mains_and_a_small_one_runs_from_the_link(tmp_path):
    rig = rig_of(started("Old mill", 76, 36, [Size(64, 32), Size(12, 4)]), tmp_path)
    large, small = rig.boxes["SB1"], rig.boxes["SB2"]
    assert rig.supplies[large.supply].volts == 230.0
    assert small.supply is None
    assert rig.box_kind(small).link_powered


def test_it_has_comments_and_short_lines():
    text = started("Old mill", 64, 24).text
    comments = [line for line in text.splitlines() if line.startswith("#")]
    assert len(comments) > 10
    assert max(map(len, text.splitlines())) <= 105


@pytest.mark.parametrize(
    ("name", "owner"),
    [
        ("Quarry Nights, Ledge Stage", "QNLS"),
        ("Ärger im Öl", "AIO"),
        ("7 Wells", "7W"),
        ("水辺", "RIG"),
        ('Say "hey" \\ now', "SHN"),
        ("one two three four five", "OTTF"),
    ],
)
def test_the_owner_is_made_of_the_name_and_the_name_stays_as_it_is(tmp_path, name, owner):
    rig = rig_of(started(name, 1, 1), tmp_path)
    assert (rig.name, rig.owner) == (name, owner)


@pytest.mark.parametrize(
    ("text", "size"), [("16x8", Size(16, 8)), (" 0X8 ", Size(0, 8)), ("8 x 4", Size(8, 4)), ("12\u00d76", Size(12, 6))]
)
def test_a_size_is_inputs_by_outputs(text, size):
    assert read_size(text) == size


@pytest.mark.parametrize(
    "text", ["", "16", "0x0", "16x", "x8", "-1x8", "16x8x4", "257x1", "1x257", "16.5x8", "99999x1"]
)
def test_what_is_no_size_is_refused(text):
    with pytest.raises(CannotStart, match="as 16x8"):
        read_size(text)


@pytest.mark.parametrize(
    ("name", "inputs", "outputs", "sizes", "said"),
    [
        ("Mill", 0, 0, DEFAULT_SIZES, "at least one"),
        ("Mill", -1, 4, DEFAULT_SIZES, "from 0 to 4096"),
        ("Mill", 4, 4097, DEFAULT_SIZES, "from 0 to 4096"),
        (" ", 4, 4, DEFAULT_SIZES, "no name of a rig"),
        ("a\nb", 4, 4, DEFAULT_SIZES, "no name of a rig"),
        ("\udce4", 4, 4, DEFAULT_SIZES, "no name of a rig"),
        ("Mill", 4, 4, [Size(8, 0)], "no box takes the last 4 outputs"),
        ("Mill", 4, 4, [Size(0, 8)], "no box takes the last 4 inputs"),
        ("Mill", 4, 4, [], "no box takes"),
    ],
)
def test_what_cannot_be_says_why(name, inputs, outputs, sizes, said):
    with pytest.raises(CannotStart, match=said):
        started(name, inputs, outputs, sizes)
