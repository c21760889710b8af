"""Where the parts of a screen are that a hand works on: what was said, the list, and the foot with what is done."""

from typing import Any, Final

from kivy.clock import Clock
from kivy.properties import BooleanProperty, NumericProperty
from kivy.uix.layout import Layout

from checkapp.touch.theme import theme

Place = tuple[float, float, float, float]
NAMES: Final = ("said", "list", "foot")
_LEFT: Final = 0.55
_MOST_SAID: Final = 0.5
"""So much of the height may usually be taken by what was said where the list is below it."""


def body_places(
    width: float, height: float, gap: float, wide: bool, said: float, foot: float, most: float = _MOST_SAID
) -> dict[str, Place]:
    """Left, bottom, width and height of each part in pixels inside the body, by the heights of what was said and foot.

    Side by side on a wide screen: what was said over the foot at the left, the list at the right. Else one below the
    other: what was said, at most that part of the height, the list, the foot under the thumb.
    """
    if wide:
        left = _LEFT * (width - 2 * gap)
        right = width - left - 2 * gap
        over = max(0.0, height - foot - gap)
        return {
            "said": (0.0, foot + gap, left, over),
            "list": (left + 2 * gap, 0.0, right, height),
            "foot": (0.0, 0.0, left, foot),
        }
    said = min(said, most * height)
    above = said + gap if said else 0.0
    return {
        "said": (0.0, height - said, width, said),
        "list": (0.0, foot + gap, width, max(0.0, height - foot - gap - above)),
        "foot": (0.0, 0.0, width, foot),
    }


class SetUpBody(Layout):
    """Holds the three parts, in the order of `NAMES`; ``said_px`` and ``foot_px`` are their heights in pixels.

    ``most_said`` is the part of the height that what was said may take where the list is below it.
    """

    wide = BooleanProperty(True)
    said_px = NumericProperty(0.0)
    foot_px = NumericProperty(0.0)
    gap_px = NumericProperty("8dp")
    most_said = NumericProperty(_MOST_SAID)

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._relay = Clock.create_trigger(self.do_layout, -1)
        for name in ("pos", "size", "wide", "said_px", "foot_px", "gap_px", "most_said", "children"):
            self.fbind(name, self._relay)
        theme.follow(self._restyle, "unit")

    def _restyle(self, *_: object) -> None:
        self._relay()

    def do_layout(self, *_: object) -> None:
        """Put the parts in their places."""
        known = self.gap_px, self.wide, self.said_px, self.foot_px, self.most_said
        places = body_places(self.width, self.height, *known)
        for name, part in zip(NAMES, reversed(self.children), strict=False):
            x, y, wide, high = places[name]
            part.pos = self.x + x, self.y + y
            part.size = wide, high
