"""Each screen with view data: every button is tapped once, and what it asked for is compared."""

from dataclasses import replace

import pytest

from checkapp.rig.words import SYMPTOMS

ORDERS = ("list", "place", "reverse", "likeliest")


def test_rigs_are_opened_by_their_plan(build, hand, calls, views):
    screen = build("rigs", views["rigs"][1])
    for row in [b for b in hand.buttons(screen) if hasattr(b, "detail")]:
        hand.tap(row)
    assert calls.made == [("open_rig", "a.toml"), ("open_rig", "b.toml")]


def test_before_the_rigs_are_read_there_is_nothing_to_open(build, hand, calls):
    screen = build("rigs", None)
    assert [b.text for b in hand.buttons(screen)] == ["open a file"]
    hand.tap(hand.button(screen, "open a file"))
    assert calls.made == [("files",)]


def test_rig(build, hand, calls, views):
    rig = views["rig"][1]
    screen = build("rig", rig)
    for word in ("rigs", "picture", "camera", "set up", "1 stop: check anyway"):
        hand.tap(hand.button(screen, word))
    (listed,) = [w for w in screen.walk() if w.__class__.__name__ == "RowList"]
    listed.scroll_y = 0
    hand.frames()
    for word in ("go on", "read"):
        hand.tap(hand.button(screen, word))
    assert calls.made == [
        ("rigs",),
        ("picture",),
        ("camera",),
        ("new_setup", rig),
        ("new_check", rig),
        ("go_on", "k1"),
        ("read_check", "k0"),
    ]


def test_rig_shows_findings_worst_first_with_shape_and_word(build, hand, views):
    screen = build("rig", views["rig"][1])
    from checkapp.touch.widgets.rows import RowList

    (listed,) = [w for w in screen.walk() if isinstance(w, RowList)]
    found = [row for row in listed.data if row["kind"] == "ListedFinding"]
    assert [(row["word"], row["status"]) for row in found] == [
        ("1  stop", "faulty"),
        ("2  caution", "look"),
        ("3  note", "note"),
    ]


def kinds_of(screen):
    from checkapp.touch.widgets.rows import RowList

    (listed,) = [w for w in screen.walk() if isinstance(w, RowList)]
    return [row.get("text", row["kind"]) for row in listed.data if row["kind"] in ("ListedHeading", "ListedCaution")]


def test_stops_come_before_the_checks(build, views):
    caution = views["rig"][1].caution
    assert kinds_of(build("rig", views["rig"][1])) == [caution, "Findings", "Checks"]
    assert kinds_of(build("rig", views["rig, no stop"][1])) == [caution, "Checks", "Findings"]


@pytest.mark.parametrize("size", [(1280, 800), (800, 1280), (360, 640)])
@pytest.mark.parametrize(
    ("view", "large", "small"),
    [
        ("rig", ("set up", "next"), ("1 stop: check anyway", "look")),
        ("rig, no stop", ("set up", "next"), ("start a check", "open")),
        ("rig, set up", ("start a check", "next"), ("set up", "open")),
        ("rig, set up with a stop", ("1 stop: check anyway", "look"), ("set up", "open")),
    ],
)
def test_the_large_button_is_set_up_until_all_is_connected_then_the_check(
    build, hand, calls, views, view, large, small, size
):
    hand.size(*size)
    rig = views[view][1]
    screen = build("rig", rig)
    ids = screen.ids
    assert (ids.next.word, ids.next.status) == large
    assert (ids.other.text, ids.other.status) == small
    assert ids.next.width > 1.9 * ids.other.width
    hand.tap(ids.next)
    hand.tap(ids.other)
    moves = ["new_setup", "new_check"] if large[0] == "set up" else ["new_check", "new_setup"]
    assert calls.made == [(move, rig) for move in moves]


