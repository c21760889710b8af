"""A hand that touches whatever there is, by chance: taps, drags, keys, a hand scanner, a tablet that is turned.

The same seed does the same things, though what they come to also depends on how quickly the session answers. Frames are
laid out, and now and then drawn.
"""

import os
import shutil
import sqlite3
import threading
import time
from collections import Counter, deque
from contextlib import contextmanager
from pathlib import Path
from random import Random
from unittest import mock

from watched import Watched, begin

from checkapp.rig.planfile import load_plan
from checkapp.scan.video import NoCamera
from checkapp.show.preferences import VALUES, Preferences, read_preferences

PLANS = Path(__file__).parents[2] / "plans"
SIZES = ((360, 640), (640, 360), (800, 1280), (1280, 800))
KEYS = (27, 273, 274, 275, 276, 280, 281, 8, 127, 9, 278, 279, 271, 282, 293, 301)
"""Escape, arrows, page up and down, the deleting keys, tab, home, end, Enter at the numbers, F1, F12, Caps Lock."""
LETTERS = "abcdefghijklmnopqrstuvwxyz0123456789 .-+=\r"
WAIT_S = 0.05
"""So long a move of the app waits for the disk."""
MOST_S = 60.0
"""So long any answer of the session is waited for."""
LATEST = 30
DRAWN_EVERY = 20
WEIGHTS = {
    "tap_button": 46,
    "walk_on": 10,
    "tap_anywhere": 8,
    "drag": 7,
    "hold": 2,
    "two_fingers": 3,
    "key": 8,
    "letters": 5,
    "scan": 7,
    "go_to_place": 4,
    "turn": 1.5,
    "set_up_tablet": 0.2,
    "put_aside": 0.4,
    "settle": 3,
}


