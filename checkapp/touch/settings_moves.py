"""The moves of the settings: what is chosen holds at once, and is remembered behind that."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from dataclasses import replace
from typing import TYPE_CHECKING, Any, Final

from kivy.clock import Clock

from checkapp import tongue
from checkapp.rig.errors import CheckappError
from checkapp.rig.measures import use_units
from checkapp.touch.theme import theme
from checkapp.touch.way import Way

if TYPE_CHECKING:
    from checkapp.show.preferences import Preferences
    from checkapp.show.session import Session
    from checkapp.show.settings import SettingsView

_ANEW: Final[dict[str, Callable[[Session], Any]]] = {
    "rigs": lambda session: session.rigs(),
    "rig": lambda session: session.rig_view(),
    "picture": lambda session: session.picture(),
    "setup": lambda session: session.setup.view(),
    "walk": lambda session: session.walk_again(),
    "lines": lambda session: session.line_list(),
    "summary": lambda session: session.summary(),
    "fault": lambda session: session.faults.view(),
    "faults": lambda session: session.fault_list(),
    "changeover": lambda session: session.changeover.view(),
    "history": lambda session: session.history.opened(),
    "tags": lambda session: session.tags.view(),
    "tablets": lambda session: session.tablets.view(),
}
"""How what a screen shows is asked for once more."""
_WORDS: Final = frozenset({"language", "length_unit", "area_unit"})
"""What of the settings is in the words of what a screen shows."""


class SettingsMoves(Way):
    """How the tablet is set."""

    def settings(self) -> None:
        """What can be set; it lies over the screen at the front."""
        self._tap(lambda session: _in_words(session.preferences.now), self._show_settings)

    def choose(self, shown: SettingsView, name: str, value: object) -> None:
        """Set one thing, and remember it behind that."""
        if self._taken():
            now = replace(shown.now, **{name: value})  # type: ignore[arg-type]
            Clock.schedule_once(lambda _dt: self._build_anew(now, name))  # the button that was tapped is still at work
            self._ask(lambda session: session.preferences.choose(name, value), lambda _now: None)

    def _build_anew(self, now: Preferences, name: str) -> None:
        """Words, sizes and colours differ: the screens are built anew, the one at the front at once."""
        at, shown = self._pages.at, self._pages.shown
        below_px = shown.below_px(name) if at == "settings" else 0.0  # a scan may have brought another to the front
        self._pages.forget()
        take_up(now)
        self._pages.renew("settings", _in_words(now))
        self._pages.front(at)
        if at == "settings":
            self._pages.shown.bring(name, below_px)
        if name in _WORDS:
            self._say_anew(self._pages.base)

    def _show_settings(self, view: SettingsView) -> None:
        self._pages.show("settings", view)

    def _say_anew(self, name: str) -> None:
        """What lies under the settings, in other words."""

        def said(view: Any) -> None:
            if view is not None:
                self._pages.renew(name, view)

        self._ask(lambda session: _seen_anew(session, name), said)


def take_up(preferences: Preferences) -> None:
    """Look and speak as the tablet is set."""
    theme.take(preferences)
    tongue.use(preferences.language)
    length, area = preferences.length_unit, preferences.area_unit
    use_units(None if length == "plan" else length, None if area == "plan" else area)


def _in_words(preferences: Preferences) -> SettingsView:
    from checkapp.show.settings import settings_view  # a start can do without what it loads

    return settings_view(preferences)


def _seen_anew(session: Session, name: str) -> Any:
    """What a screen shows, once more; None where that is not known or not there any more."""
    with suppress(CheckappError):
        return _ANEW[name](session) if name in _ANEW else None
    return None
