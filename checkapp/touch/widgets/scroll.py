"""What scrolls: its bar can always be seen, so that nobody misses what lies below."""

from pathlib import Path
from typing import Any

from kivy.graphics import BindTexture
from kivy.graphics.stencil_instructions import StencilUse
from kivy.lang import Builder
from kivy.uix.behaviors.focus import FocusBehavior
from kivy.uix.scrollview import ScrollView


class Scrolling:
    """What scrolls with a bar that does not fade, and keeps nothing of a finger.

    With each time that it moves the toolkit has the bar follow ``bar_color`` once more, and fade to
    ``bar_inactive_color``, which is the same; the first would never be let go of, the second draws for nothing.
    """

    def update_from_scroll(self, *moved: Any) -> None:
        """Put what scrolls in its place."""
        scrolls: Any = self
        scrolls.funbind("bar_color", scrolls._change_bar_color)
        super().update_from_scroll(*moved)  # type: ignore[misc]

    def _bind_inactive_bar_color(self, *_: object) -> None:
        """The bar stays as it is."""

    def on_touch_up(self, touch: Any) -> bool:
        """Let go of a finger that scrolled.

        The toolkit notes it as one that leaves what is typed into as it is, when it has done that already: the note
        would stay forever, and with it each screen that the finger was on.
        """
        taken = bool(super().on_touch_up(touch))  # type: ignore[misc]
        if touch.grab_current is self and touch in FocusBehavior.ignored_touch:
            FocusBehavior.ignored_touch.remove(touch)
        return taken


class Scroll(Scrolling, ScrollView):
    """Scrolls up and down, with a bar that does not fade; it glides and swings at its ends unless all is to be calm.

    What fits into it is not cut out, and has no bars: cutting takes as long as painting the place twice, and bars that
    cannot be seen take time as well.
    """

    def __init__(self, **kwargs: Any) -> None:
        self._cut: tuple[list[Any], list[Any]] | None = None
        super().__init__(**kwargs)
        self.fbind("viewport_size", self._look_whether_it_fits)
        self.fbind("size", self._look_whether_it_fits)

    def scroll_to(self, widget: Any, padding: Any = 10, animate: Any = False) -> None:
        """Bring a widget into sight, at once."""
        super().scroll_to(widget, padding, animate)

    def be_still(self) -> None:
        """Take the swing out that comes of heights which were only passed through."""
        self.effect_y.reset(self.effect_y.min * self.scroll_y)
        self.effect_y.overscroll = 0.0

    def _look_whether_it_fits(self, *_: object) -> None:
        wide, high = self.viewport_size
        fits = 0 < high <= self.height + 0.5 and wide <= self.width + 0.5
        if fits and self._cut is None:
            before, after = self.canvas.before.children, self.canvas.after.children
            self._cut = _own(before[: 1 + _first(before, StencilUse)]), _own(after)
            for canvas, cut in ((self.canvas.before, self._cut[0]), (self.canvas.after, self._cut[1])):
                for one in cut:
                    canvas.remove(one)
        elif not fits and self._cut is not None:
            for canvas, cut in ((self.canvas.before, self._cut[0]), (self.canvas.after, self._cut[1])):
                for one in reversed(cut):
                    canvas.insert(0, one)
            self._cut = None


def _first(instructions: list[Any], kind: type) -> int:
    """The place of the first of a kind."""
    return next(place for place, one in enumerate(instructions) if isinstance(one, kind))


def _own(instructions: list[Any]) -> list[Any]:
    """The instructions without the textures that others bring along."""
    return [one for one in instructions if not isinstance(one, BindTexture)]


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