class Show:
    """The app on a tablet of its own, with a check and a set-up under way, touched by chance.

    ``made``: the ids and kinds of the entries that the session made; ``screens``: how often each was touched.
    """

    def __init__(self, hand, app, base, made, seed):
        self.hand, self.app, self.base, self.made, self.seed = hand, app, base, made, seed
        self.journal = base / "data" / "journal.db"
        self.began = read_preferences(base / "data")
        self.chance = Random(seed)
        self.latest = deque(maxlen=LATEST)
        self.screens = Counter()
        self.count = 0
        self.plan = base / "data" / "plans" / "demo.toml"
        rig = load_plan(self.plan)
        self.tags, self.item = [tag.text for tag in rig.tags], next(iter(rig.items))
        self.elsewhere = []
        self.marks_before = sum(kind == "mark" for _, kind in self.entries())
        self.actions = [getattr(self, name) for name in WEIGHTS]
        self.weights = list(WEIGHTS.values())

    # -- the run

    def run(self, count):
        """Do so many things. `AssertionError` at the first that goes wrong, with what was done just before."""
        for _ in range(count):
            self.count += 1
            try:
                self._act()
            except Exception as error:
                raise AssertionError(self._told(error)) from error

    def _told(self, error):
        done = "\n".join(f"  {one}" for one in self.latest)
        return f"seed {self.seed}, action {self.count}: {type(error).__name__}: {error}\nthe last actions:\n{done}"

    def _act(self):
        (action,) = self.chance.choices(self.actions, self.weights)
        at = self.app.pages.at
        self.screens[at] += 1
        self.latest.append(f"{self.count} on {at}: {action.__name__}")
        self.hand.ticks.now_s += self.chance.choice((0.02, 0.35, 0.5, 1.2))
        action()
        for _ in range(self.chance.choice((0, 1, 1, 2))):
            self._frame()
        if self.count % DRAWN_EVERY == 0:
            self.draw()
        if self.chance.random() < 0.5:
            self._wait()
        self._look()

    def _note(self, words):
        if self.latest:
            self.latest[-1] += f" {words}"

    def _frame(self):
        self.hand._lay_out()

    def draw(self):
        """Draw a frame, and wait until OpenGL is done with it.

        Nobody takes what is drawn off the screen where there is none: without that the software renderer keeps the
        frames that it was given until they are some 40 MB, and then lets go of all.
        """
        from kivy.graphics.opengl import glFinish

        self.hand._draw()
        glFinish()

    def _wait(self):
        """Until all that was asked is answered; nothing is laid out meanwhile."""
        from kivy.clock import Clock

        end_s = time.monotonic() + MOST_S
        while self.app.door.waiting:
            assert time.monotonic() < end_s, f"no answer of the session for {MOST_S} s"
            time.sleep(0.001)
            Clock.tick()

    def _look(self):
        """The app is still there, and there is something on its screen; nothing went wrong elsewhere."""
        pages = self.app.pages
        assert self.app.root.parent is not None, "the app is gone"
        assert pages.at, "no screen is at the front"
        assert pages.shown.get_parent_window() is not None, f"{pages.at} is not in the window"
        assert pages.shown.view is not None or pages.at in ("camera", "rigs"), f"{pages.at} shows nothing"
        assert not self.elsewhere, f"on another thread: {self.elsewhere[0]!r}"

    # -- what can be done

    def tap_button(self):
        from kivy.uix.behaviors.button import ButtonBehavior

        buttons = [one for one in self.app.root.walk(restrict=True) if isinstance(one, ButtonBehavior)]
        button = self.chance.choice(buttons)
        x, y = button.to_window(button.x + self.chance.random() * button.width, button.center_y)
        named = ("text", "word", "title", "name", "place")
        self._note(next((words for name in named if (words := getattr(button, name, ""))), ""))
        self._tap(x, y)

    def walk_on(self):
        """Goes to the walk, or on with it: that is where marks are made."""
        if self.app.pages.at != "walk":
            self._strike(ord("3"), ["ctrl"])
            return
        ids = self.app.pages.shown.ids
        for _ in range(self.chance.randint(1, 4)):
            self.hand.ticks.now_s += 0.5
            button = ids[self.chance.choice(("ok", "ok", "ok", "faulty", "skip"))]
            self._tap(*button.to_window(*button.center))
            self._frame()
            if self.app.pages.at != "walk":
                return

    def tap_anywhere(self):
        self._tap(*self._point())

    def _point(self):
        return self.chance.random() * self.hand.window.width, self.chance.random() * self.hand.window.height

    def _tap(self, x, y):
        touch = self._down(x, y)
        for _ in range(self.chance.choice((0, 0, 1))):
            self._frame()
        touch.touch_up()

    def _down(self, x, y):
        from kivy.tests.common import UnitTestTouch

        self._note(f"at {x:.0f}, {y:.0f}")
        touch = UnitTestTouch(x, y)
        touch.touch_down()
        return touch

    def drag(self):
        (x, y), (to_x, to_y) = self._point(), self._point()
        touch, steps = self._down(x, y), self.chance.randint(1, 6)
        self._note(f"to {to_x:.0f}, {to_y:.0f}")
        for step in range(1, steps + 1):
            touch.touch_move(x + (to_x - x) * step / steps, y + (to_y - y) * step / steps)
            self._frame()
        touch.touch_up()

    def hold(self):
        """A finger that rests while answers come."""
        touch = self._down(*self._point())
        for _ in range(12):
            self._frame()
        self._wait()
        touch.touch_up()

    def two_fingers(self):
        one, other = self._down(*self._point()), self._down(*self._point())
        one.touch_move(*self._point())
        self._frame()
        other.touch_move(*self._point())
        self._frame()
        for touch in self.chance.sample((one, other), 2):
            touch.touch_up()

    def key(self):
        self._strike(self.chance.choice(KEYS))

    def go_to_place(self):
        self._strike(ord(self.chance.choice("123456789")), ["ctrl"])

    def _strike(self, key, modifiers=()):
        self._note(f"{key} {modifiers or ''}")
        window = self.hand.window
        if not window.dispatch("on_key_down", key, 0, None, list(modifiers)):
            window.dispatch("on_keyboard", key, 0, None, list(modifiers))
        window.dispatch("on_key_up", key, 0)

    def letters(self):
        """Keys that write, as a person strikes them."""
        for _ in range(self.chance.choice((1, 1, 3))):
            letter = self.chance.choice(LETTERS)
            self._note(repr(letter))
            self.hand._strike(letter)
            self.hand.ticks.now_s += 0.2
            self._frame()
            self._frame()

    def scan(self):
        text = self._garbled(self.chance.choice(self.tags))
        self._note(repr(text))
        self.hand.scan(text)

    def _garbled(self, text):
        """A tag as it is, else with a sign wrong, cut off, twice, or something else altogether."""
        at = self.chance.randrange(len(text))
        return self.chance.choice(
            (text, text, text, text[:at] + "X" + text[at + 1 :], text[:at], text + text, text.lower(), "ABC 123", "")
        )

    def turn(self):
        size = self.chance.choice(SIZES)
        self._note(f"to {size}")
        self.hand.window.size = size

    def set_up_tablet(self):
        name = self.chance.choice(sorted(VALUES))
        value = self.chance.choice(VALUES[name])
        self._note(f"{name} {value}")
        self.set_up_as(name, value)

    def set_up_as(self, name, value):
        from checkapp.show.settings import settings_view

        self.app.moves.choose(settings_view(read_preferences(self.base / "data")), name, value)

    def put_aside(self):
        self.app.dispatch("on_pause")
        self._frame()
        self.app.dispatch("on_resume")

    def settle(self):
        self._wait()
        for _ in range(6):
            self._frame()

    # -- what is left

    def look_round(self):
        """Have all that the app loads when it is first needed: the screens, all built at the same time and as full as
        they get, and what its pictures are drawn with."""
        from conftest import MORE_VIEWS, VIEWS

        self.come_home()
        moves, pages = self.app.moves, self.app.pages
        for screen, view in (one for one in (VIEWS | MORE_VIEWS).values() if one[1] is not None):
            self._do(lambda screen=screen, view=view: pages.show(screen, view))
        self.come_home()
        self._do(moves.picture)
        self._do(lambda: moves.card(self.item))
        self._do(moves.under)
        self._do(moves.history)
        self._do(lambda: pages.shown.draw())
        assert pages.at == "figures", f"no figures but {pages.at}"

    def come_home(self):
        """Bring the app by its own moves to a state that is the same whenever it is asked for.

        The window has the largest size, the tablet is set as it was in the beginning, so all is built anew; every place
        of the strip was visited, with the demo rig, a set-up and a check under way, and the walk is at the front.
        """
        self.settle()
        self.hand.window.size = SIZES[-1]
        moves, pages = self.app.moves, self.app.pages
        self._do(lambda: moves.open_rig(str(self.plan)))
        for name in sorted(VALUES):
            self._do(lambda name=name: self.set_up_as(name, getattr(self.began, name)))
        for place in "12345673":
            self._do(lambda place=place: self._strike(ord(place), ["ctrl"]))
            if pages.at == "newcheck":
                begin = {"2": moves.set_up, "3": moves.start_check}[place]
                self._do(lambda begin=begin: begin("Night 1", "", "2031-05-02", "JD"))
        assert pages.at == "walk", f"the way home ended on {pages.at}"

    def _do(self, move):
        """A move of its own, once what was said is put away, until all is there that it leads to."""
        self.hand.ticks.now_s += 1.0
        self.app.pages.put_away()
        move()
        self.settle()

    def end(self):
        """Close the app; what is wrong with what it left, nothing if all is as it should be."""
        self._wait()
        self.app.dispatch("on_stop")
        wrong = [self.app.door.left] if self.app.door.left else []
        there = self.entries()
        lost = [one for one in self.made if one not in set(there)]
        wrong += [f"made and not in the journal: {one}" for one in lost]
        wrong += [f"{many} times in the journal: {one}" for one, many in Counter(there).items() if many > 1]
        made, found = self.marks_made(), self.marks_found()
        wrong += [f"{made} marks were made, {found} are in the journal"] if made != found else []
        return wrong

    def marks_made(self):
        return sum(kind == "mark" for _, kind in self.made)

    def marks_found(self):
        """Marks in the journal that were not there at the beginning."""
        return sum(kind == "mark" for _, kind in self.entries()) - self.marks_before

    def entries(self):
        """Ids and kinds, read without our library."""
        with sqlite3.connect(self.journal) as opened:
            return opened.execute("select id, kind from entry").fetchall()


