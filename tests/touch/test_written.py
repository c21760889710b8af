"""Words as pictures: no wider than they are, at their side, whole where they fit and wrapped where not."""

import pytest


@pytest.fixture
def words(hand):
    from checkapp.touch.widgets.written import Trim

    def _words(text, width=600, **kwargs):
        made = Trim(text=text, width=width, size_hint=(None, None), font_size=24, height=100, **kwargs)
        hand.show(made)
        return made

    return _words


def painted(made):
    """Left, right, low and high edge of the picture of the words."""
    from kivy.graphics import Rectangle

    (one,) = [one for one in made.canvas.children if isinstance(one, Rectangle)]
    return one.pos[0], one.pos[0] + one.size[0], one.pos[1], one.pos[1] + one.size[1]


def test_the_picture_is_no_wider_than_the_words(words):
    made = words("Kick")
    assert 0 < made.texture_size[0] < 100
    assert made.texture_size == [made._label.content_width, made._label.content_height]


@pytest.mark.parametrize("text", ["One word after another until no line is long enough for them all together", "A\nB"])
def test_words_that_do_not_fit_on_one_line_wrap_in_all_the_width(words, text):
    made = words(text)
    assert made.texture_size[0] == made.width
    assert made.texture_size[1] > 1.8 * made.font_size


def test_no_words_are_wider_than_their_place(words):
    for count in range(1, 90):
        made = words("i" * count)
        assert made.texture_size[0] <= made.width, count


@pytest.mark.parametrize(
    ("halign", "left", "right"), [("left", 0, None), ("auto", 0, None), ("right", None, 600), ("center", 300, 300)]
)
def test_they_stand_at_their_side(words, halign, left, right):
    made = words("Kick", halign=halign)
    begins, ends, _low, _high = (edge - made.x for edge in painted(made))
    if halign == "center":
        assert abs((begins + ends) / 2 - left) <= 1
    else:
        assert abs((begins - left) if left is not None else (ends - right)) <= 1


@pytest.mark.parametrize(("valign", "share"), [("bottom", 0.0), ("middle", 0.5), ("top", 1.0)])
def test_flat_words_stand_where_they_would_if_they_were_longer(words, valign, share):
    made = words("Kick", flat=True, valign=valign)
    _left, _right, low, high = painted(made)
    assert abs((low - made.y) - share * (made.height - (high - low))) <= 1


def test_other_words_are_another_picture(words, hand):
    made = words("Line 1")
    before = made.texture
    made.text = "Line 2"
    hand.frames()
    assert made.texture is not before
    assert made.texture.size == before.size


def test_words_that_look_as_they_did_are_not_painted_anew(words, hand):
    made = words("Kick")
    was, color = made.texture, list(made.color)
    made.color, made.text = (1, 0, 0, 1), "Snare"
    made.color, made.text = color, "Kick"
    hand.frames()
    assert made.texture is was
    made.color = (1, 0, 0, 1)
    hand.frames()
    assert made.texture is not was
    for name, value in (("text", "Snare"), ("font_size", 30), ("bold", True), ("text_size", (40, None))):
        was = made.texture
        setattr(made, name, value)
        hand.frames()
        assert made.texture is not was, name
    made.text = ""
    hand.frames()
    assert made.texture is None


def test_a_large_button_is_let_go_of_at_once(hand):
    from kivy.tests.common import UnitTestTouch

    from checkapp.touch.widgets.buttons import MainButton

    made = MainButton(status="ok", word="ok", size_hint=(None, None), width=300)
    hand.show(made)
    touch = UnitTestTouch(*made.center)
    touch.touch_down()
    assert made.state == "down"
    touch.touch_up()
    assert made.state == "normal"


def test_words_that_were_painted_ahead_know_that_they_were_cut(words, hand):
    from checkapp.touch.measure import width_of

    made = words("Snare", width=1.03 * width_of("Snare", 24), flat=True, shorten=True, max_lines=1)
    assert not made.is_shortened
    made.coming = "Snare below"
    hand.frames(6)
    ahead = made._ahead[1].texture
    made.text = made.coming
    hand.frames()
    assert made.texture is ahead
    assert made.is_shortened
