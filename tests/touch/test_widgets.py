"""The parts on their own: the tape's type, the marks, the run as drawn, the banner."""

from dataclasses import replace
from itertools import combinations

import pytest

from checkapp.rig.errors import Fault, PlanRefused


@pytest.fixture
def tape(hand):
    from checkapp.touch.widgets.tape import Tape

    def _tape(name, width, room_px=200.0):
        made = Tape(number="18", name=name, room_px=room_px, size_hint=(None, None), width=width)
        hand.show(made)
        return made

    return _tape


@pytest.mark.parametrize("width", [344, 768, 1248])
@pytest.mark.parametrize(
    "name", ["A", "Fiddle two", "W" * 60, "Überlange Bezeichnung für die zweite Gitarre links außen, ΩΔ", "Снэйр ниже"]
)
def test_the_tape_is_never_under_32_sp_and_holds_its_words(tape, name, width):
    made = tape(name, width)
    assert made.font_size >= 32
    assert made.texture_size[0] <= made.width
    assert made.texture_size[1] <= made.height


def test_the_tape_is_as_large_as_its_width_allows(tape):
    small, large = tape("Fiddle two", 600), tape("Fiddle two", 900)
    assert large.font_size > small.font_size >= 56
    assert small.texture_size[0] + 2 * small.inset_px > 0.9 * 600


def test_the_number_stands_first(tape):
    assert tape("Fiddle two", 600).text.split() == ["18", "Fiddle", "two"]


@pytest.mark.parametrize(
    "name", ["Cello", "Fiddle owt", "W" * 30, "Überlange Bezeichnung für die zweite Gitarre links außen"]
)
def test_what_is_coming_on_the_tape_is_painted_ahead_as_it_is_then_shown(tape, hand, name):
    anew = tape(name, 600)
    text, high, seen = anew.text, anew.height, pixels(anew)
    made = tape("Fiddle two", 600)
    before = pixels(made)
    made.coming = text
    hand.frames(6)
    ahead = made._ahead[1].texture
    made.name = name
    hand.frames(6)
    assert made.texture is ahead
    assert (made.height, pixels(made)) == (high, seen)
    made.name = "Fiddle two"
    hand.frames(6)
    assert pixels(made) == before
    made.name, made.color = name, (1, 0, 0, 1)
    hand.frames(6)
    assert made.texture is not ahead
    assert pixels(made) not in (seen, before)


