"""The screens in use: which lies over which, where the way back leads, and the blink that says a scan was taken."""

import gc
import time
from dataclasses import replace
from itertools import pairwise
from weakref import ref

import pytest


@pytest.fixture
def pages(hand, calls, views):
    from checkapp.touch.pages import Pages

    hand.drawing = False
    pages = Pages()
    pages.moves = calls
    hand.show(pages)
    pages.renew("card", views["card"][1])
    pages.show("setup", views["setup"][1])
    return pages


@pytest.mark.parametrize(
    ("base", "word"), [("setup", "set-up"), ("walk", "walk"), ("rig", "rig"), ("newcheck", "back")]
)
def test_the_way_back_from_a_card_says_where_it_leads(pages, views, base, word):
    pages.show(base, views[base][1])
    pages.front("card")
    assert (pages.base, pages.under) == (base, base)
    assert pages.shown.came_from == word


def test_another_card_over_a_card_leads_back_to_what_lies_under_both(pages, views):
    pages.front("card")
    pages.show("card", views["card of a cable"][1])
    assert (pages.at, pages.under) == ("card", "setup")


def test_a_card_that_the_camera_read_lies_over_the_camera_and_that_over_set_up(pages, views, hand, monkeypatch):
    from checkapp.touch.screens.camera import CameraScreen

    monkeypatch.setattr(CameraScreen, "on_enter", lambda self: None)
    pages.show("camera", None)
    pages.front("card")
    assert (pages.base, pages.under, pages.shown.came_from) == ("setup", "camera", "camera")
    pages.front("camera")
    assert (pages.base, pages.under, pages.shown.came_from) == ("setup", "setup", "set-up")
    hand.frames(2)  # until the screen is told that it is at the front: later it would look for a real camera


def test_a_scan_is_seen_from_the_side_for_a_moment(pages, hand):
    def framed():
        return bool(pages.canvas.after.children)

    assert not framed()
    pages.blink("faulty")
    assert framed()
    pages.blink("ok")
    assert framed()
    hand.until(lambda: not framed(), "the frame to go")


def test_where_all_is_to_be_calm_the_frame_of_a_scan_stands_until_the_next_tap_or_key(pages, hand):
    from checkapp.touch.pages import _BLINK_S
    from checkapp.touch.theme import theme

    theme.calm = True
    for end in (lambda: hand.tap_at(pages, 5, 5), lambda: hand.key(304)):
        pages.blink("faulty")
        time.sleep(1.2 * _BLINK_S)
        hand.frames(2)
        assert pages.canvas.after.children
        end()
        assert not pages.canvas.after.children


def test_screens_that_are_built_anew_have_the_view_that_they_had(pages, views, hand):
    pages.show(*views["walk"])
    pages.lead("LM01 is to blame")
    pages.say(["ZZ99 is not of this rig"])
    pages.unsaved("in 3 is not saved")
    before = pages.shown
    pages.forget()
    pages.front("walk")
    assert pages.shown is not before
    assert (pages.shown.view, pages.shown.lead) == (before.view, "LM01 is to blame")
    assert (list(pages.banner.lines), pages.strip.words) == (["ZZ99 is not of this rig"], "in 3 is not saved")
    pages.front("setup")
    assert pages.shown.view == views["setup"][1]


def test_what_is_said_stands_over_the_screen_until_it_is_put_away(pages, hand):
    pages.say(["ZZ99 is not of this rig"])
    assert pages.banner.parent is pages
    assert pages.put_away()
    assert pages.banner.parent is None


def test_after_a_change_of_size_no_row_of_before_is_used_again(hand, calls):
    from kivy.uix.recycleview import views

    from checkapp.touch.pages import Pages
    from checkapp.touch.theme import theme
    from checkapp.touch.widgets.notice import ListedNotice

    theme.text_scale = 1.5
    kept = ListedNotice()
    views._cached_views[ListedNotice].append(kept)
    pages = Pages()
    pages.moves = calls
    pages.forget()
    assert not views._cached_views[ListedNotice]
    theme.text_scale = 1.0
    hand.frames(2)
    assert (kept.most_px, kept.more_px) == (1.25 * theme.name_px, theme.body_px)


def test_screens_that_were_put_away_leave_nothing_behind(pages, hand, views):
    names = ("walk", "setup", "lines", "card")
    for name in names:
        pages.renew(name, views[name][1])

    def built_anew():
        pages.forget()
        for name in names:
            pages.front(name)
            hand.frames(1)

    built_anew()
    known = what_is_kept()
    for _ in range(2):
        built_anew()
    assert what_is_kept() == known


def what_is_kept():
    """How many widgets there are, of ours and of layouts that follow what; and what follows the theme."""
    import gc

    from kivy.lang import builder
    from kivy.uix.widget import Widget

    from checkapp.touch.theme import theme

    gc.collect()
    following = sum(len(theme.get_property_observers(name)) for name in theme.properties())
    widgets = sum(issubclass(type(one), Widget) for one in gc.get_objects())
    return {"widgets": widgets, "layouts": len(builder._handlers), "following": following}


