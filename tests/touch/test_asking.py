"""What is filled in before a show is worked on: nobody types twice what was typed before."""

from dataclasses import replace

import pytest

from checkapp.touch.asking import CHECK, SETUP, Asked


@pytest.fixture
def rig(views):
    return views["rig"][1]


def test_at_first_the_show_and_date_are_those_that_the_rig_suggests(rig):
    asking = Asked().asking(SETUP, rig)
    assert (asking.name, asking.date, asking.venue, asking.by) == ("Night 3", "2031-05-03", "", "")
    assert asking.title == "Set-up of Quarry Nights, Ledge Stage"


def test_a_set_up_is_gone_on_with_as_it_was_begun(rig):
    asked = Asked()
    asked.answered(SETUP, "Night 9", "Ledge", "2031-05-09", "JD")
    again = asked.asking(SETUP, rig)
    assert (again.name, again.venue, again.date, again.by) == ("Night 9", "Ledge", "2031-05-09", "JD")


def test_the_check_after_a_set_up_is_of_the_same_show(rig):
    asked = Asked()
    asked.answered(SETUP, "Night 9", "Ledge", "2031-05-09", "JD")
    check = asked.asking(CHECK, rig)
    assert (check.work, check.name, check.by) == (CHECK, "Night 9", "JD")


def test_an_open_check_may_be_gone_on_with_instead_of_a_new_one(rig):
    assert Asked().asking(CHECK, rig).going.key == "k1"
    assert Asked().asking(SETUP, rig).going is None
    assert Asked().asking(CHECK, replace(rig, checks=rig.checks[1:])).going is None


def test_after_a_check_comes_the_next_show(rig):
    asked = Asked()
    asked.answered(SETUP, "Night 9", "Ledge", "2031-05-09", "JD")
    asked.answered(CHECK, "Night 9", "Ledge", "2031-05-09", "AB")
    following = asked.asking(SETUP, rig)
    assert (following.name, following.by) == ("Night 3", "AB")


def test_another_rig_has_another_show_but_the_same_hands(rig):
    asked = Asked()
    asked.answered(SETUP, "Night 9", "Ledge", "2031-05-09", "JD")
    asked.forget_show()
    other = asked.asking(SETUP, replace(rig, title="Weighing Room", suggested_show="Night 1"))
    assert (other.rig, other.name, other.by) == ("Weighing Room", "Night 1", "JD")


def test_what_was_typed_stays_typed_until_it_is_used(rig):
    asked = Asked()
    shown = asked.asking(CHECK, rig)
    asked.typed(shown, replace(shown, venue="Upper ledge", by="JD"))
    again = asked.asking(CHECK, replace(rig, suggested_date="2031-05-04"))
    assert (again.name, again.venue, again.date, again.by) == ("Night 3", "Upper ledge", "2031-05-04", "JD")
    asked.typed(again, replace(again, name="Night 4"))
    assert (asked.asking(CHECK, rig).name, asked.asking(CHECK, rig).venue) == ("Night 4", "Upper ledge")
    assert (asked.asking(SETUP, rig).venue, asked.asking(SETUP, rig).by) == ("", "JD")
    asked.used()
    assert (asked.asking(CHECK, rig).name, asked.asking(CHECK, rig).venue) == ("Night 3", "")


def test_what_was_typed_of_one_rig_is_not_of_another(rig):
    asked = Asked()
    shown = asked.asking(CHECK, rig)
    asked.typed(shown, replace(shown, name="Night 9"))
    assert asked.asking(CHECK, replace(rig, title="Weighing Room")).name == "Night 3"