def test_the_tape_is_torn_off_behind_its_words(tape):
    made = tape("Oboe", 1200)
    row = made.export_as_image().texture.pixels
    wide, words = int(made.width), made.texture_size[0] + 2 * made.inset_px
    bright = [at for at in range(wide) if row[4 * (wide * int(made.height // 2) + at)] > 200]
    assert words - 10 < max(bright) <= words < 0.6 * wide


def test_the_tape_follows_the_colour_set(tape, hand):
    from checkapp.touch.theme import theme

    made = tape("Fiddle two", 600)
    theme.name = "light"
    hand.frames()
    assert list(made.color) == list(theme.ink)
    assert theme.ink != theme.tape


def pixels(widget):
    return widget.export_as_image().texture.pixels


def test_each_status_has_a_shape_of_its_own(hand, window):
    from checkapp.touch.colours import STATUS_COLOURS
    from checkapp.touch.widgets.mark import StatusMark

    drawn = {}
    for status in STATUS_COLOURS:
        mark = StatusMark(status=status, size_hint=(None, None), size=(48, 48))
        hand.show(mark)
        mark.tint = (1, 1, 1, 1)
        hand.frames()
        drawn[status] = pixels(mark)
    assert len(set(drawn.values())) == len(STATUS_COLOURS)


def test_marks_differ_where_colours_are_not_seen(hand, window):
    """Drawn in one colour, any two marks differ in at least a tenth of their square."""
    from checkapp.touch.colours import STATUS_COLOURS
    from checkapp.touch.widgets.mark import StatusMark

    drawn = []
    for status in STATUS_COLOURS:
        mark = StatusMark(status=status, size_hint=(None, None), size=(64, 64))
        hand.show(mark)
        mark.tint, mark.cut = (1, 1, 1, 1), (0, 0, 0, 1)
        hand.frames()
        drawn.append([value > 128 for value in pixels(mark)[::4]])
    for one, other in combinations(drawn, 2):
        assert sum(a != b for a, b in zip(one, other, strict=True)) > 0.1 * 64**2


def run_of(hand, items, width, height):
    from checkapp.touch.widgets.run import Run

    run = Run(items=items, size_hint=(None, None), size=(width, height))
    hand.show(run)
    return run


@pytest.mark.parametrize(
    ("width", "height", "rows", "size_px"),
    [(2000, 300, 1, 32), (2000, 150, 1, 32), (768, 560, 2, 32), (600, 90, 1, 18), (344, 170, 2, 18), (344, 131, 2, 14)],
)
def test_the_run_is_as_large_as_its_place_takes_it(hand, views, width, height, rows, size_px):
    run = run_of(hand, views["walk"][1].run, width, height)
    assert (len(run.rows), run.size_px) == (rows, size_px)
    assert run.children == []


def test_a_run_without_room_is_shown_by_whole_rows_the_source_first(hand, views):
    items = views["walk"][1].run
    run = run_of(hand, items, 344, 76)
    seen = []
    for page in range(3):
        (more,) = run.children
        assert more.text == f"{page % len(run.fit.pages) + 1} of {len(run.fit.pages)}"
        assert sum(run.fit.pages and [run.lettering.row_height(row, run.size_px) for row in run.rows]) <= 76
        assert all(place.code_right <= more.x - run.x for row in run.rows for place in row)
        seen.append([place.item for row in run.rows for place in row])
        hand.tap(more)
    assert seen[0][0] == items[0]
    assert seen[1] not in (seen[0], [])
    run.items = items[:3]
    hand.frames()
    assert run.children == []
    assert len(run.rows) == 1


def test_a_run_that_is_coming_is_made_ready_once_another_was_shown(hand, views):
    from checkapp.touch.widgets.run import _laid_out
    from checkapp.touch.widgets.run_paint import written

    items = views["walk"][1].run
    run = run_of(hand, items, 1248, 300)
    run.coming = tuple(replace(item, label=f"{item.label}0") for item in items)
    hand.frames(6)
    made = _laid_out.cache_info().misses, written.cache_info().misses
    run.items = run.coming
    hand.frames(6)
    assert (_laid_out.cache_info().misses, written.cache_info().misses) == made
    assert [place.item for row in run.rows for place in row] == [one for one in run.coming if one.kind != "supply"]


def test_a_run_that_was_drawn_ahead_looks_as_if_it_was_not(hand, views):
    items = views["walk"][1].run
    coming = tuple(replace(item, label=f"{item.label}0") for item in items)
    run = run_of(hand, items, 1248, 300)
    run.coming = coming
    hand.frames(6)
    ahead = run._ready
    run.items = coming
    hand.frames(6)
    assert run.canvas.children[-1] is ahead.strokes
    assert pixels(run) == pixels(run_of(hand, coming, 1248, 300))


def test_what_a_run_no_longer_shows_is_let_go_of_in_the_next_frame(hand, views):
    """A canvas that was added to another is part of a ring: the memory it holds would wait for a search for rubbish."""
    items = views["walk"][1].run
    run = run_of(hand, items, 1248, 300)
    first = run._shown
    run.coming = items[:3]
    hand.frames(6)
    never_shown = run._ready
    run.coming = items[:4]
    hand.frames(6)
    assert (never_shown.strokes.children, never_shown.fills.children) == ([], [])
    assert first.strokes.children
    run.items = items[:4]
    hand.frames(6)
    assert (first.strokes.children, first.fills.children) == ([], [])
    assert run._shown is run._ready
    run.coming = items[:2]
    hand.frames(6)
    assert run._shown.strokes.children, "what is shown was let go of"


def test_what_was_drawn_ahead_is_not_shown_in_the_colours_of_before(hand, views):
    from checkapp.touch.theme import theme

    items = views["walk"][1].run
    run = run_of(hand, items[:3], 1248, 300)
    run.coming = items
    hand.frames(6)
    theme.name = "light"
    hand.frames(6)
    run.items = items
    hand.frames(6)
    assert pixels(run) == pixels(run_of(hand, items, 1248, 300))


def test_the_run_shows_how_an_item_stands(hand, views):
    run = run_of(hand, views["walk"][1].run, 1248, 300)
    before = pixels(run)
    run.items = tuple(replace(item, status="open") for item in run.items)
    hand.frames(6)
    assert pixels(run) != before


def test_the_banner_scrolls_rather_than_cover_the_verdicts(hand, window):
    from checkapp.touch.pages import Pages

    pages = Pages()
    hand.show(pages)

    faults = (Fault("plan.toml", n, "", "", "", "something is wrong", "something else is right") for n in range(60))
    pages.failed(PlanRefused(faults))
    hand.frames()
    assert pages.banner.height <= 0.6 * window.height + 1
    assert pages.banner.top == window.height
    assert pages.put_away()
    assert not pages.put_away()


def test_a_run_is_a_row_of_a_list_like_any_other(hand, views):
    from checkapp.touch.widgets.rows import RowList
    from checkapp.touch.widgets.run import ListedRun

    made = RowList(rows=[{"kind": "ListedRun", "items": views["walk"][1].run}])
    hand.show(made)
    (shown,) = (one for one in made.walk() if isinstance(one, ListedRun))
    assert shown.rows


def test_what_fits_into_a_scroll_is_drawn_without_bars_and_uncut(hand):
    from kivy.graphics import Rectangle
    from kivy.uix.widget import Widget

    from checkapp.touch.widgets.scroll import Scroll

    def drawn(canvas):
        return [one for one in canvas.children if isinstance(one, Rectangle)]

    inside = Widget(size_hint=(1, None), height=900)
    scroll = Scroll(size_hint=(None, None), size=(300, 400))
    scroll.add_widget(inside)
    hand.show(scroll)
    cut = len(drawn(scroll.canvas.before)), len(drawn(scroll.canvas.after))
    assert min(cut) > 0
    bars = pixels(scroll)
    for _ in range(2):
        inside.height = 300
        hand.frames(6)
        assert drawn(scroll.canvas.before) + drawn(scroll.canvas.after) == []
        assert len(set(pixels(scroll))) == 1
        inside.height = 900
        hand.frames(6)
        assert (len(drawn(scroll.canvas.before)), len(drawn(scroll.canvas.after))) == cut
        assert pixels(scroll) == bars


@pytest.mark.parametrize("name", ["dark", "light", "dim"])
def test_the_ground_of_a_tape_is_the_same_in_its_words_and_around_them(tape, hand, name):
    from checkapp.touch.theme import theme

    made = tape("Oboe", 1200)
    theme.name = name
    hand.frames(6)
    (wide, high), tooth = map(int, made.size), int(theme.unit) + 1
    data, long = pixels(made), int(made.texture_size[0] + 2 * made.inset_px)
    ground = bytes(round(255 * part) for part in theme.tape)
    words_begin, words_end = int(made.inset_px), int(made.rim_px)

    def at(column, row):
        return data[4 * (row * wide + column) :][:4]

    assert {at(column, row) for row in range(2 * words_end) for column in range(tooth, long - tooth)} == {ground}
    assert {at(column, row) for row in range(high) for column in range(tooth, words_begin + 3)} == {ground}