@pytest.mark.parametrize("size", [(1280, 800), (800, 1280), (360, 640)])
def test_the_caution_of_a_rig_is_in_sight_with_its_triangle(build, hand, views, size):
    from checkapp.touch.widgets.rows import ListedCaution

    hand.size(*size)
    screen = build("rig", views["rig"][1])
    (row,) = [w for w in screen.walk() if isinstance(w, ListedCaution)]
    (listed,) = [w for w in screen.walk() if w.__class__.__name__ == "RowList"]
    for y in (row.y + 1, row.top - 1):
        assert listed.collide_point(*listed.parent.to_widget(*row.to_window(row.center_x, y)))
    assert row.children[0].status == "look"


def test_new_check_comes_with_what_is_likely_and_asks_for_the_rest(build, hand, calls, views):
    screen = build("newcheck", views["newcheck"][1])
    assert screen.ids.by.typing
    hand.type(screen.ids.venue.ids.entry, "Upper ledge")
    hand.type(screen.ids.by.ids.entry, " AB ")
    hand.tap(hand.button(screen, "start"))
    hand.tap(hand.button(screen, "back"))
    assert calls.made == [("start_check", "Night 3", "Upper ledge", "2031-05-03", "AB"), ("rig",)]


def test_a_show_without_a_name_is_asked_for_first(build, hand, views):
    screen = build("newcheck", replace(views["newcheck"][1], name=""))
    assert screen.ids.name.typing
    assert not screen.ids.by.typing


def test_enter_goes_from_place_to_place_and_starts(build, hand, calls, views):
    screen = build("newcheck", views["newcheck"][1])
    places = [screen.ids[name].ids.entry for name in ("name", "venue", "date", "by")]
    places[0].focus = True
    for number, typed in enumerate((" late", "Ledge", "", "AB")):
        hand.frames()
        assert [place.focus for place in places].index(True) == number
        for letter in typed:
            hand.window.dispatch("on_textinput", letter)
        hand.key(13)
    assert calls.made == [("start_check", "Night 3 late", "Ledge", "2031-05-03", "AB")]


def test_walk(build, hand, calls, views):
    walk = views["walk"][1]
    screen = build("walk", walk)
    for word in ("ok", "faulty", "back", "next", "lines", "skip", "undo", "finish", "number"):
        hand.tap(hand.button(screen, word))
    line = walk.line
    assert calls.made == [
        ("ok", line),
        ("ask_symptom", walk),
        ("back", line),
        ("forward", line),
        ("lines", line),
        ("skip", line),
        ("undo",),
        ("summary",),
        ("jump", walk, ""),
    ]
    assert len([b for b in hand.buttons(screen) if not b.disabled]) == 9
    assert screen.ids.lead.disabled
    assert screen.ids.only.disabled


def test_walk_marks_the_line_that_was_shown_when_the_finger_came_down(build, hand, calls, views):
    screen = build("walk", views["walk"][1])
    for word in ("ok", "faulty", "skip", "back", "next"):
        screen.view = views["walk"][1]
        hand.press(hand.button(screen, word))
        screen.view = views["walk, plain"][1].__class__(
            **{f: getattr(views["walk, plain"][1], f) for f in views["walk"][1].__slots__} | {"line": "in 19"}
        )
        hand.lift()
    assert [call[1] if isinstance(call[1], str) else call[1].line for call in calls.made] == ["in 18"] * 5


def test_walk_keys(build, hand, calls, views):
    screen = build("walk", views["walk"][1])
    for key in (32, ord("f"), 276, 273, 275, 274, ord("u"), ord("."), ord("b"), ord("1"), ord("0"), ord("x"), 13):
        screen.key(key)
    assert [call[0] for call in calls.made] == [
        "ok",
        "ask_symptom",
        "back",
        "back",
        "forward",
        "forward",
        "undo",
        "skip",
        "skip",
        "jump",
    ]
    assert calls.made[-1] == ("jump", views["walk"][1], "1")


