"""The way through the app: the strip of places beside the screens, and where the way back leads."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any, Final

from kivy.clock import Clock
from kivy.uix.boxlayout import BoxLayout

from checkapp.tongue import shown_word
from checkapp.touch.theme import theme
from checkapp.touch.whereabouts import ASKING, PLACES, WAYS_BACK, Trail, is_of_a_rig, place_of, way_of
from checkapp.touch.widgets.places import Places

if TYPE_CHECKING:
    from kivy.uix.widget import Widget

    from checkapp.touch.page import Page

_BARE: Final = frozenset({"card", "camera"})
"""Screens that have all of the window: there is only the way back from them."""
_CLOSE: Final = frozenset({"symptom", "jump"})
"""Questions in the middle of a walk: they have all of a low window."""
_FOLDING: Final = frozenset({"walk", "setup"})
"""Screens that have all of a low window, and a button that brings the strip over their top."""
_LOW_UNITS: Final = 100.0
"""A window is low that is less high than this, in the one measure, and has no room for a column."""
_LOWEST_UNITS: Final = 60.0
"""In a window that is less high than this every screen whose head has room for the button folds the strip."""
_ROOTS: Final = frozenset({ASKING, "fault", *(place.screens[0] for place in PLACES)})


class Guide(BoxLayout):
    """The strip, and beside or below it the screens, which are its ``content``.

    ``screens`` are the names of those there are: a place whose screen is not among them is left out.
    """

    def __init__(self, content: Widget, screens: Iterable[str], **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.trail = Trail()
        self.content = content
        there = set(screens)
        shut = [place.name for place in PLACES if is_of_a_rig(place.screens[0]) and place.name != "rig"]
        self.places = Places(
            names=[place.name for place in PLACES if place.screens[0] in there], shut=shut, pos_hint={"top": 1}
        )
        self._going: tuple[str, str] | None = None
        self._at, self._has_head = "", False
        self._page: Page | None = None
        self.unfolded = False
        self.add_widget(content)
        self._refit = Clock.create_trigger(self.fit, -1)
        self.fbind("size", self._refit)
        for name in ("unit", "body_px", "target", "left_handed"):
            theme.fbind(name, self._refit)
        self.fit()

    def leave_for(self, place: str, screen: str) -> None:
        """A place was tapped on a screen: what is shown of that place next was come to from there."""
        self._going = (place, screen)

    def arrive(self, name: str, page: Page, is_over: bool = False) -> None:
        """A screen comes to the front; ``is_over`` tells that it lies over another, and leads back to that."""
        place, way, going = place_of(name, page.view), way_of(name, page.view), self._going
        self._going = None
        if not is_over:
            if going is not None and going[0] == way:
                self.trail.visited(*going)
            self.trail.shown(way)
        came_from = self.trail.back_from(way) if name in _ROOTS and not is_over else ""
        page.returns_to = shown_word(WAYS_BACK.get(came_from, "back")) if came_from else ""
        self.places.here = place or self.places.here
        if is_of_a_rig(name):
            self.places.shut = []
        self._at, self.unfolded, self._has_head = name, False, bool(page.corners)
        self._page = page
        self.fit()

    def told(self, name: str, view: Any) -> None:
        """A screen has a new view: some of them say how many lines are faulty."""
        faulty = {"walk": "faulty", "rig": "open_faults", "faults": "open", "fault": "faulty"}.get(name)
        if faulty is not None and view is not None:
            found = getattr(view, faulty)
            self.places.waits = {"faults": found if isinstance(found, int) else len(found)}

    def back_to(self, name: str, page: Page) -> str:
        """The screen that the way back from this one leads to, where a tap on a place led to it; else empty."""
        return self.trail.back_from(way_of(name, page.view)) if name in _ROOTS else ""

    def unfold(self, unfolded: bool = True) -> bool:
        """Bring the strip over the top of a screen that folds it, or take it away again; whether that changed it."""
        changed = self.is_folded and self.unfolded != unfolded
        if changed:
            self.unfolded = self.places.over = unfolded
            self._hide()  # the window was turned in this frame, and it is still in its place
        return changed

    @property
    def is_folded(self) -> bool:
        """Whether the strip is away from a screen that has a button for it."""
        if self._at in _BARE | _CLOSE:
            return False
        return (self._at in _FOLDING and self._is_low(_LOW_UNITS)) or (self._has_head and self._is_low(_LOWEST_UNITS))

    def _is_low(self, units: float) -> bool:
        return not self.places.column and self.height < units * theme.unit

    def fit(self, *_: object) -> None:
        """Give the strip its place, or none where the screen at the front has all of the window."""
        self.places.fit(self.size)
        self.orientation = "horizontal" if self.places.column else "vertical"
        if self._page is not None:
            self._page.folded = self.is_folded
        if not (self._at in _BARE or self.is_folded or (self._at in _CLOSE and self._is_low(_LOW_UNITS))):
            self._show()
        elif self.places.parent is self:
            Clock.schedule_once(self._hide)

    def _show(self) -> None:
        """Put the strip in its place, before the screen comes that is to stand beside it."""
        Clock.unschedule(self._hide)
        self.unfolded = self.places.over = False
        last = self.places.column and theme.left_handed
        index = 0 if last else len(self.children)
        if self.places.parent is self and self.children.index(self.places) == (0 if last else 1):
            return
        if self.places.parent is not None:
            self.places.parent.remove_widget(self.places)
        self.add_widget(self.places, min(index, len(self.children)))
        self.do_layout()

    def _hide(self, *_: object) -> None:
        """Take the strip away, now that the screen is gone that stood beside it and keeps where it was scrolled to."""
        if self.places.parent is self:
            self.remove_widget(self.places)
