"""The set-up screen with view data: what each button asks for, what is seen, and what stays where it is."""

from dataclasses import replace

import pytest

from checkapp.show.setup_views import Answer
from checkapp.touch.theme import theme

ENTER = 13


@pytest.fixture
def view(views):
    return views["setup"][1]


def rows_of(screen):
    from checkapp.touch.widgets.tasks import ListedTask

    return [w for w in screen.walk() if isinstance(w, ListedTask)]


def row_of(screen, title):
    (row,) = [row for row in rows_of(screen) if row.title == title]
    return row


def notices(screen):
    """The words of the large notices that can be seen, from the top."""
    from checkapp.touch.widgets.notice import Notice

    found = [w for w in screen.walk() if isinstance(w, Notice) and w.words and w.opacity]
    return [notice.words for notice in sorted(found, key=lambda w: -w.to_window(*w.center)[1])]


def in_sight(hand, widget):
    from kivy.uix.recycleview import RecycleView

    listed = widget
    while not isinstance(listed, RecycleView):
        listed = listed.parent
    bottom, top = widget.to_window(0, widget.y)[1], widget.to_window(0, widget.top)[1]
    low, high = listed.to_window(0, listed.y)[1], listed.to_window(0, listed.top)[1]
    return low - 1 <= bottom and top <= high + 1


def test_buttons(build, hand, calls, view):
    screen = build("setup", view)
    for word in ("rig", "undo", "swap", "other port", "camera"):
        hand.tap(hand.button(screen, word))
    assert calls.made == [("rig",), ("undo_setup",), ("setup_mode", "swap"), ("setup_mode", "move"), ("camera",)]


def test_what_was_said_and_what_is_next_lead_to_their_cards(build, hand, calls, view, views):
    screen = build("setup", replace(view, card=views["card of a cable"][1]))
    hand.tap(screen.ids.answer)
    hand.tap(screen.ids.next)
    assert calls.made == [("card", "HP01"), ("card", view.next_row.item)]


def test_an_answer_without_a_card_leads_nowhere(build, hand, calls, view):
    screen = build("setup", replace(view, answer=Answer("look", "XX99 is not of this rig"), card=None))
    hand.tap(screen.ids.answer)
    assert calls.made == []


def test_rows_lead_to_their_cards_and_their_ticks_say_what_is_done(build, hand, calls, view):
    screen = build("setup", view)
    box, done, still = (row_of(screen, title) for title in ("RIGHT", "HP01 B", view.next_row.title))
    for row in (box, done, still):
        hand.tap(row)
        hand.tap(hand.button(row, "tick" if row is still else "untick"))
    port = view.next_row.port
    assert calls.made == [
        ("card", "RIGHT"),
        ("unplace", "RIGHT"),
        ("card", "HP01"),
        ("untick", "HP01 B", "RIGHT link in"),
        ("card", view.next_row.item),
        ("tick", view.next_row.end, port),
    ]


def test_a_box_that_is_not_placed_is_placed_with_its_tick(build, hand, calls, views):
    screen = build("setup", views["setup, begun"][1])
    hand.tap(hand.button(row_of(screen, "RIGHT"), "tick"))
    assert calls.made == [("place", "RIGHT")]


def test_done_rows_say_ok_and_who_and_wrong_ones_what_was_found(build, views):
    screen = build("setup", views["setup, wrong"][1])
    by_title = {row.title: row for row in rows_of(screen)}
    assert by_title["RIGHT"].said == "ok, JD, 10:04"
    wrong = by_title["HP01 B"]
    assert (wrong.status, wrong.said) == ("faulty", "wrong, found at FAR, JD, 10:31")
    assert by_title["LD20 A"].said == ""


def test_what_is_wrong_is_counted_with_the_progress(build, views):
    screen = build("setup", views["setup, wrong"][1])
    said = [w.text for w in screen.walk() if getattr(w, "text", "").startswith("8 of 8 boxes placed")]
    assert said == ["8 of 8 boxes placed, 20 of 128 ends connected, 1 wrong"]
    assert next(w.faulty for w in screen.walk() if hasattr(w, "faulty")) == 1


def test_places_say_how_much_is_done(build, view):
    from checkapp.touch.widgets.tasks import ListedPlace

    screen = build("setup", view)
    (shown,) = [w for w in screen.walk() if isinstance(w, ListedPlace) and w.name == view.places[0].name]
    assert (shown.done, shown.total) == (view.places[0].done, view.places[0].total)
    assert any(getattr(w, "text", "") == f"{shown.done} of {shown.total}" for w in shown.walk())


def test_a_typed_code_is_taken_with_enter_and_the_place_is_empty_again(build, hand, calls, view):
    screen = build("setup", view)
    hand.type(screen.ids.code, "hp01 b")
    hand.key(ENTER)
    assert calls.made == [("scanned", "hp01 b")]
    assert screen.ids.code.text == ""