def test_a_remote_does_not_leave_the_walk_by_accident(build, hand, calls, views):
    """Its button sends F5 and Escape in turn, and Escape alone says what a second one would do."""
    screen = build("walk", views["walk"][1])
    for _ in range(3):
        screen.key(27)
        assert screen.saving == "Once more leaves the walk"
        screen.key(286)
        assert screen.saving == ""
    screen.key(27)
    hand.tap(hand.button(screen, "number"))
    screen.key(27)
    assert [call[0] for call in calls.made] == ["jump"]
    screen.key(27)
    assert [call[0] for call in calls.made] == ["jump", "rig"]


def test_undo_is_shut_while_there_is_nothing_to_take_back(build, hand, views):
    screen = build("walk", views["walk, plain"][1])
    assert screen.ids.undo.disabled
    with pytest.raises(AssertionError, match="disabled"):
        hand.tap(screen.ids.undo)


def test_every_symptom_marks_with_one_tap(build, hand, calls, views):
    screen = build("symptom", views["symptom"][1])
    assert calls.made == [("note_of", "in 18")]
    calls.made.clear()
    for word in SYMPTOMS:
        hand.tap(hand.button(screen, word))
    assert calls.made == [("faulty", "in 18", word, "") for word in SYMPTOMS]


def test_a_note_goes_with_the_symptom_and_back_marks_nothing(build, hand, calls, views):
    screen = build("symptom", views["symptom"][1])
    assert calls.made == [("note_of", "in 18")]
    calls.made.clear()
    hand.type(screen.ids.note.ids.entry, "loose at the box")
    hand.tap(hand.button(screen, "crackle"))
    hand.tap(hand.button(screen, "back"))
    assert calls.made == [("faulty", "in 18", "crackle", "loose at the box"), ("unheard",)]


def test_digits_choose_a_symptom_but_not_while_a_note_is_typed(build, hand, calls, views):
    screen = build("symptom", views["symptom"][1])
    assert calls.made == [("note_of", "in 18")]
    calls.made.clear()
    screen.key(ord("8"))
    assert not screen.key(ord("9"))
    screen.ids.note.ids.entry.focus = True
    hand.frames()
    assert not screen.key(ord("1"))
    assert calls.made == [("faulty", "in 18", "noisy", "")]


def test_lines_lead_to_themselves(build, hand, calls, views):
    screen = build("lines", views["lines"][1])
    rows = [b for b in hand.buttons(screen) if hasattr(b, "here")]
    (here,) = [row for row in rows if row.here]
    assert here.number == "18"
    hand.tap(here)
    hand.tap(hand.button(screen, "back"))
    assert calls.made == [("go_to", "in 18"), ("walk_on",)]


def test_the_order_of_the_walk_is_chosen_among_the_lines(build, hand, calls, views):
    for size in ((1280, 800), (800, 1280), (360, 640)):
        hand.size(*size)
        screen = build("lines", views["lines"][1])
        assert [hand.button(screen, word).status for word in ORDERS] == ["next", "open", "open", "open"]
        for word in ORDERS:
            hand.tap(hand.button(screen, word))
        assert calls.made == [("reorder", order, None) for order in ("list", "walk", "reverse", "likely")]
        calls.made.clear()


def test_with_the_likeliest_first_the_minutes_are_chosen_and_what_stays_unfound_is_said(build, hand, calls, views):
    view = views["lines, likeliest"][1]
    screen = build("lines", view)
    (listed,) = [w for w in screen.walk() if w.__class__.__name__ == "RowList"]
    assert listed.data[0]["text"] == view.words
    assert hand.button(screen, "10 min").status == "next"
    for word in ("5 min", "15 min", "no limit"):
        hand.tap(hand.button(screen, word))
    assert calls.made == [("reorder", "likely", minutes) for minutes in (5.0, 15.0, None)]


def test_a_long_list_is_a_few_widgets(build, hand, views):
    rows = views["lines"][1].rows
    screen = build("lines", replace(views["lines"][1], rows=rows * 12))
    assert len(rows * 12) > 1000
    assert len([b for b in hand.buttons(screen) if hasattr(b, "here")]) < 20


