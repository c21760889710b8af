"""A real window in each process without a display, a hand that taps what can be tapped, and view data to look at.

The window needs OpenGL through EGL (Mesa); where that is missing the tests fail and say so, they are not skipped.
"""

import atexit
import gc
import json
import os
import shutil
import sqlite3
import sys
import tempfile
import time
from pathlib import Path

import pytest

os.environ.update(KIVY_NO_ARGS="1", KIVY_LOG_MODE="PYTHON", KIVY_HOME=tempfile.mkdtemp(prefix="checkapp-kivy-"))
# The clock reads it once, when the toolkit is first imported, wherever that is.
os.environ["KCFG_GRAPHICS_MAXFPS"] = "0"

sys.path.insert(0, str(Path(__file__).parent))  # this folder's own modules

import change_samples
import check_samples
import fault_samples
import file_samples
import history_samples
import rig_samples
import settings_samples
import setup_samples
import tablet_samples
import tag_samples
import walk_samples
from long_words import LONG

from checkapp.show.beginning import begin_with
from checkapp.show.preferences import Preferences, read_preferences
from checkapp.show.session import Session

atexit.register(shutil.rmtree, os.environ["KIVY_HOME"], ignore_errors=True)
HERE = Path(__file__).parent
PLANS = HERE.parents[1] / "plans"
LIMIT_S = 20.0


@pytest.fixture(scope="session")
def window():
    from checkapp.touch.probe import window_available
    from checkapp.touch.start import prepare

    before = os.environ.get("SDL_VIDEODRIVER")
    os.environ["SDL_VIDEODRIVER"] = "offscreen"
    missing = window_available()
    if missing:
        pytest.fail(f"the screens cannot be tested here: {missing}")
    prepare(Path(os.environ["KIVY_HOME"]))
    from kivy.config import Config

    for name, _provider in Config.items("input"):
        Config.remove_option("input", name)
    from kivy.core.window import Window

    Window.create_window()
    Window.register()
    Window.initialized = True
    if before is None:
        del os.environ["SDL_VIDEODRIVER"]
    else:
        os.environ["SDL_VIDEODRIVER"] = before
    gc.collect()
    gc.freeze()  # what is there now stays: looking through it after each test would take as long as the tests
    return Window


class Ticks:
    """A clock that goes on when it is told to."""

    def __init__(self):
        self.now_s = 100.0

    def __call__(self):
        return self.now_s


