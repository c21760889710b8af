"""What a number means that is typed on the pad."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from checkapp.show.jump import Numbers, meant, numbers_of, ranges


@pytest.mark.closed_form
def test_numbers_that_follow_one_another_are_a_range():
    assert ranges([]) == ""
    assert ranges([7]) == "7"
    assert ranges([3, 1, 2]) == "1 to 3"
    assert ranges([1, 2, 3, 5, 8, 9]) == "1 to 3, 5, 8 to 9"


@given(st.sets(st.integers(1, 300), min_size=1))
def test_ranges_name_each_number_once_and_no_other(numbers):
    told = set()
    for part in ranges(numbers).split(", "):
        first, _, last = part.partition(" to ")
        told |= set(range(int(first), int(last or first) + 1))
    assert told == numbers


def test_every_line_is_meant_by_its_number(demo):
    numbers = numbers_of(demo.lines)
    for line in demo.lines:
        found = meant(numbers, str(line.number), out=line.line.startswith("out"))
        assert (found.line, found.words) == (line.line, line.name)
        assert meant(numbers, f"0{line.number}", out=line.line.startswith("out")) == found


def test_a_number_that_no_line_has_says_which_there_are(demo):
    numbers = numbers_of(demo.lines)
    assert meant(numbers, "", out=False).line == ""
    assert meant(numbers, "", out=False).words == "Inputs are 1 to 48"
    found = meant(numbers, "77", out=False)
    assert (found.line, found.words) == ("", "No input 77. Inputs are 1 to 48")
    assert meant(numbers, "48", out=True).words == "No output 48. Outputs are 1 to 12"
    assert meant(numbers, "0", out=True).line == ""


def test_a_rig_without_outputs_says_so():
    numbers = Numbers({"1": "Kick"}, {}, "1", "")
    assert meant(numbers, "1", out=True).words == "There are no outputs."
