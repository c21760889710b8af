"""The strip of places: in the window's shape, one tap to each place from each screen, and always a way back."""

import pytest

PLANS_SHOWN = ("rig", "set-up", "line check", "faults", "history", "tags", "settings")
ESCAPE = 27


def cells(app):
    return list(reversed(app.pages.guide.places.children))


def cell(app, place):
    return next(one for one in cells(app) if one.place == place)


@pytest.fixture
def opened(tablet, home):
    return tablet(home / "plans" / "small.toml")


def test_rows_hold_every_cell_in_order_in_as_few_rows_as_may_be():
    from checkapp.touch.widgets.places import rows_of

    assert rows_of([50.0] * 7, 360) == [list(range(7))]
    assert rows_of([60.0] * 7, 360) == [[0, 1, 2, 3], [4, 5, 6]]
    assert rows_of([100.0, 100.0, 300.0], 320) == [[0, 1], [2]]
    assert rows_of([500.0], 320) == [[0]]


@pytest.mark.parametrize(
    ("window", "column"),
    [((1280, 800), True), ((800, 1280), False), ((360, 640), False), ((640, 360), False), ((1024, 480), True)],
)
def test_a_column_is_beside_a_wide_screen_and_ends_above_its_foot(window, column):
    from checkapp.touch.widgets.places import is_column

    assert is_column(window, 120.0, 7, 8.0, 48.0) is column


SIZES = [(1280, 800), (800, 1280), (360, 640)]


@pytest.mark.parametrize("type_scale", [1.0, 1.5])
@pytest.mark.parametrize("language", ["en", "de"])
def test_words_are_whole_and_targets_large_in_every_size_language_and_type(hand, language, type_scale):
    from kivy.metrics import Metrics, dp

    from checkapp.tongue import use
    from checkapp.touch.widgets.places import Places

    Metrics.fontscale = type_scale
    use(language)
    try:
        strip = Places(names=list(PLANS_SHOWN), here="line check", waits={"faults": 12})
        for size in SIZES:
            strip.fit(size)
            strip.size = (strip.width, size[1]) if strip.column else (size[0], strip.height)
            strip.do_layout()
            for one in strip.children:
                one.texture_update()
                assert one.texture_size[1] <= 1.6 * one.font_size, f"{one.text} is on two lines at {size}"
                assert min(one.size) >= dp(48) - 0.5
                assert strip.x - 1 <= one.x
                assert one.right <= strip.right + 1
                assert strip.y - 1 <= one.y
            assert [one.here for one in reversed(strip.children)].index(True) == 2
    finally:
        use("en")


def test_beside_ok_and_faulty_there_is_nothing_else_to_hit(opened):
    opened.start_check()
    strip = cells(opened.app)
    for word in ("ok", "faulty"):
        verdict = opened.hand.button(opened.screen, word)
        assert all(one.y >= verdict.to_window(*verdict.pos)[1] + verdict.height for one in strip)


def test_the_strip_is_on_the_other_side_for_the_left_hand(opened):
    from checkapp.touch.theme import theme

    guide = opened.app.pages.guide
    assert (guide.places.x, guide.content.right) == (0, guide.right)
    theme.left_handed = True
    opened.hand.frames(4)
    assert (guide.content.x, guide.places.right) == (0, guide.right)


def test_one_edge_runs_along_the_places_at_the_outer_side(opened):
    from checkapp.touch.theme import theme

    strip = opened.app.pages.guide.places
    tops, lows = [cell.top for cell in strip.children], [cell.y for cell in strip.children]
    ((left, low, wide, high),) = strip.edges
    assert (left, low, low + high) == (strip.x, min(lows), max(tops))
    theme.left_handed = True
    opened.hand.frames(6)
    ((left, *_),) = strip.edges
    assert left + wide == strip.right
    opened.hand.size(800, 1280)
    ((_left, low, wide, _high),) = strip.edges
    assert (low, wide) == (strip.y, strip.width)


def test_where_no_rig_is_open_a_tap_leads_to_where_one_is_picked_and_says_so(tablet):
    at = tablet()
    assert [one.shut for one in cells(at.app)] == [False, True, True, True, False, True, False]
    for word in ("set-up", "line check", "faults", "tags"):
        at.go(word)
        assert at.screen.name == "rigs"
        assert at.app.pages.banner.lines == ["No rig is open. Pick one first."]
        at.key(ESCAPE)
    at.tap_row("Quarry Nights, Weighing Room")
    assert not any(one.shut for one in cells(at.app))


def test_each_place_is_one_tap_from_each_and_back_leads_to_where_one_was(opened):
    opened.start_check()
    opened.tap("faulty")
    opened.tap("hum")
    assert cell(opened.app, "faults").text == "faults 1"
    trail = [("set-up", "setup"), ("faults", "faults"), ("history", "history"), ("tags", "tags")]
    for word, screen in trail:
        opened.go(word)
        assert opened.screen.name == screen
        assert [one.text for one in cells(opened.app) if one.here] == [cell(opened.app, word).text]
    for screen in ("history", "faults", "setup", "walk"):
        opened.key(ESCAPE)
        assert opened.screen.name == screen
    opened.key(ESCAPE)
    opened.key(ESCAPE)
    assert opened.screen.name == "rig"
    opened.go("rig")
    assert opened.screen.name == "rigs"
    opened.go("line check")
    assert (opened.screen.name, opened.line) == ("walk", "in 2")