def test_summary(build, hand, calls, views):
    screen = build("summary", views["summary"][1])
    first = next(b for b in hand.buttons(screen) if hasattr(b, "here"))
    hand.tap(first)
    hand.tap(hand.button(screen, "sign off with 30 faulty, 30 open"))
    hand.tap(hand.button(screen, "back"))
    hand.tap(hand.button(screen, "go on, 30 open"))
    assert calls.made == [("go_to", "in 2"), ("sign_off",), ("walk",), ("walk",)]


def test_signing_off_stands_out_as_the_next_step_only_when_every_line_is_ok(build, hand, views):
    summary = views["summary"][1]
    for faulty, left, status in ((summary.faulty, (), "look"), ((), summary.open, "look"), ((), (), "next")):
        screen = build("summary", replace(summary, faulty=faulty, open=left))
        assert hand.button(screen, summary.sign_off_words).status == status


def test_while_lines_are_open_the_main_action_goes_on_with_them(build, hand, views):
    for size in ((1280, 800), (800, 1280), (360, 640)):
        hand.size(*size)
        screen = build("summary", views["summary"][1])
        main, early = screen.ids.main, screen.ids.early
        assert (main.status, main.word) == ("next", "go on, 30 open")
        assert main.height >= 120
        assert min(early.size) >= 64
        screen.view = replace(views["summary"][1], open=())
        hand.frames(2)
        assert (main.word, early.opacity) == ("sign off with 30 faulty, 30 open", 0)
        assert main.width == screen.width - 32


def test_the_summary_does_what_its_button_said_when_it_was_touched(build, hand, calls, views):
    """Another tablet's marks may come in while a finger rests on it."""
    check = views["summary"][1]
    done = replace(check, open=(), sign_off_words="sign off with 30 faulty")
    for before, after, led_to in ((check, done, [("walk",)]), (done, check, []), (done, done, [("sign_off",)])):
        screen = build("summary", before)
        hand.press(screen.ids.main)
        screen.view = after
        hand.frames(3)
        hand.lift()
        assert calls.made == led_to
        calls.made.clear()


def test_an_early_sign_off_whose_counts_changed_under_the_finger_is_to_be_read_first(build, hand, calls, views):
    check = views["summary"][1]
    screen = build("summary", check)
    hand.press(screen.ids.early)
    screen.view = replace(check, sign_off_words="sign off with 31 faulty, 29 open")
    hand.frames(3)
    hand.lift()
    assert calls.made == []
    hand.tap(screen.ids.early)
    assert calls.made == [("sign_off",)]


def test_past_is_green_only_when_every_line_is_ok(build, hand, views):
    past = views["past"][1]
    for faulty, left, status in (
        (past.faulty, past.open, "look"),
        (past.faulty, (), "look"),
        ((), past.open, "look"),
        ((), (), "ok"),
    ):
        screen = build("past", replace(past, faulty=faulty, open=left))
        assert screen.ids.stands.status == status


def test_past_only_leads_back(build, hand, calls, views):
    screen = build("past", views["past"][1])
    row = next(b for b in hand.buttons(screen) if hasattr(b, "here"))
    hand.tap(row)
    hand.tap(hand.button(screen, "rig"))
    assert calls.made == [("rig",)]


def test_a_new_view_is_shown_at_once(build, hand, views):
    screen = build("walk", views["walk, plain"][1])
    screen.view = views["walk"][1]
    hand.frames()
    from checkapp.touch.widgets.facts import Facts
    from checkapp.touch.widgets.run import Run

    (facts,) = [w for w in screen.walk() if isinstance(w, Facts)]
    (run,) = [w for w in screen.walk() if isinstance(w, Run)]
    assert [fact.text for fact in reversed(facts.children)] == list(views["walk"][1].facts)
    assert run.items == views["walk"][1].run
    assert not screen.ids.undo.disabled
