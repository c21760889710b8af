"""What has to be in sight, whole or large on single screens, in every size."""

import pytest
from sweeping import scrolled, shown, sticking_out

SIZES = [(1280, 800), (800, 1280), (360, 640), (640, 360)]
SCALES = [(1.0, 1.0), (1.0, 1.5), (2.0, 1.5)]


@pytest.fixture(params=SCALES, ids=lambda scale: f"density {scale[0]} type {scale[1]}")
def scale(request, hand):
    from kivy.metrics import Metrics

    Metrics.density, Metrics.fontscale = request.param
    hand.drawing = False
    return request.param


@pytest.fixture(params=SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
def size(request, hand, scale):
    if request.param == (640, 360) and scale[1] > 1:
        request.param = (740, 480)
    hand.size(int(request.param[0] * scale[0]), int(request.param[1] * scale[0]))
    return request.param


def test_walk_at_arms_length(build, hand, size, scale, views):
    from kivy.metrics import dp, sp

    from checkapp.touch.widgets.tape import Tape

    for name in ("walk", "walk, long", "walk, plain"):
        screen = build(*views[name])
        (tape,) = [w for w in shown(screen) if isinstance(w, Tape)]
        assert tape.font_size >= sp(32) - 1
        assert tape.texture_size[1] <= tape.height + 1
        ok, faulty = screen.ids.ok, screen.ids.faulty
        assert min(ok.height, faulty.height) >= dp(120) - 0.5
        level = max(ok.x - faulty.right, faulty.x - ok.right)
        upright = max(ok.y - faulty.top, faulty.y - ok.top)
        assert max(level, upright) >= dp(16) - 0.5


@pytest.mark.parametrize("view", ["walk", "walk, long"])
def test_progress_and_what_is_left_are_always_in_sight(build, hand, size, view, views):
    screen = build(*views[view])
    from kivy.uix.label import Label

    words = {w.text: w for w in shown(screen) if isinstance(w, Label)}
    for text in ("18 of 60", "15 ok", "2 faulty", "43 open"):
        x, y = words[text].to_window(*words[text].center)
        assert 0 < x < hand.window.width
        assert 0 < y < hand.window.height
        assert not scrolled(words[text], screen)


def test_the_middle_of_an_ordinary_walk_can_be_seen_without_scrolling(build, hand, views):
    from dataclasses import replace

    for width, height in ((1280, 800), (800, 1280)):
        hand.size(width, height)
        screen = build("walk", replace(views["walk"][1], status="faulty", said="hum, JD"))
        middle = screen.ids.middle
        assert middle.children[0].minimum_height <= middle.height
    hand.size(1280, 800)
    screen = build(*views["walk"])
    screen.lead = "source in 4, 59 %"
    hand.frames(4)
    assert screen.ids.middle.children[0].minimum_height <= screen.ids.middle.height


@pytest.mark.parametrize("said", ["", "hum, JD"])
def test_on_a_small_phone_the_run_is_there_in_whole_rows_and_the_next_line_in_whole_words(build, hand, views, said):
    from dataclasses import replace

    from checkapp.touch.widgets.run import Run

    hand.size(360, 640)
    screen = build("walk", replace(views["walk"][1], status="faulty" if said else "open", said=said))
    middle = screen.ids.middle
    assert middle.children[0].minimum_height <= middle.height
    (run,) = [w for w in screen.walk() if isinstance(w, Run)]
    assert 0 < run.lettering.height(run.rows, run.size_px) <= run.height
    (then,) = [w for w in screen.walk() if getattr(w, "text", "").startswith("then")]
    assert then.text == "then   19  Cello"
    assert not then.is_shortened


def test_small_buttons_of_the_walk_are_56_dp_in_one_type_and_finish_is_far_from_undo(build, hand, size, scale, views):
    from kivy.metrics import dp

    screen = build(*views["walk"])
    ids = screen.ids
    assert len({ids[name].font_size for name in ("back", "next", "undo", "skip", "lines", "finish")}) == 1
    assert all(min(ids[name].size) >= dp(56) - 0.5 for name in ("back", "next", "undo", "skip"))
    assert ids.finish.y - ids.undo.top > dp(64)


@pytest.mark.parametrize("said", ["open", "faulty, hum, loose at the far end of the box, JD"])
def test_the_port_of_a_listed_line_is_never_cut(build, hand, size, scale, views, said):
    from dataclasses import replace

    from checkapp.touch.widgets.rows import ListedLine

    view = views["lines"][1]
    rows = tuple(replace(row, said=said) for row in view.rows[:3])
    screen = build("lines", replace(view, rows=rows, here=rows[0].line))
    found = [w for w in screen.walk() if isinstance(w, ListedLine)]
    assert found
    for row in found:
        (port,) = [w for w in row.walk(restrict=True) if getattr(w, "text", "") == row.port]
        assert not port.is_shortened
        assert port.right <= row.right


TROUBLE = (
    "in 17 silent is not saved yet: the journal cannot be written: look whether its disk is full, shut or unplugged; "
    "it is kept and tried again. 11 more wait behind it."
)


@pytest.mark.parametrize("wide_and_high", SIZES[:3])
@pytest.mark.parametrize("name", ["walk, not saved", "summary", "setup", "rig"])
def test_every_screen_leaves_room_for_what_is_not_saved(hand, calls, views, name, wide_and_high):
    from checkapp.touch.pages import Pages

    hand.drawing = False
    hand.size(*wide_and_high)
    pages = Pages()
    pages.moves = calls
    hand.show(pages)
    pages.show(*views[name])
    hand.frames(3)
    high = pages.shown.height
    pages.unsaved(TROUBLE)
    hand.frames(6)
    assert pages.strip.height <= 0.3 * pages.height
    assert pages.strip.y >= pages.shown.top - 1
    words = next(label for label in pages.strip.walk(restrict=True) if getattr(label, "texture_size", None))
    assert words.texture_size[1] <= words.height + 1 <= pages.strip.height
    wrong = [fault for parent in [pages, *shown(pages)] for fault in sticking_out(parent)]
    assert not wrong, "\n".join(wrong)
    pages.unsaved("")
    hand.frames(4)
    assert pages.shown.height == high