def test_the_head_says_where_back_leads_and_leads_there(opened):
    opened.go("set-up")
    assert opened.screen.name == "newcheck"
    opened.go("history")
    opened.tap("back")
    assert opened.screen.name == "newcheck"
    opened.go("faults")
    opened.go("history")
    opened.tap("faults")
    assert opened.screen.name == "faults"


def test_set_up_and_line_check_ask_what_they_need_and_then_stand_as_they_were_left(opened):
    opened.go("line check")
    assert (opened.screen.name, opened.screen.view.work) == ("newcheck", "check")
    opened.go("set-up")
    assert (opened.screen.name, opened.screen.view.work) == ("newcheck", "set-up")
    opened.hand.type(opened.screen.ids.by.ids.entry, "JD")
    opened.tap("start")
    opened.go("line check")
    assert opened.screen.name == "newcheck"
    opened.tap("start")
    opened.tap("ok")
    opened.go("set-up")
    assert opened.screen.name == "setup"
    opened.tap("walk")
    assert opened.screen.name == "walk"
    opened.go("set-up")
    opened.go("line check")
    assert (opened.screen.name, opened.line) == ("walk", "in 2")
    assert opened.marks() == [("in 1", "ok", None, "JD")]


def test_settings_lie_over_the_screen_and_lead_back_to_it(opened):
    opened.go("faults")
    opened.go("settings")
    assert opened.screen.name == "settings"
    assert [one.text for one in cells(opened.app) if one.here] == ["settings"]
    opened.key(ESCAPE)
    assert opened.screen.name == "faults"
    opened.key(ESCAPE)
    assert opened.screen.name == "rig"


def test_a_card_has_the_whole_window_and_what_lay_under_it_is_where_it_was(opened):
    opened.go("set-up")
    opened.hand.type(opened.screen.ids.by.ids.entry, "JD")
    opened.tap("start")
    (listed,) = [w for w in opened.screen.walk() if w.__class__.__name__ == "RowList"]
    listed.scroll_y = 0.4
    opened.hand.frames(4)
    opened.hand.ticks.now_s += 1
    opened.app.moves.card("STOVE")
    opened.settle()
    assert opened.screen.name == "card"
    assert opened.screen.width == opened.hand.window.width
    opened.key(ESCAPE)
    assert opened.screen.name == "setup"
    assert opened.app.pages.guide.places.parent is opened.app.pages.guide
    assert listed.scroll_y == pytest.approx(0.4)


def test_on_a_phone_the_walk_has_all_of_the_window_and_a_button_that_brings_the_strip(opened):
    opened.hand.size(360, 640)
    opened.start_check()
    pages = opened.app.pages
    assert opened.screen.height == 640
    opened.tap("go to")
    assert pages.guide.places.parent is pages
    assert pages.guide.places.y > opened.hand.button(opened.screen, "ok").top + 48
    opened.key(ESCAPE)
    assert (pages.guide.places.parent, opened.screen.name) == (None, "walk")
    opened.go("faults")
    assert opened.screen.name == "faults"
    assert pages.guide.places.parent is pages.guide
    opened.key(ESCAPE)
    assert opened.screen.name == "walk"
    opened.tap("go to")
    opened.tap("ok")
    assert (pages.guide.places.parent, opened.marks()) == (None, [("in 1", "ok", None, "JD")])


def test_on_a_phone_set_up_has_all_of_the_window_too(opened):
    opened.hand.size(360, 640)
    opened.go("set-up")
    assert opened.screen.height < 640
    opened.hand.type(opened.screen.ids.by.ids.entry, "JD")
    opened.tap("start")
    assert (opened.screen.name, opened.screen.height) == ("setup", 640)
    opened.go("rig")
    assert (opened.screen.name, opened.app.pages.guide.is_folded) == ("rig", False)


def test_the_faults_lead_back_to_where_they_were_come_to_from(opened):
    opened.start_check()
    opened.tap("faulty")
    opened.tap("hum")
    opened.go("rig")
    opened.tap_row("Faults")
    opened.tap("suspects")
    assert opened.screen.name == "fault"
    opened.tap("all faults")
    assert opened.screen.name == "faults"
    opened.tap("suspects")
    opened.tap("faults")
    opened.tap("rig")
    assert opened.screen.name == "rig"
    opened.go("line check")
    opened.tap("finish")
    opened.go("faults")
    opened.key(ESCAPE)
    assert opened.screen.name == "summary"


def test_ctrl_and_a_digit_go_to_the_places_in_their_order(opened):
    for digit, screen in enumerate(("rigs", "newcheck", "newcheck", "faults", "history", "tags", "settings"), 1):
        opened.key(48 + digit, modifiers=["ctrl", "numlock"])
        assert opened.screen.name == screen
    opened.key(ord("8"), modifiers=["ctrl"])
    opened.key(ord("4"), modifiers=["ctrl", "alt"])
    assert opened.screen.name == "settings"


def test_the_strip_comes_also_where_the_window_was_turned_this_very_moment(opened, hand):
    hand.size(800, 1280)
    pages, guide = opened.app.pages, opened.app.pages.guide
    guide.size = (640, 360)
    guide.fit()
    assert opened.screen.folded
    assert guide.places.parent is guide
    pages.unfold()
    assert guide.places.parent is pages


def test_a_strip_that_was_brought_and_then_got_its_place_is_brought_again_with_one_tap(opened, hand):
    for _ in range(2):
        hand.size(640, 360)
        opened.tap("go to")
        assert opened.app.pages.guide.places.parent is opened.app.pages
        hand.size(800, 1280)
        assert opened.app.pages.guide.places.parent is opened.app.pages.guide
