"""An end against a place: right, wrong, and what is said of both."""

import pytest

from checkapp.rig.connections import connections
from checkapp.show.setup_checking import check_end, into_words, place_words


@pytest.fixture(scope="module")
def planned(demo):
    return connections(demo)


@pytest.fixture
def check(demo, planned):
    return lambda end, there, done=(): check_end(demo, planned, end, there, done)


def test_every_end_is_right_where_the_plan_has_it(check, planned):
    for one in planned:
        for there in (one.at, *one.ports, *one.also):
            found = check(one.subject, there)
            assert found.right, (one.subject, there)
            assert found.answer.status == "ok"
            assert set(found.ports) <= set(one.ports)


def test_every_end_is_wrong_at_every_box_where_the_plan_does_not_have_it(check, planned, demo):
    own = {}
    for one in planned:
        own.setdefault(one.subject, set()).update((one.at, *one.also))
    for end, places in own.items():
        for box in demo.boxes:
            found = check(end, box)
            assert found.right == (box in places)
            if not found.right:
                assert found.answer.status == "faulty"
                assert end in found.answer.words + found.answer.more
                assert found.ports == (box,)


def test_the_sockets_of_a_box_are_told_apart(check):
    assert check("HP02 B", "LEFT link in").right
    wrong = check("HP02 B", "LEFT link out")
    assert not wrong.right
    assert "LEFT link out takes HP03 A." in wrong.answer.more
    assert check("HP02 B", "LEFT").answer.more.startswith("Link in is the socket towards the desk.")
    assert check("HP03 A", "LEFT").answer.more == "Link out is the socket to the next box, FAR."


def test_what_is_connected_is_not_named_as_still_open(check):
    assert "LD20 A" in check("LD27 A", "RIGHT").answer.more
    assert "LD20 A" not in check("LD27 A", "RIGHT", {"LD20 A"}).answer.more


def test_a_free_port_takes_nothing(check):
    assert check("LD27 A", "RIGHT in 12").answer.more.endswith("The plan has nothing on RIGHT in 12.")


def test_the_desk_and_the_far_end_in_words(planned):
    assert place_words("DESK in 3") == "the desk in 3"
    words = {one.subject: into_words(one) for one in planned}
    assert words["LD20 A"] == "into RIGHT in 1"
    assert words["LD20 B"] == "to Guitar amp"
    assert words["LM01 B"] == "into DROP"
