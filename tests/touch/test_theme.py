"""The look follows how the tablet is set, and the density and the type size of the system with it."""

from dataclasses import replace
from pathlib import Path

import pytest

import checkapp.touch
from checkapp.show.preferences import VALUES, Preferences

ROOM = Path(checkapp.touch.__file__).parent
USUAL = Preferences(language="en")
MEASURES = ("note_px", "body_px", "code_px", "name_px", "line_px", "unit", "target", "step", "row", "action")


@pytest.fixture
def theme(hand):
    from checkapp.touch.theme import theme

    return theme


def measures(theme):
    return {name: getattr(theme, name) for name in MEASURES}


@pytest.mark.parametrize("scale", VALUES["text_scale"])
def test_text_scale_makes_all_type_so_much_larger_and_nothing_else(theme, scale):
    usual = measures(theme)
    theme.take(replace(USUAL, text_scale=scale))
    for name, size in measures(theme).items():
        assert size == pytest.approx(usual[name] * (scale if name.endswith("_px") else 1.0))


def test_gloves_make_all_that_is_tapped_larger_and_no_type(theme):
    usual = measures(theme)
    theme.take(replace(USUAL, gloves=True))
    larger = {name: size for name, size in measures(theme).items() if size != usual[name]}
    assert larger == {"target": 64.0, "step": 64.0, "row": 80.0, "action": 144.0}
    theme.take(USUAL)
    assert measures(theme) == usual


def test_sizes_follow_density_and_type_size_of_the_system_however_it_is_set(theme):
    from kivy.metrics import Metrics

    theme.take(replace(USUAL, text_scale=1.5, gloves=True))
    before = measures(theme)
    Metrics.fontscale = 1.25
    assert theme.body_px == pytest.approx(1.25 * before["body_px"])
    assert theme.target == before["target"]
    Metrics.density = 2.0
    assert theme.body_px == pytest.approx(2.5 * before["body_px"])
    assert theme.target == 2 * before["target"]


@pytest.mark.parametrize("calm", [False, True])
def test_a_list_glides_on_and_swings_back_unless_all_is_to_be_calm(theme, hand, calm):
    theme.take(replace(USUAL, calm=calm))
    moving = theme.effect(min=-2000, max=0)
    moving.value = -1000
    moving.start(0, t=1.0)
    moving.update(40, t=1.02)
    moving.stop(80, t=1.04)
    let_go_at = moving.value
    hand.frames(3)
    assert (moving.value == let_go_at) == calm
    moving.start(0, t=2.0)
    moving.update(9000, t=2.02)
    assert (moving.value <= moving.max) == calm


def test_all_that_scrolls_is_of_one_kind(theme):
    from checkapp.touch.page import Page  # noqa: F401  it loads what scrolls
    from checkapp.touch.widgets.rows import RowList
    from checkapp.touch.widgets.scroll import Scroll

    theme.take(replace(USUAL, calm=True))
    for kind in (Scroll, RowList):
        assert kind().effect_cls is theme.effect, kind
    for layout in ROOM.rglob("*.kv"):
        assert "ScrollView" not in layout.read_text(encoding="utf-8"), layout.name


def test_widgets_that_name_sizes_of_their_own_have_them_at_the_text_scale(theme):
    from checkapp.touch.widgets.facts import Facts
    from checkapp.touch.widgets.notice import ListedNotice, Notice
    from checkapp.touch.widgets.tape import Tape

    theme.take(replace(USUAL, text_scale=1.5))
    tape, notice = Tape(), Notice()
    assert (tape.least_px, tape.most_px, Tape(least_px=20).least_px) == (48, 240, 20)
    assert (notice.most_px, notice.more_px, ListedNotice().most_px, Facts().size_px) == (84, 27, 60, 36)


@pytest.mark.parametrize("calm", [False, True])
def test_where_one_types_the_cursor_blinks_unless_all_is_to_be_calm(theme, calm):
    from checkapp.touch.widgets.field import Entry

    theme.take(replace(USUAL, calm=calm))
    assert Entry().cursor_blink != calm
