"""Which screen belongs to which place, and where the way back from a place leads."""

from types import SimpleNamespace

import pytest

from checkapp.touch.pages import OVER, SCREENS
from checkapp.touch.whereabouts import ASKING, PLACES, WAYS_BACK, Trail, is_of_a_rig, place_of


def walked(*steps):
    """A trail after taps on places, each given with the screen it was made on, and its first screen shown."""
    trail = Trail()
    for place, screen in steps:
        trail.visited(place, screen)
        trail.shown(place)
    return trail


def test_every_screen_belongs_to_one_place_but_for_the_card_and_the_camera():
    homeless = {name for name in SCREENS if not place_of(name)} - {ASKING}
    assert homeless == {"card", "camera"} <= OVER
    named = [screen for place in PLACES for screen in place.screens]
    assert len(named) == len(set(named))


def test_what_is_asked_belongs_to_the_place_it_is_asked_for():
    assert place_of(ASKING, SimpleNamespace(work="set-up")) == "set-up"
    assert place_of(ASKING, SimpleNamespace(work="check")) == "line check"


@pytest.mark.parametrize(
    ("screen", "of_a_rig"), [("rigs", False), ("first", False), ("life", False), ("rig", True), ("walk", True)]
)
def test_some_screens_tell_that_a_rig_is_open(screen, of_a_rig):
    assert is_of_a_rig(screen) is of_a_rig


def test_the_way_back_leads_to_where_the_tap_was_made():
    trail = walked(("faults", "setup"))
    assert trail.back_from("faults") == "setup"
    assert trail.back_from("history") == ""


def test_two_taps_are_two_ways_back():
    trail = walked(("faults", "setup"), ("history", "faults"))
    assert trail.back_from("history") == "faults"
    trail.shown("faults")
    assert trail.back_from("faults") == "setup"
    trail.shown("set-up")
    assert trail.back_from("set-up") == ""


def test_a_place_that_was_come_through_is_gone_back_to_and_nothing_runs_in_a_circle():
    trail = walked(("faults", "walk"), ("history", "faults"), ("line check", "history"))
    assert [trail.back_from(place.name) for place in PLACES] == [""] * len(PLACES)
    trail = walked(("faults", "walk"), ("history", "faults"), ("faults", "life"))
    assert trail.back_from("faults") == "walk"


def test_a_place_reached_otherwise_has_its_own_way_back():
    trail = walked(("faults", "setup"))
    trail.shown("line check")
    trail.shown("faults")
    assert trail.back_from("faults") == ""


def test_deeper_screens_of_a_place_do_not_forget_where_it_was_come_to_from():
    trail = walked(("history", "walk"))
    trail.shown("history")
    assert trail.back_from("history") == "walk"


def test_the_fault_sheet_leads_back_to_the_list_or_the_walk_that_it_was_come_to_from():
    trail = walked(("suspects", "walk"), ("faults", "fault"))
    assert trail.back_from("faults") == "fault"
    trail.visited("suspects", "faults")
    trail.shown("suspects")
    assert trail.back_from("suspects") == "walk"
    trail = walked(("faults", "rig"), ("suspects", "faults"))
    assert trail.back_from("suspects") == "faults"
    trail.shown("faults")
    assert trail.back_from("faults") == "rig"


@pytest.mark.parametrize("steps", [[("faults", "faults")], [("rig", "walk")], [("faults", "card")]])
def test_the_same_place_the_rig_and_what_lies_over_a_screen_leave_no_trail(steps):
    assert walked(*steps).back_from(steps[0][0]) == ""


def test_the_way_back_has_a_word_for_the_first_screen_of_every_place():
    assert {place.screens[0] for place in PLACES} <= set(WAYS_BACK)
