"""Rules of layouts come to what the toolkit makes of them, and nothing is written out on the way."""

import pytest

LAYOUT = """
Widget:
    height: 2 * self.width + (10 if self.opacity else 0)
    opacity: 0 if self.x > 5 else 1
    canvas:
        Rectangle:
            pos: self.x + 1, self.y
            size: self.size
"""


@pytest.fixture(autouse=True)
def toolkits(hand, monkeypatch):
    """The toolkit's own way is in use again, until the test says otherwise."""
    from kivy.lang import builder

    from checkapp.touch import rules

    monkeypatch.setattr(builder, "call_fn", rules._TOOLKITS)


def built():
    from kivy.clock import Clock
    from kivy.lang import Builder

    widget = Builder.load_string(LAYOUT)
    for width, x in ((40, 0), (70, 3), (70, 9)):
        widget.width, widget.x = width, x
        Clock.tick()
        Clock.tick_draw()
        (rectangle,) = (one for one in widget.canvas.children if type(one).__name__ == "Rectangle")
        yield widget.height, widget.opacity, tuple(rectangle.pos), tuple(rectangle.size)


def test_a_layout_comes_to_the_same():
    from checkapp.touch.rules import work_out_quietly

    before = list(built())
    assert len(set(before)) == 3
    assert work_out_quietly()
    assert list(built()) == before


def test_no_value_is_written_out():
    from kivy.factory import Factory
    from kivy.lang import Builder
    from kivy.properties import ObjectProperty
    from kivy.uix.widget import Widget

    from checkapp.touch.rules import work_out_quietly

    class Wordy:
        told = 0

        def __repr__(self):
            Wordy.told += 1
            return ""

    class Holder(Widget):
        first, second = ObjectProperty(None), ObjectProperty(None)

    Factory.register("Holder", cls=Holder)
    for quietly in (False, True):
        Wordy.told = 0
        if quietly:
            assert work_out_quietly()
        holder = Builder.load_string("Holder:\n    second: self.first")
        holder.first = Wordy()
        assert holder.second is holder.first
        assert bool(Wordy.told) != quietly
    Factory.unregister("Holder")


def test_a_toolkit_that_is_not_known_is_left_as_it_is(monkeypatch):
    from kivy.lang import builder

    from checkapp.touch import rules

    def other(args, widget):
        """A way of its own."""

    monkeypatch.setattr(builder, "call_fn", other)
    monkeypatch.setattr(rules, "_TOOLKITS", other)
    assert not rules.work_out_quietly()
    assert builder.call_fn is other


def test_the_app_has_it_in_use():
    from kivy.lang import builder

    from checkapp.touch.app import CheckApp
    from checkapp.touch.rules import work_out

    CheckApp(lambda: None)
    assert builder.call_fn is work_out
