"""The foot of the walk and of the fault sheet: ok under the thumb, faulty at the other side, steps between them."""

from typing import Any, Final

from kivy.clock import Clock
from kivy.properties import BooleanProperty, NumericProperty
from kivy.uix.layout import Layout

from checkapp.touch.theme import theme

Place = tuple[float, float, float, float]
STEPS: Final = (("back", "next"), ("undo", "skip"))
NAMES: Final = ("ok", "faulty", *STEPS[0], *STEPS[1])


def foot_height(wide: bool, main: float, unit: float) -> float:
    """Height of the foot in pixels: one row of main actions ``main`` high, or two on a narrow screen."""
    return main if wide else 2 * main + 2 * unit


def foot_places(width: float, unit: float, wide: bool, main: float, left_handed: bool) -> dict[str, Place]:
    """Where each button goes: left, bottom, width and height in pixels inside the foot.

    Side by side on a wide screen. On a narrow one ok takes the whole width above, and faulty shares the row below it
    with the small buttons: what goes back at the left, what goes on at the right. The left-handed foot is the mirror
    image, but for the order of the small ones.
    """
    gap = 3 * unit
    if wide:
        big = min(50 * unit, width * 0.31)
        room = width - 2 * (big + gap)
        places = {"ok": (width - big, 0.0, big, main), "faulty": (0.0, 0.0, big, main)}
    else:
        room = 0.5 * width
        big = width - room - gap
        places = {"ok": (0.0, main + 2 * unit, width, main), "faulty": (0.0, 0.0, big, main)}
    between = 2 * unit if wide and main > 15 * unit else unit
    wide_each, high_each = (room - between) / 2, (main - between) / 2
    if left_handed:
        places = {name: (width - x - w, y, w, h) for name, (x, y, w, h) in places.items()}
    left = 0.0 if left_handed and not wide else big + gap
    for row, names in enumerate(STEPS):
        for column, name in enumerate(names):
            places[name] = (
                left + column * (wide_each + between),
                (1 - row) * (high_each + between),
                wide_each,
                high_each,
            )
    return places


class Verdicts(Layout):
    """Two main actions side by side: what is bad first, what is good under the thumb; mirrored for the left hand."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._relay = Clock.create_trigger(self.do_layout, -1)
        for name in ("pos", "size", "children"):
            self.fbind(name, self._relay)
        theme.follow(self._restyle, "unit", "left_handed")

    def _restyle(self, *_: object) -> None:
        self._relay()

    def do_layout(self, *_: object) -> None:
        """Put the buttons in their places."""
        gap = 3 * theme.unit
        wide = (self.width - gap) / 2
        for number, button in enumerate(self.children if theme.left_handed else reversed(self.children)):
            button.pos = self.x + number * (wide + gap), self.y
            button.size = wide, self.height


class Foot(Layout):
    """Holds the buttons of the walk, in the order of `NAMES`; ``main`` is the height of the verdicts in pixels."""

    wide = BooleanProperty(True)
    main = NumericProperty("120dp")

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._relay = Clock.create_trigger(self.do_layout, -1)
        for name in ("pos", "size", "wide", "main", "children"):
            self.fbind(name, self._relay)
        theme.follow(self._restyle, "unit", "left_handed")

    def _restyle(self, *_: object) -> None:
        self._relay()

    def on_touch_up(self, touch: Any) -> bool:
        """A finger that went down elsewhere means nothing here; a button that was touched is told all the same."""
        return False

    def do_layout(self, *_: object) -> None:
        """Put the buttons in their places."""
        self.height = foot_height(self.wide, self.main, theme.unit)
        places = foot_places(self.width, theme.unit, self.wide, self.main, theme.left_handed)
        for name, button in zip(NAMES, reversed(self.children), strict=False):
            x, y, wide, high = places[name]
            button.pos = self.x + x, self.y + y
            button.size = wide, high
