"""How many taps a verdict takes, what can be read out, and that a large rig is renewed like a small one."""

from dataclasses import replace

import pytest

SIZES = [(1280, 800), (800, 1280), (360, 640)]


@pytest.fixture
def walking(tablet, home):
    at = tablet(home / "plans" / "small.toml")
    at.start_check()
    at.hand.drawing = False
    return at


def test_ok_is_one_tap_and_a_fault_two_or_with_a_note_typed_in_between(walking):
    taps = []
    tap = walking.hand.tap
    walking.hand.tap = lambda widget, *more, **how: (taps.append(widget), tap(widget, *more, **how))

    walking.tap("ok")
    assert (len(taps), walking.marks()) == (1, [("in 1", "ok", None, "JD")])
    taps.clear()
    walking.tap("faulty")
    walking.tap("hum")
    assert (len(taps), walking.screen.name) == (2, "walk")
    assert walking.marks()[-1] == ("in 2", "faulty", "hum", "JD")
    taps.clear()
    walking.tap("faulty")
    tap(walking.screen.ids.note.ids.entry)
    taps.append("note")
    walking.hand.type(walking.screen.ids.note.ids.entry, "at the far end")
    walking.tap("silent")
    assert len(taps) == 3
    assert walking.marks()[-1] == ("in 3", "faulty", "silent", "JD")


@pytest.mark.parametrize("wide", [True, False])
def test_what_the_next_line_says_is_painted_before_it_is_shown(build, hand, wide):
    from pathlib import Path

    from checkapp.journal.state import LineMark
    from checkapp.rig.planfile import load_plan
    from checkapp.show.walk import Walk, walk_view
    from checkapp.touch.widgets.written import Written

    rig = load_plan(Path(__file__).parents[2] / "plans" / "demo.toml")
    names = [line.line for line in rig.lines]

    def at(number):
        marks = {name: LineMark(name, "ok", None, None, "", None, None, "", "TA", name) for name in names[:number]}
        return walk_view(Walk(rig, "Night 1", marks, names[number], f"{names[number - 1]} ok, saved"))

    hand.size(*(SIZES[0] if wide else SIZES[2]))
    screen = build("walk", at(11))
    hand.frames(6)
    screen.view = at(12)
    hand.frames(6)
    said = {one: one.text for one in screen.walk() if isinstance(one, Written)}
    ahead = {one: one._ahead[1].texture for one in said if one._ahead is not None}
    screen.view = at(13)
    hand.frames()
    changed = [one for one, text in said.items() if one.text not in ("", text)]
    line = rig.line(names[13])
    told = {f"{line.number}  {line.name}", "13 ok", "14 of 60", f"{names[12]} ok, saved"}
    assert told <= {one.text for one in changed}
    assert [one.text for one in changed if one.texture is not ahead.get(one)] == []


def test_skip_by_a_remote_leaves_a_line_open_and_its_other_keys_mark_nothing(walking):
    for key in (281, 280, ord("."), ord("b"), 286, 27, 286, 281):
        walking.key(key)
    assert walking.screen.name == "walk"
    assert walking.line == "in 4"
    assert walking.marks() == []


def texts(screen):
    from kivy.uix.label import Label

    return {w.text: w for w in screen.walk(restrict=True) if isinstance(w, Label) and w.text and w.opacity}


@pytest.mark.parametrize("size", SIZES)
def test_the_next_two_lines_and_what_is_said_are_in_sight_in_whole(build, hand, views, size):
    from kivy.metrics import sp

    hand.drawing = False
    hand.size(*size)
    screen = build("walk", views["walk"][1])
    found = texts(screen)
    first = found["then   19  Cello"]
    (second,) = [w for text, w in found.items() if text.strip() == "20  Double bass"]
    for label in (first, second):
        assert not label.is_shortened
        assert label.font_size >= (sp(32) if size[0] > 400 else sp(18)) - 1
    assert (second.top <= first.y + 1) == (size == (800, 1280))
    said = found["Strings, STRINGS in 2"]
    assert said.font_size >= sp(40 if size[0] > 400 else 24) - 1
    assert any("about 9 min left" in text for text in found)


def test_on_a_phone_the_first_of_the_next_lines_alone_where_both_have_no_room(build, hand, views):
    hand.drawing = False
    hand.size(360, 640)
    screen = build("walk", replace(views["walk"][1], then=("19  Cello", "20  Double bass, second desk left")))
    found = texts(screen)
    assert "then   19  Cello" in found
    assert not any("20" in text for text in found)


def test_the_middle_of_a_walk_with_a_strip_of_places_below_it_is_in_sight_on_a_phone(build, hand, views):
    hand.drawing = False
    hand.size(360, 640 - 50)
    middle = build("walk", views["walk"][1]).ids.middle
    assert middle.children[0].minimum_height <= middle.height


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("left_handed", [False, True])
def test_nothing_lies_beside_ok_but_steps_and_undo_is_not_next_to_it(build, hand, views, size, left_handed):
    from checkapp.touch.theme import theme

    hand.drawing = False
    theme.left_handed = left_handed
    hand.size(*size)
    ids = build("walk", views["walk"][1]).ids
    for name in ("faulty", "undo", "finish"):
        far = max(ids.ok.x - ids[name].right, ids[name].x - ids.ok.right, ids.ok.y - ids[name].top)
        far = max(far, ids[name].y - ids.ok.top)
        assert far >= 2 * theme.unit - 0.5, name


def test_all_lines_again_is_offered_and_taken(build, hand, calls, views):
    screen = build("walk", replace(views["walk"][1], only="Done: faulty lines. Go on with all lines"))
    hand.tap(hand.button(screen, "Done: faulty lines. Go on with all lines"))
    assert calls.made == [("walk_all",)]


def test_lines_are_filtered_and_walked_by_touch(build, hand, calls, views):
    from checkapp.show.walk_only import Wanted

    view = views["lines, faulty"][1]
    screen = build("lines", view)
    for word in ("all", "open", "faulty"):
        hand.tap(hand.button(screen, word))
    hand.tap(hand.button(screen, "walk"))
    hand.tap(hand.button(screen, "zone"))
    rows = [b for b in hand.buttons(screen) if getattr(b, "title", "") == "Strings"]
    hand.tap(rows[0])
    assert [call[0] for call in calls.made] == ["list_only", "list_only", "list_only", "walk_only", "list_only"]
    wanted = [call[1] for call in calls.made]
    assert wanted == [Wanted(), Wanted("open"), Wanted("faulty"), Wanted("faulty"), Wanted("zone", "Strings")]
    screen.view = replace(view, wanted=wanted[-1])
    assert not screen.picking
    hand.frames()
    assert hand.button(screen, "zone").status == "next"
