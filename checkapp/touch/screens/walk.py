"""The walk: one line after another, each marked with one touch."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any, Final, NamedTuple

from kivy.clock import Clock
from kivy.factory import Factory
from kivy.lang import Builder
from kivy.properties import BooleanProperty, NumericProperty, ObjectProperty, StringProperty

from checkapp.tongue import tr, trp
from checkapp.touch import listing
from checkapp.touch.keys import ESCAPE, NUMBER_KEYS, WALK_KEYS
from checkapp.touch.measure import width_of
from checkapp.touch.page import Page
from checkapp.touch.theme import theme
from checkapp.touch.widgets import facts as _facts  # noqa: F401  these layouts are used in ours
from checkapp.touch.widgets import foot as _foot  # noqa: F401
from checkapp.touch.widgets import progress as _progress  # noqa: F401
from checkapp.touch.widgets import run as _run  # noqa: F401
from checkapp.touch.widgets import scroll as _scroll  # noqa: F401
from checkapp.touch.widgets import tape as _tape  # noqa: F401

if TYPE_CHECKING:
    from checkapp.show.views import WalkView

_LEAST_THEN: Final = 0.8
"""Both of the next lines stand in a row down to this size of type, in the size that they are meant to have."""

_NO_COUNTS: Final = ("", "", "", "", "")


class Ahead(NamedTuple):
    """What the screen is going to show once the line is ok, as far as it is known: painted while nobody waits."""

    tape: str = ""
    say: str = ""
    facts: tuple[str, ...] = ()
    counts: tuple[str, str, str, str, str] = _NO_COUNTS
    progress: str = ""
    then: tuple[str, str] = ("", "")
    message: str = ""


class WalkScreen(Page):
    """The line that is being listened to.

    A button marks the line that was shown when it was touched, not the one that is there when it is let go. ``lead`` is
    who is to blame the most while lines are faulty. What comes ``ahead`` is told once the view is drawn.
    """

    wide = BooleanProperty(True)
    roomy = BooleanProperty(True)
    tall = BooleanProperty(False)
    cramped = BooleanProperty(False)
    narrow = BooleanProperty(False)
    said_px = NumericProperty(18)
    saving = StringProperty("")
    lead = StringProperty("")
    touched = ObjectProperty(None)
    ahead = ObjectProperty(Ahead())
    _line = ""
    _leaving = False

    def __init__(self, **kwargs: Any) -> None:
        look = Clock.create_trigger(self._look_ahead)
        self._once_drawn = Clock.create_trigger(lambda _dt: look())
        super().__init__(**kwargs)

    def on_kv_post(self, *_: object) -> None:
        """The layout is there: show the run in it."""
        self._show_run()
        self._say_below()

    def on_narrow(self, *_: object) -> None:
        """The counts stand below the buttons, or do not any more."""
        self._say_below()

    def on_view(self, *_: object) -> None:
        """A new view is there, which says what became of the last tap; a new line begins at its name."""
        self.saving, self._leaving = "", False
        if self.ids:
            self._show_run()
            self._say_below()
            if self.view.line != self._line:
                self.ids.middle.scroll_y = 1
        self._line = self.view.line
        self._once_drawn()

    def _look_ahead(self, _dt: float) -> None:
        """Tell what comes next."""
        walk, coming = self.view, self.view.coming
        self.ahead = Ahead(
            tape=walk.then[0] if walk.then else "",
            say=coming.say,
            facts=coming.facts,
            counts=self.counts_of(walk, whole=True, more_ok=1),
            progress=coming.progress,
            then=self._coming_then(walk),
            message=coming.message,
        )
        self.ids.run.coming = coming.run
        for words in self.ids.below.children:
            words.coming = self.ahead.counts

    def _show_run(self) -> None:
        """Not from the layout, where the toolkit writes each value out for its log: each item of a run, at each tap."""
        self.ids.run.items = self.view.run

    def _say_below(self) -> None:
        """The counts below the buttons, there only where they are needed: what cannot be seen takes time as well."""
        below = self.ids.get("below")
        if below is None:
            return
        if self.narrow != bool(below.children):
            below.clear_widgets()
            if self.narrow:
                below.add_widget(Factory.CountsBelow())
        for words in below.children:
            words.said = self.counts_of(self.view, whole=True)

    def said_of(self, walk: WalkView) -> str:
        """What the line's mark says; nothing while it has none."""
        return "" if walk.status == "open" else listing.mark_words(walk.status, walk.said)

    def counts_of(self, walk: WalkView, whole: bool, more_ok: int = 0) -> tuple[str, str, str, str, str]:
        """How many lines are ok and open, faulty, to be settled and not saved; nothing for none of the last three.

        Nothing at all where they are not to be said ``whole``. ``more_ok``: once so many open ones are ok.
        """
        if not whole:
            return _NO_COUNTS
        return (
            tr("{count} ok", count=walk.ok + more_ok),
            tr("{count} open", count=walk.open - more_ok),
            tr("{count} faulty", count=walk.faulty) if walk.faulty else "",
            tr("{count} to settle", count=walk.disputed) if walk.disputed else "",
            tr("{count} not saved", count=walk.waiting) if walk.waiting else "",
        )

    def next_word(self) -> str:
        """The word for a step on: not that of what is to be done next."""
        return trp("walk", "next")

    def time_of(self, walk: WalkView) -> str:
        """How long the rest takes, and a line."""
        return ", ".join(words for words in (walk.left, walk.pace) if words)

    def aside_of(self, walk: WalkView, said: str, roomy: bool, size_px: float, width_px: float) -> str:
        """Beside what was said last: the show, or on a small screen how long the rest takes; where there is room."""
        aside = walk.show_title if roomy else walk.left
        both = 1.05 * (width_of(said, size_px) + width_of(aside, size_px)) + 6 * float(theme.unit)
        return "" if said == aside or both > width_px else aside

    def then_of(self, walk: WalkView, width_px: float, size_px: float) -> tuple[str, str]:
        """The next two lines; on a small screen only the first where both have no room in whole."""
        if not walk.then:
            return "", ""
        first, second = tr("then") + "   " + walk.then[0], walk.then[1] if len(walk.then) > 1 else ""
        if not self.wide and self._joined_px(first, second, max(_LEAST_THEN * size_px, theme.body_px)) > width_px:
            return first, ""
        return first, ("" if not self.tall else _under(first, walk.then[0])) + second

    def _coming_then(self, walk: WalkView) -> tuple[str, str]:
        """The two lines after those, as they are going to be written where there is room for both."""
        first, second, *_ = (*walk.coming.then, "", "")
        return (tr("then") + "   " + first if first else "", second)

    def then_px(self, texts: tuple[str, str], width_px: float, size_px: float) -> float:
        """The size of the type in which they stand, one below or beside the other, never too small to be read."""
        wide = max(width_of(text, size_px) for text in texts) if self.tall else self._joined_px(*texts, size_px)
        return max(float(theme.body_px), size_px * min(1.0, width_px / max(1.0, 1.03 * wide)))

    def _joined_px(self, first: str, second: str, size_px: float) -> float:
        return width_of(first, size_px) + (width_of(second, size_px) + 6 * float(theme.unit) if second else 0.0)

    def touch(self) -> None:
        """A button went down: remember which line was shown."""
        self.touched = self.view

    def ok(self) -> None:
        """Mark it ok."""
        self.moves.ok(self.touched.line)

    def faulty(self) -> None:
        """Ask what was heard."""
        self.moves.ask_symptom(self.touched)

    def back(self) -> None:
        """The line before."""
        self.moves.back(self.touched.line)

    def forward(self) -> None:
        """The line after."""
        self.moves.forward(self.touched.line)

    def skip(self) -> None:
        """Leave it open."""
        self.moves.skip(self.touched.line)

    def undo(self) -> None:
        """Take the last mark back."""
        self.moves.undo()

    def lead_words(self, lead: str) -> str:
        """Who is to blame, for the button that leads to the fault sheet."""
        return tr("Suspect: {lead}", lead=lead) if lead else ""

    def walk_all(self) -> None:
        """Go through all lines again."""
        self.moves.walk_all()

    def jump(self, typed: str) -> None:
        """Go to a line by its number, of which the first digits may have been typed."""
        self.moves.jump(self.view, typed)

    def suspects(self) -> None:
        """Who is to blame, and what to try next."""
        self.moves.fault_sheet()

    def lines(self) -> None:
        """Go to any line."""
        self.moves.lines(self.view.line)

    def finish(self) -> None:
        """What was found, what is left, sign off."""
        self.moves.summary()

    def leave(self) -> None:
        """Back to the rig."""
        self.moves.rig()

    def key(self, key: int) -> bool:
        """Space, F, U and the arrows do what the buttons do; a digit begins a number; Escape leaves at the second time.

        A presenter's remote sends Escape now and then, never twice without another key between.
        """
        leaves = self._stay()
        self._leaving = key == ESCAPE
        if key == ESCAPE and not leaves:
            self.saving = tr("Once more leaves the walk")
        elif key in WALK_KEYS:
            self.touch()
            getattr(self, WALK_KEYS[key])()
        elif NUMBER_KEYS.get(key, "0") != "0":
            self.jump(NUMBER_KEYS[key])
        else:
            return bool(super().key(key))
        return True

    def on_touch_down(self, touch: Any) -> Any:
        """A finger is on the screen: nobody leaves."""
        self._stay()
        return super().on_touch_down(touch)

    def _stay(self) -> bool:
        """Nobody leaves now; whether somebody was about to."""
        left, self._leaving = self._leaving, False
        if left:
            self.saving = ""
        return left


def _under(first: str, name: str) -> str:
    """So much room that what follows stands below the name."""
    return " " * round(width_of(first.removesuffix(name), 100.0) / max(1.0, width_of(" ", 100.0)))


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