def test_in_a_swap_the_prompt_stands_where_the_next_thing_was(build, hand, calls, views):
    view = views["setup, swap"][1]
    screen = build("setup", view)
    assert notices(screen) == [view.answer.words, view.prompt]
    assert [b.text for b in hand.buttons(screen.ids.foot) if hasattr(b, "text")] == ["cancel", "camera"]
    hand.tap(screen.ids.confirm)
    hand.tap(hand.button(screen, "cancel"))
    assert calls.made == [("confirm",), ("setup_mode", "check")]


def test_the_one_that_confirms_is_there_only_when_there_is_something_to_confirm(build, hand, view):
    screen = build("setup", view)
    assert screen.ids.confirm.disabled
    with pytest.raises(AssertionError, match="disabled"):
        hand.tap(screen.ids.confirm)


def test_escape_gives_a_swap_up_before_it_leaves(build, calls, views):
    screen = build("setup", views["setup, swap"][1])
    screen.key(27)
    screen.view = views["setup"][1]
    screen.key(27)
    assert calls.made == [("setup_mode", "check"), ("rig",)]


def test_letters_mean_nothing_here_for_scanners_send_them(build, calls, view):
    screen = build("setup", view)
    assert not any(screen.key(ord(letter)) for letter in "qwertyuiopasdfghjklzxcvbnm 1234567890.")
    assert calls.made == []


def test_undo_is_shut_while_there_is_nothing_to_take_back(build, hand, views):
    screen = build("setup", views["setup, begun"][1])
    undo = hand.button(screen, "undo")
    assert undo.disabled
    theme.name = "light"
    hand.frames()
    assert undo.disabled_color == undo.color == list(theme.text)  # pale, but not white on white


def test_once_all_is_done_the_line_check_is_next(build, hand, calls, views):
    done = views["setup, complete"][1]
    done = replace(done, next_row=None, boxes_placed=done.boxes, ends_connected=done.ends)
    screen = build("setup", done)
    hand.tap(screen.ids.next)
    assert calls.made == [("visit", "line check")]


@pytest.mark.parametrize("size", [(1280, 800), (800, 1280)])
def test_the_next_thing_is_in_sight_at_first_and_after_every_scan(build, hand, view, size):
    hand.size(*size)
    far = view.places[-1].rows[-1]
    screen = build("setup", replace(view, next_row=far))
    assert in_sight(hand, row_of(screen, far.title))
    screen.view = view
    screen.seek()
    hand.frames(6)
    assert in_sight(hand, row_of(screen, view.next_row.title))


def test_after_a_tick_the_list_stays_where_it_is(build, hand, view):
    screen = build("setup", view)
    listed = screen.ids.list
    listed.scroll_y = 0.4
    hand.frames(6)
    row = next(row for row in rows_of(screen) if row.status == "open" and in_sight(hand, row))
    title, before = row.title, row.to_window(*row.pos)
    hand.tap(hand.button(row, "tick"))
    screen.view = replace(view, places=ticked(view.places, title), answer=Answer("ok", f"{title}", "Ticked by hand."))
    hand.frames(6)
    after = row_of(screen, title)
    assert after.status == "ok"
    assert after.to_window(*after.pos) == pytest.approx(before, abs=1.0)


def ticked(places, title):
    return tuple(
        replace(
            place,
            rows=tuple(
                replace(row, status="ok", said="JD, 11:00") if row.title == title else row for row in place.rows
            ),
        )
        for place in places
    )


def test_on_a_small_screen_the_answer_is_the_first_thing_after_every_scan(build, hand, view):
    hand.size(360, 640)
    screen = build("setup", view)
    assert notices(screen) == [view.answer.words, view.to_do]
    screen.ids.list.scroll_y = 0
    hand.frames(6)
    again = Answer("faulty", "Wrong. LD20 A does not go into FAR", "")
    screen.view = replace(view, answer=again)
    screen.seek()
    hand.frames(6)
    assert notices(screen)[0] == again.words
    assert screen.ids.list.scroll_y == 1


def test_a_thousand_ends_are_a_few_widgets(build, hand, view):
    many = replace(view, places=tuple(replace(p, name=f"{p.name} {n}") for n in range(9) for p in view.places))
    screen = build("setup", many)
    assert sum(place.total for place in many.places) > 1000
    assert len(rows_of(screen)) < 20


@pytest.mark.parametrize(
    ("words", "kept"),
    [
        ("Correct. LD27 A into LEFT in 1", ["Correct.", "LD27 A", "into", "LEFT in 1"]),
        ("HP02 B goes into LEFT link in, way 2", ["HP02 B", "goes", "into", "LEFT link in,", "way", "2"]),
        ("plugged in here", ["plugged", "in", "here"]),
    ],
)
def test_names_of_ports_and_ends_are_never_broken(window, words, kept):
    from checkapp.touch.widgets.notice import unbroken

    assert unbroken(words).split(" ") == [word.replace(" ", "\u00a0") for word in kept]
