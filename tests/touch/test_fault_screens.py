"""The fault sheet, what can be done about a suspect, the list of faults: each button tapped, what is shown compared."""

import fault_samples
import pytest

from checkapp.touch.keys import ESCAPE
from checkapp.touch.theme import theme

SPACE, LETTER_F = 32, 102


def row(hand, screen, words):
    """The row of a list with that title."""
    (found,) = [b for b in hand.buttons(screen) if getattr(b, "title", "") == words]
    return found


def listed(screen):
    from checkapp.touch.widgets.rows import RowList

    (found,) = [w for w in screen.walk() if isinstance(w, RowList)]
    return found


def words_on(screen):
    return [w.text for w in screen.walk() if getattr(w, "text", "") and w.opacity > 0]


@pytest.fixture(params=[(1280, 800), (800, 1280)], ids=lambda size: f"{size[0]}x{size[1]}")
def roomy(request, hand):
    hand.size(*request.param)


def test_the_next_test_is_the_one_big_button(build, hand, calls, views, roomy):
    screen = build(*views["fault"])
    assert screen.ids.next.words == fault_samples.NEXT.title
    hand.tap(screen.ids.next)
    assert calls.made == [("try_next", fault_samples.NEXT)]


def test_on_a_small_phone_it_is_the_first_row_and_the_run_follows_it(build, hand, calls, views):
    hand.size(360, 640)
    screen = build(*views["fault"])
    assert [one["kind"] for one in listed(screen).data[:2]] == ["ListedNotice", "ListedRun"]
    first = next(b for b in hand.buttons(screen) if getattr(b, "words", "") == fault_samples.NEXT.title)
    hand.tap(first)
    assert calls.made == [("try_next", fault_samples.NEXT)]


def test_suspects_stand_with_bar_and_number_by_falling_probability(build, views, roomy):
    rows = [one for one in listed(build(*views["fault"])).data if one["kind"] == "ListedSuspect"]
    assert [(one["percent"], one["share"]) for one in rows] == [("62 %", 0.62), ("3 %", 0.03)]
    assert rows[0]["speaks_for"].startswith("all 3 faulty lines")


def test_a_bar_is_as_long_as_its_suspect_is_likely(build, hand, views, roomy):
    screen = build(*views["fault"])
    first, second = [b for b in hand.buttons(screen) if b.__class__.__name__ == "ListedSuspect"][:2]
    assert first.share == 0.62
    assert second.share == 0.03


def test_suspected_and_confirmed_stand_apart(build, views):
    headings = [one["text"] for one in listed(build(*views["fault"])).data if one["kind"] == "ListedHeading"]
    assert headings == ["Suspected", "Or", "Confirmed", "Still to hear: 1", "Faulty: 2"]


def test_a_suspect_leads_to_what_can_be_done_about_it(build, hand, calls, views, roomy):
    screen = build(*views["fault"])
    hand.tap(row(hand, screen, "hop cable LM01"))
    assert calls.made == [("blame", fault_samples.SUSPECTS[0])]


def test_what_can_be_done_about_a_suspect_and_what_no_mark_tells_from_it(build, hand, calls, views):
    screen = build(*views["blame"])
    for words in ("Reseat LM01", "Swap LM01", "Mend LM01", "Swap DROP"):
        data = listed(screen).data
        listed(screen).bring(next(n for n, one in enumerate(data) if one.get("title") == words))
        hand.frames(4)
        hand.tap(row(hand, screen, words))
    hand.tap(hand.button(screen, "back"))
    assert calls.made == [
        ("repair", "reseat", "LM01"),
        ("repair", "swap", "LM01"),
        ("repair", "mend", "LM01"),
        ("repair", "swap", "DROP"),
        ("sheet_again",),
    ]


def test_a_line_that_was_not_marked_before_is_asked_what_was_heard(build, hand, calls, views):
    screen = build(*views["fault, listening"])
    hand.tap(hand.button(screen, "ok"))
    hand.tap(hand.button(screen, "faulty"))
    hand.tap(hand.button(screen, "cancel"))
    assert calls.made == [("fault_ok", "in 38"), ("ask_what_is_heard", fault_samples.LISTEN), ("give_up",)]