class Hand:
    """Taps and types as a hand does, on what a hand can reach."""

    def __init__(self, window, ticks):
        self.window = window
        self.ticks = ticks
        self.drawing = True

    def size(self, width, height):
        self.window.size = (width, height)
        self.frames(3)

    def frames(self, count=4):
        """Let frames pass. Only the last one is drawn: a frame on a large window takes long without a graphics card."""
        for _ in range(count - self.drawing):
            self._lay_out()
        if self.drawing:
            self._draw()

    def _draw(self):
        from kivy.base import EventLoop

        EventLoop.idle()

    def _lay_out(self):
        """A frame that is laid out but not drawn: much quicker on a large window. The session's thread goes on."""
        from kivy.clock import Clock
        from kivy.lang import Builder

        time.sleep(0.0005)
        Clock.tick()
        Builder.sync()
        Clock.tick_draw()
        Builder.sync()

    def until(self, holds, what):
        """Let frames pass until something holds; a few of them are drawn."""
        end = time.monotonic() + LIMIT_S
        passed = 0
        while not holds():
            assert time.monotonic() < end, f"waited {LIMIT_S} s in vain: {what}"
            passed += 1
            if passed % 20:
                self._lay_out()
            else:
                self.frames(1)

    def show(self, widget):
        self.clear()
        self.window.add_widget(widget)
        self.frames(6)

    def clear(self):
        children = list(self.window.children)
        for child in children:
            self.window.remove_widget(child)
            unbind(child)
        self.frames(1)
        if children:
            let_go_of_screens()

    def reach(self, widget):
        """The middle of a widget in the window, once it is sure that a finger finds it there."""
        from kivy.metrics import dp
        from kivy.uix.scrollview import ScrollView

        assert not widget.disabled, f"{widget} is disabled"
        assert widget.width >= dp(48) - 0.5, f"{widget} is {widget.width} px wide"
        assert widget.height >= dp(48) - 0.5, f"{widget} is {widget.height} px high"
        x, y = widget.to_window(*widget.center)
        assert 0 < x < self.window.width, f"{widget} is outside the window"
        assert 0 < y < self.window.height, f"{widget} is outside the window"
        above = widget
        while above is not self.window:
            assert above is not None, f"{widget} is not on the screen"
            assert above.opacity > 0, f"{above} is not visible"
            if isinstance(above, ScrollView) and above is not widget:
                assert above.collide_point(*above.parent.to_widget(x, y)), f"{widget} is scrolled out of sight"
            above = above.parent
        return x, y

    def tap(self, widget, after_s=1.0, then=True):
        """Put a finger on a button and take it off, ``after_s`` after the last tap."""
        self.press(widget, after_s)
        self.lift(then)

    def press(self, widget, after_s=1.0):
        from kivy.tests.common import UnitTestTouch

        self.ticks.now_s += after_s
        self.touch = UnitTestTouch(*self.reach(widget))
        self.touch.touch_down()
        self.until(lambda: getattr(widget, "state", "down") == "down", f"{widget} to feel the finger")

    def tap_at(self, widget, x, y, after_s=1.0):
        """Tap a point of a widget that shows many things."""
        from kivy.tests.common import UnitTestTouch

        self.ticks.now_s += after_s
        assert widget.collide_point(*widget.parent.to_widget(x, y)), f"{x, y} is outside {widget}"
        touch = UnitTestTouch(x, y)
        touch.touch_down()
        touch.touch_up()
        self.frames(2)

    def lift(self, then=True):
        self.touch.touch_up()
        if then:
            self.frames(4)

    def key(self, code, after_s=1.0, modifiers=(), up=True):
        self.ticks.now_s += after_s
        self.window.dispatch("on_key_down", code, 0, "", list(modifiers))
        if up:
            self.window.dispatch("on_key_up", code, 0)
        self.ticks.now_s += 0.1  # until it is known for a key of its own
        self.frames(4)

    def type(self, field, text):
        field.focus = True
        self.frames(2)
        for letter in text:
            self.window.dispatch("on_textinput", letter)
        self.frames(2)

    def scan(self, text, key_s=0.001):
        """Send what a hand scanner sends, which is a keyboard: its keys one after another, then Enter."""
        self.frames(2)
        for letter in text:
            self._strike(letter)
            self.ticks.now_s += key_s
        self._strike("\r")

    def _strike(self, letter):
        """One key with the events that the toolkit makes of it."""
        code, shifts = ord(letter.lower()), [304] if letter.isupper() else []
        modifiers = ["shift"] if shifts else []
        for shift in shifts:
            self.window.dispatch("on_key_down", shift, 0, None, modifiers)
        if not self.window.dispatch("on_key_down", code, 0, chr(code), modifiers):
            self.window.dispatch("on_keyboard", code, 0, chr(code), modifiers)
        if letter != "\r":
            self.window.dispatch("on_textinput", letter)
        for key in (code, *shifts):
            self.window.dispatch("on_key_up", key, 0)

    def buttons(self, root):
        """Every button under a widget, in reading order."""
        from kivy.uix.behaviors.button import ButtonBehavior

        found = [widget for widget in root.walk(restrict=True) if isinstance(widget, ButtonBehavior)]
        return sorted(found, key=lambda b: (-b.to_window(*b.center)[1], b.to_window(*b.center)[0]))

    def button(self, root, word):
        """The button with that word on it."""
        found = [b for b in self.buttons(root) if word in (getattr(b, "text", ""), getattr(b, "word", ""))]
        assert len(found) == 1, f'{len(found)} buttons say "{word}"'
        return found[0]


class Tablet:
    """The app in the window, and what a person does with it."""

    def __init__(self, hand, app, journal, plan):
        self.hand, self.app, self.journal, self.plan = hand, app, journal, plan

    @property
    def screen(self):
        return self.app.pages.shown

    @property
    def line(self):
        return self.screen.view.line

    def settle(self):
        self.hand.until(lambda: self.app.door.waiting == 0, "the session")
        self.hand.frames(6)

    def tap(self, word, after_s=1.0):
        self.hand.tap(self.hand.button(self.screen, word), after_s)
        self.settle()

    def tap_row(self, words, after_s=1.0):
        rows = [b for b in self.hand.buttons(self.screen) if words in (getattr(b, "title", ""), getattr(b, "name", ""))]
        self.hand.tap(rows[0], after_s)
        self.settle()

    def go(self, place):
        """Tap a place of the strip; where that is folded away its button first."""
        if self.app.pages.guide.is_folded:
            self.tap("go to")
        cells = self.hand.buttons(self.app.pages.guide.places)
        self.hand.tap(next(cell for cell in cells if cell.place == place))
        self.settle()

    def key(self, code, after_s=1.0, **kwargs):
        self.hand.key(code, after_s, **kwargs)
        self.settle()

    def scan(self, text, after_s=1.0):
        """A hand scanner reads a tag."""
        self.hand.ticks.now_s += after_s
        self.hand.scan(text)
        self.settle()

    def start_check(self, show="Night 1"):
        self.tap("start a check")
        name, by = self.screen.ids.name.ids.entry, self.screen.ids.by.ids.entry
        name.text = ""
        self.hand.type(name, show)
        self.hand.type(by, "JD")
        self.tap("start")
        assert self.screen.name == "walk"

    def marks(self):
        """Every mark and every taking back in the journal, read without our library."""
        with sqlite3.connect(self.journal) as opened:
            rows = opened.execute("select kind, subject, detail, by from entry order by rowid").fetchall()
        return [
            (subject, json.loads(detail)["verdict"], json.loads(detail).get("symptom"), by)
            for kind, subject, detail, by in rows
            if kind == "mark"
        ]

    def kinds(self):
        with sqlite3.connect(self.journal) as opened:
            return [kind for (kind,) in opened.execute("select kind from entry order by rowid")]