@pytest.mark.parametrize("kind", ["Scroll", "RowList"])
def test_a_list_follows_the_colour_of_its_bar_once_however_far_it_is_scrolled(hand, kind):
    from kivy.uix.label import Label

    from checkapp.touch.theme import theme
    from checkapp.touch.widgets.rows import RowList
    from checkapp.touch.widgets.scroll import Scroll

    made = {"Scroll": Scroll, "RowList": RowList}[kind]()
    if kind == "Scroll":
        made.add_widget(Label(size_hint_y=None, height=2000))
    hand.show(made)
    for step in range(10):
        made.scroll_y = 1 - step / 10
        hand.frames(2)
    assert len(made.get_property_observers("bar_color")) <= 2
    theme.name = "light"
    assert list(made._bar_color) == list(made.bar_color) == list(theme.quiet)


@pytest.mark.parametrize("name", ["lines", "settings"])
def test_a_finger_that_scrolled_and_was_lifted_elsewhere_is_let_go_of(pages, hand, views, name):
    from kivy.tests.common import UnitTestTouch
    from kivy.uix.behaviors.focus import FocusBehavior
    from kivy.uix.scrollview import ScrollView
    from kivy.uix.widget import Widget

    class Elsewhere(Widget):
        def on_touch_up(self, touch):
            return touch.grab_current is None

    pages.show(name, views[name][1])
    hand.window.add_widget(Elsewhere())
    hand.size(360, 640)
    scrolls = next(one for one in pages.shown.walk(restrict=True) if isinstance(one, ScrollView))
    before, (x, y) = scrolls.scroll_y, scrolls.to_window(*scrolls.center)
    touch = UnitTestTouch(x, y)
    touch.touch_down()
    for step in range(1, 8):
        touch.touch_move(x, y + 20 * step)
        hand.frames(1)
    touch.touch_up()
    assert scrolls.scroll_y < before
    assert FocusBehavior.ignored_touch == []


def test_screens_that_were_let_go_of_give_their_memory_back_by_themselves(pages, views, hand):
    shown = []
    for screen, view in views.values():
        if view is not None:
            pages.show(screen, view)
            hand.frames(2)
            shown.append(ref(pages.shown))
    gc.disable()
    try:
        pages.forget()
        pages.show("first", views["first"][1])
        assert any(screen() is not None for screen in shown)
        hand.until(lambda: not any(screen() for screen in shown), "the memory of the screens")
    finally:
        gc.enable()


def test_beside_the_faults_stands_how_many_lines_are_faulty_by_whatever_was_told_last(pages, views):
    fault = views["fault"][1]
    for name, view, many in (
        ("walk", replace(views["walk"][1], faulty=5), 5),
        ("fault", fault, len(fault.faulty)),
        ("fault", replace(fault, faulty=()), 0),
        ("setup", views["setup"][1], 0),
    ):
        pages.show(name, view)
        assert pages.guide.places.waits == {"faults": many}


def test_screens_of_before_are_gone_before_many_are_built_anew(pages, views, hand):
    names = ("walk", "setup", "lines", "card")
    for name in names:
        pages.show(*views[name])
        hand.frames(1)
    before = [ref(screen) for screen in pages.manager.screens]
    gc.collect()
    assert all(screen() is not None for screen in before)
    gc.disable()  # the toolkit's own making would have it look through all at any time
    try:
        pages.forget()
        for name in names[:3]:
            pages.front(name)
            hand.frames(1)
    finally:
        gc.enable()
    assert [screen() for screen in before] == [None] * len(before)


def test_a_screen_is_told_that_it_is_left_however_soon_the_next_ones_come(pages, views, hand):
    """Two screens may come to the front in one frame: with an answer, and with a tap or a scan."""
    told = []
    names = ("setup", "walk", "lines")
    for name in names:
        pages.show(*views[name])
        hand.frames(2)
        pages.shown.bind(
            on_enter=lambda screen: told.append(("enter", screen.name)),
            on_leave=lambda screen: told.append(("leave", screen.name)),
        )
    told.clear()
    for name in ("setup", "walk", "lines", "setup"):
        pages.front(name)
    hand.frames(3)
    assert told == [
        (what, name)
        for before, after in pairwise(("lines", "setup", "walk", "lines", "setup"))
        for what, name in (("enter", after), ("leave", before))
    ]
    assert [screen.parent for screen in pages.manager.screens] == [pages.manager, None, None]
    pages.front("walk")
    told.clear()
    pages.forget()
    assert told == [("enter", "walk"), ("leave", "setup"), ("leave", "walk")]


def test_what_is_held_of_a_screen_of_before_keeps_that_screen_alone(pages, views, hand):
    for name in ("walk", "setup", "lines"):
        pages.show(*views[name])
        hand.frames(2)
    held = hand.button(pages.manager.get_screen("setup"), "undo")
    before = {screen.name: ref(screen) for screen in pages.manager.screens}
    pages.forget()
    pages.front("walk")
    hand.frames(2)
    gc.collect()
    assert [name for name, screen in before.items() if screen() is not None] == ["setup"]
    del held
    gc.collect()
    assert before["setup"]() is None