def test_before_what_goes_in_is_known_nothing_can_be_answered(build, hand, calls, views):
    screen = build(*views["fault, swapping"])
    with pytest.raises(AssertionError, match="0 buttons say"):
        hand.button(screen, "ok")
    for word in ("it has no tag", "camera", "cancel"):
        hand.tap(hand.button(screen, word))
    hand.type(screen.ids.code, "LM02")
    screen.ids.code.dispatch("on_text_validate")
    assert calls.made == [("untagged",), ("camera",), ("give_up",), ("scanned", "LM02")]


def test_after_a_repair_one_tap_says_that_it_did_not_help(build, hand, calls, views):
    screen = build("fault", fault_samples.SWAPPED)
    hand.tap(hand.button(screen, "still faulty"))
    hand.tap(hand.button(screen, "ok"))
    assert calls.made == [("still_faulty", "in 40"), ("fault_ok", "in 40")]


def test_the_caution_of_a_step_stands_before_it(build, views, roomy):
    screen = build("fault", fault_samples.SWAPPED)
    assert fault_samples.ASKS.caution in words_on(screen)


def test_what_was_taken_out_is_asked_about(build, hand, calls, views):
    screen = build(*views["fault, cleared"])
    assert "Is LM01 tagged and pulled?" in words_on(screen)
    assert screen.ids.good.word == "not yet"  # where ok was: a second tap on that must not say that it is pulled
    for word in ("pulled", "not yet", "undo", "all faults"):
        hand.tap(hand.button(screen, word))
    assert calls.made == [("tagged", "LM01"), ("later",), ("undo_fault",), ("fault_list",)]


def test_what_did_not_help_can_be_put_back(build, hand, calls, views):
    screen = build(*views["fault, not cleared"])
    hand.tap(hand.button(screen, "put back"))
    assert calls.made == [("put_back",)]


def test_when_nothing_is_faulty_it_leads_back_to_the_walk(build, hand, calls, views, roomy):
    screen = build(*views["fault, over"])
    hand.tap(screen.ids.next)
    hand.tap(hand.button(screen, "walk"))
    assert calls.made == [("walk_on",), ("walk_on",)]
    assert hand.button(screen, "undo").disabled


def test_keys_answer_as_on_the_walk(build, hand, calls, views):
    screen = build(*views["fault, listening"])
    assert all(screen.key(key) for key in (SPACE, LETTER_F, ESCAPE))
    assert calls.made == [("fault_ok", "in 38"), ("ask_what_is_heard", fault_samples.LISTEN), ("give_up",)]
    calls.made.clear()
    screen.view = fault_samples.SHEET
    assert not screen.key(SPACE)
    assert screen.key(ESCAPE)
    assert calls.made == [("walk_on",)]


def test_ok_lies_under_the_thumb_of_either_hand(build, hand, views):
    screen = build(*views["fault, listening"])
    assert screen.ids.good.x > screen.ids.bad.right
    theme.left_handed = True
    hand.frames(4)
    assert screen.ids.bad.x > screen.ids.good.right


def test_the_list_of_faults_says_what_is_faulty_and_then_what_is_to_be_pulled(build, hand, calls, views):
    screen = build(*views["faults"])
    headings = [one["text"] for one in listed(screen).data if one["kind"] == "ListedHeading"]
    assert headings == ["Faulty: 2", "Led round a fault: 1", "Tag and pull: 1", "Known, signed off so: 1", "Pulled: 1"]
    hand.tap(row(hand, screen, "LD25"))
    listed(screen).scroll_y = 0
    hand.frames(4)
    hand.tap(row(hand, screen, "LM01"))
    hand.tap(hand.button(screen, "rig"))
    assert calls.made == [("pull", "LD25"), ("returned", "LM01"), ("rig",)]


def test_the_walk_says_who_is_to_blame_and_leads_to_the_fault_sheet(build, hand, calls, views):
    for size in ((1280, 800), (800, 1280), (360, 640)):
        hand.size(*size)
        screen = build(*views["walk"])
        screen.lead = "hop cable LM01, 62 %"
        hand.frames(6)
        button = hand.button(screen, "Suspect: hop cable LM01, 62 %")
        assert button.texture_size[0] <= button.width
        hand.tap(button)
        assert calls.made.pop() == ("fault_sheet",)
        screen.lead = ""
        hand.frames(4)
        assert screen.ids.lead.height == 0