def unbind(root):
    """Cut what is no longer shown off from the theme and the window: it would be laid out anew with each change."""
    from kivy.lang import Builder
    from kivy.uix.screenmanager import ScreenManager

    from checkapp.touch.widgets.rows import RowList

    for widget in list(root.walk(restrict=True)):
        Builder.unbind_widget(widget.uid)
        if isinstance(widget, RowList):
            widget.rows = []
        for screen in widget.screens if isinstance(widget, ScreenManager) else ():
            if screen.parent is None:
                unbind(screen)


def let_go_of_screens():
    """Let screens go that are not shown any more.

    That is done before colours change, for a screen must not go while it is told of them.
    """
    from kivy.animation import Animation

    from checkapp.touch import pages

    for animation in list(Animation._instances):  # a scroll bar that fades keeps its screen until it is gone
        for running in list(animation._widgets.values()):
            animation.cancel(running["widget"])
    gc.collect()
    pages.let_go_of_rows()


@pytest.fixture
def ticks():
    return Ticks()


@pytest.fixture
def hand(window, ticks):
    from kivy.metrics import Metrics

    from checkapp.touch.settings_moves import take_up

    hand = Hand(window, ticks)
    hand.size(1280, 800)
    yield hand
    hand.clear()
    take_up(Preferences(language="en"))
    Metrics.reset_metrics()
    Metrics.density = 1.0
    Metrics.fontscale = 1.0


class Calls:
    """Stands where the moves stand and writes down what was asked of them."""

    def __init__(self):
        self.made = []

    def __getattr__(self, name):
        return lambda *args: self.made.append((name, *args))


@pytest.fixture
def calls():
    return Calls()


VIEWS = {
    **rig_samples.full_views(),
    **setup_samples.full_views(),
    **walk_samples.full_views(),
    **check_samples.long_views(LONG, walk_samples.LINES),
    **fault_samples.long_views(LONG),
    **history_samples.long_views(LONG),
    **tag_samples.long_views(LONG),
    **tablet_samples.long_views(LONG),
    **change_samples.long_views(LONG),
    **file_samples.long_views(LONG),
}
MORE_VIEWS = {
    **rig_samples.views(),
    **setup_samples.views(),
    **fault_samples.views(),
    **history_samples.views(),
    **change_samples.views(),
    **file_samples.views(),
    **tag_samples.views(),
    **tablet_samples.views(),
    **settings_samples.views(),
}
"""View data of screens that stand in `VIEWS` with more on them."""


@pytest.fixture
def views():
    """View data by screen."""
    return VIEWS | MORE_VIEWS


@pytest.fixture
def build(hand, calls):
    """Build a screen with view data in the window, its moves written down."""
    from importlib import import_module

    from kivy.uix.screenmanager import NoTransition, ScreenManager

    from checkapp.touch.pages import SCREENS

    def _build(name, view):
        manager = ScreenManager(transition=NoTransition())
        kind = getattr(import_module(f"checkapp.touch.screens.{name}"), SCREENS[name])
        screen = kind(name=name, view=view, moves=calls)
        manager.add_widget(screen)
        hand.show(manager)
        return screen

    return _build


@pytest.fixture
def home(tmp_path):
    """A folder with plans of one's own, one of them with faults."""
    plans = tmp_path / "plans"
    plans.mkdir()
    for name in ("small.toml", "kinds.toml"):
        shutil.copy(PLANS / name, plans / name)
    broken = (PLANS / "small.toml").read_text(encoding="utf-8").replace('"STOVE in 1"', '"STOVE in 99"')
    (plans / "broken.toml").write_text(broken.replace('kind = "cord"', 'kind = "cors"'), encoding="utf-8")
    return tmp_path


@pytest.fixture
def tablet(hand, home, ticks, monkeypatch):
    """Starts the app; each start ends the one before, as when it is closed. The system speaks English."""
    monkeypatch.setenv("LC_ALL", "C.UTF-8")
    from kivy.app import App

    from checkapp.touch.app import CheckApp

    running = []

    def stop():
        for app in running:
            app.dispatch("on_stop")
            hand.window.remove_widget(app.root)
            App._running_app = None
        running.clear()

    def start(plan=None, at=home, **more):
        stop()
        opened, preferences = None if plan is None else str(plan), read_preferences(at)
        app = CheckApp(
            lambda: Session(home=at, **more), opened, ticks, preferences, lambda: None if plan else begin_with(at)
        )
        running.append(app)
        app._run_prepare()
        tablet = Tablet(hand, app, at / "journal.db", home / "plans" / "small.toml")
        hand.frames(3)
        tablet.settle()
        return tablet

    yield start
    stop()
