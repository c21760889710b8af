"""What is next: each list says what it is for when it is empty, and the large button leads on."""

from dataclasses import replace

import pytest


def words_of(screen):
    """The sentences of a list."""
    (listed,) = [w for w in screen.walk() if w.__class__.__name__ == "RowList"]
    return [row["text"] for row in listed.data if row["kind"] == "ListedWords"]


def test_a_tablet_without_plans_says_where_one_comes_from(build):
    assert words_of(build("rigs", ())) == ["No plan is on this tablet. Open a file: a plan or an input list."]


def test_a_rig_without_checks_says_how_one_comes_about(build, views):
    screen = build("rig", replace(views["rig"][1], checks=()))
    assert "None yet. Set up first, then check every line; a check can begin at any time." in words_of(screen)


@pytest.mark.parametrize(("is_set_up", "other"), [(False, "set up"), (True, "1 stop: check anyway")])
def test_an_open_check_of_the_show_at_hand_is_what_is_next_on_the_rig(build, hand, calls, views, is_set_up, other):
    rig = replace(views["rig"][1], going_on="k1", is_set_up=is_set_up)
    screen = build("rig", rig)
    assert (screen.ids.next.word, screen.ids.next.status) == ("go on with the check", "next")
    assert screen.ids.other.text == other
    hand.tap(screen.ids.next)
    hand.tap(screen.ids.other)
    (listed,) = [w for w in screen.walk() if w.__class__.__name__ == "RowList"]
    another = [row for row in listed.data if row.get("title") == "Another check"]
    assert len(another) == (not is_set_up)
    for row in another:
        row["tapped"]()
    assert calls.made == [("go_on", "k1"), ("new_check", rig) if is_set_up else ("new_setup", rig)] + [
        ("new_check", rig) for _ in another
    ]


@pytest.mark.parametrize(
    ("changes", "word", "move"),
    [
        ({"has_sheet": True}, "suspects", ("fault_sheet",)),
        ({}, "line check", ("visit", "line check")),
        ({"open": (), "pull": ()}, "line check", ("visit", "line check")),
    ],
)
def test_the_list_of_faults_leads_on(build, hand, calls, views, changes, word, move):
    screen = build("faults", replace(views["faults"][1], **changes))
    hand.tap(hand.button(screen, word))
    assert calls.made == [move]


def test_with_nothing_but_items_to_pull_there_is_no_way_on(build, views):
    screen = build("faults", replace(views["faults"][1], open=()))
    assert (screen.ids.next.height, screen.ids.next.disabled) == (0, True)


def test_an_empty_history_says_where_one_begins(build, hand, calls, views):
    history = replace(views["history"][1], rows=(), totals=(), left_out=0)
    screen = build("history", history)
    row = next(b for b in hand.buttons(screen) if getattr(b, "title", "") == "Line check")
    hand.tap(row)
    assert calls.made == [("visit", "line check")]
    in_a_year = replace(history, chosen=replace(history.chosen, period="1 year"))
    screen = build("history", in_a_year)
    assert not [b for b in hand.buttons(screen) if getattr(b, "title", "") == "Line check"]


def test_a_check_that_is_over_says_where_the_next_one_starts(build, views):
    assert "This check is over. The next one is started at the rig." in words_of(build(*views["past"]))


def test_the_picture_says_what_a_tap_does(build, views):
    assert "Tap a box for its card." in words_of(build(*views["picture"]))


def test_where_a_check_is_asked_for_one_that_is_open_may_be_gone_on_with(build, hand, calls, views):
    going = views["rig"][1].checks[0]
    screen = build("newcheck", replace(views["newcheck"][1], going=going))
    hand.tap(hand.button(screen, f"go on with {going.title}"))
    assert calls.made == [("go_on", going.key)]
    screen = build(*views["newcheck"])
    assert (screen.ids.going.height, screen.ids.going.disabled) == (0, True)
