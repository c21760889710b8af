"""The rig's picture, to be moved with one finger, zoomed with two, and asked with a tap."""

from __future__ import annotations

from pathlib import Path
from typing import Any, Final

from kivy.clock import Clock
from kivy.graphics import PopMatrix, PushMatrix, Scale, Translate
from kivy.lang import Builder
from kivy.properties import ColorProperty, NumericProperty, ObjectProperty
from kivy.uix.stencilview import StencilView
from kivy.uix.widget import Widget

from checkapp.page.drawing import Stroke
from checkapp.page.rect import Point
from checkapp.touch.theme import theme
from checkapp.touch.widgets.plan_look import Look, Place, found, pinch
from checkapp.touch.widgets.plan_paint import paint

STEP: Final = 1.5
_WHEEL_STEP: Final = 1.15
_SETTLED_S: Final = 0.12
_TWICE_S: Final = 0.3
_SLIP_DP: Final = 1.5
"""How far a finger may slip and still tap, in the one measure."""
_LARGEST_CODE: Final = 2.0
"""The size up to which codes are zoomed, in that of codes elsewhere."""


class Plan(StencilView):
    """A stage plan. ``view`` holds its drawing; ``on_item`` tells the item that was tapped.

    A tap opens at once while the whole is shown; else after a moment, for a second tap brings back the whole. While
    fingers move, what is painted is moved and stretched; once they rest it is painted anew, sharp.
    """

    view = ObjectProperty(None)
    __events__ = ("on_item",)

    def __init__(self, **kwargs: Any) -> None:
        self.look: Look | None = None
        self._painted: Look | None = None
        self._fingers: dict[Any, Point] = {}
        self._slipped = False
        self._waiting: Any = None
        super().__init__(**kwargs)
        self._again = Clock.create_trigger(self._paint, _SETTLED_S)
        self._anew = Clock.create_trigger(self._begin, -1)
        for name in ("size", "view"):
            self.fbind(name, self._anew)
        self.fbind("pos", self._move)
        theme.follow(self._restyle, "text", "note_px")

    def on_item(self, _item: str) -> None:
        """An item was tapped."""

    @property
    def place(self) -> Place:
        """The drawing's extent in the place that there is."""
        return Place(self.view.drawing.extent, max(1.0, self.width), max(1.0, self.height))

    @property
    def most(self) -> float:
        """The largest scale."""
        return float(_LARGEST_CODE * theme.code_px / self.view.unit_m)

    def whole(self) -> None:
        """Show all there is."""
        self._see(self.place.whole())

    def zoom(self, factor: float, about: Point | None = None) -> None:
        """Zoom about a point of the window, else about the middle."""
        if self.look is None:
            return
        x, y = about or self.center
        limited = self.look.limited(factor, self.place.whole().scale, self.most)
        self._see(self.look.closer(limited, (x - self.x, y - self.y)))

    # -- painting

    def _restyle(self, *_: object) -> None:
        self._anew()

    def _begin(self, *_: object) -> None:
        """A new drawing or a new place: all of it, painted."""
        if self.view is not None and min(self.size) > 1:
            self.look = self.place.whole()
            self._paint()

    def _see(self, look: Look) -> None:
        self.look = self.place.kept(look)
        self._move()
        self._again()

    def _paint(self, *_: object) -> None:
        if self.look is None:
            return
        self._painted = look = self.look
        moved = self.view.drawing.moved(look.scale, look.right, look.up)
        self.canvas.clear()
        with self.canvas:
            PushMatrix()
            self._shift, self._stretch = Translate(0, 0, 0), Scale(1, 1, 1)
            paint(moved.shapes, float(theme.unit) / 8)
            PopMatrix()
        self._move()

    def _move(self, *_: object) -> None:
        """Move and stretch what was painted to where it is looked at from now."""
        look, painted = self.look, self._painted
        if look is None or painted is None:
            return
        factor = look.scale / painted.scale
        self._stretch.xyz = factor, factor, 1
        self._shift.xy = (
            self.x + look.right - painted.right * factor,
            self.y + look.up - painted.up * factor,
        )

    # -- fingers

    def on_touch_down(self, touch: Any) -> bool:
        """A finger, or the wheel of a mouse."""
        if self.look is None or not self.collide_point(*touch.pos):
            return False
        if touch.is_mouse_scrolling:
            if touch.button in ("scrolldown", "scrollup"):
                self.zoom(_WHEEL_STEP if touch.button == "scrolldown" else 1 / _WHEEL_STEP, touch.pos)
            return True
        touch.grab(self)
        self._slipped = bool(self._fingers)
        self._fingers[touch.uid] = touch.pos
        return True

    def on_touch_move(self, touch: Any) -> bool:
        """One finger drags, two pinch; of more the first two."""
        if touch.grab_current is not self or self.look is None:
            return False
        before = self._fingers[touch.uid]
        if not self._slipped and _far(before, touch.pos) <= _SLIP_DP * theme.unit:
            return True
        self._slipped = True
        first = list(self._fingers)[:2]
        if len(first) == 1:
            self._see(self.look.moved(touch.x - before[0], touch.y - before[1]))
        elif touch.uid in first:
            self._pinch(touch, first)
        self._fingers[touch.uid] = touch.pos
        return True

    def _pinch(self, touch: Any, two: list[Any]) -> None:
        one, other = (self._fingers[uid] for uid in two)
        after = (touch.pos, other) if two[0] == touch.uid else (one, touch.pos)
        did = pinch((one, other), after)
        self.zoom(did.factor, did.about)
        if self.look is not None:
            self._see(self.look.moved(did.right, did.up))

    def on_touch_up(self, touch: Any) -> bool:
        """The finger is gone; if it stayed where it was, that was a tap."""
        if touch.grab_current is not self:
            return False
        touch.ungrab(self)
        self._fingers.pop(touch.uid, None)
        if not self._slipped:
            self._tapped(touch.pos)
        return True

    def _tapped(self, at: Point) -> None:
        if self.look is None:
            return
        if self._waiting is not None:
            self._forget()
            self.whole()
        elif self.place.is_whole(self.look):
            self._ask(self._item_at(at))
        else:
            item = self._item_at(at)
            self._waiting = Clock.schedule_once(lambda _dt: self._ask(item), _TWICE_S)

    def _item_at(self, at: Point) -> str | None:
        if self.look is None:
            return None
        inside = at[0] - self.x, at[1] - self.y
        return found(self.view.drawing.spots, self.view.boxes, self.look, inside, float(theme.target))

    def _ask(self, item: str | None) -> None:
        self._forget()
        if item is not None:
            self.dispatch("on_item", item)

    def _forget(self) -> None:
        if self._waiting is not None:
            self._waiting.cancel()
            self._waiting = None


def _far(one: Point, other: Point) -> float:
    return max(abs(one[0] - other[0]), abs(one[1] - other[1]))


class StrokeSample(Widget):
    """A short piece of a stroke of the plan: its style, and its width in the size of a code."""

    style = ObjectProperty("solid")
    thick = NumericProperty(0.1)
    tint = ColorProperty(theme.text)

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        again = Clock.create_trigger(self._draw, -1)
        for name in ("pos", "size", "style", "thick", "tint"):
            self.fbind(name, again)
        again()

    def _draw(self, *_: object) -> None:
        self.canvas.clear()
        stroke = Stroke(((self.x, self.center_y), (self.right, self.center_y)), self.thick * theme.body_px, self.style)
        with self.canvas:
            paint((stroke,), float(theme.unit) / 8)


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