@contextmanager
def show(hand, base, seed):
    """The app at work in the folder ``base``, which is to be empty: nothing outside of it is looked into."""
    from kivy.app import App

    from checkapp.touch.app import CheckApp
    from checkapp.touch.screens.camera import CameraScreen
    from checkapp.touch.settings_moves import take_up

    data, nothing = base / "data", base / "nothing"
    nothing.mkdir()
    shutil.copytree(PLANS, data / "plans")
    environment = {"HOME": str(base), "CHECKAPP_HOME": str(data), "PATH": str(nothing), "LC_ALL": "C.UTF-8"}
    made, hand.drawing = [], False
    with (
        mock.patch.dict(os.environ, environment),
        mock.patch.object(CameraScreen, "open_source", staticmethod(_no_camera)),
    ):
        begin(data)
        app = CheckApp(
            lambda: Watched(base.resolve(), made, home=data, wait_s=WAIT_S),
            now_s=hand.ticks,
            preferences=read_preferences(data),
        )
        touched = Show(hand, app, base, made, seed)
        with mock.patch.object(threading, "excepthook", lambda args: touched.elsewhere.append(args.exc_value)):
            app._run_prepare()
            try:
                hand._draw()  # the first frame lets the session begin
                hand.until(lambda: app.pages.at == "walk", "the walk that was left")
                yield touched
            finally:
                app.dispatch("on_stop")
                hand.window.remove_widget(app.root)
                App._running_app = None
                take_up(Preferences(language="en"))


def _no_camera(_first=0):
    raise NoCamera("there is none")
