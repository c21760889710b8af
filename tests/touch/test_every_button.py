"""Every button of every screen, tapped once by a real finger: each does something, and asks for a move that there is.

Each sample view is put on the tablet as the app does it. Of a list one row of each sort is tapped; what a tap brings up
is tapped as well. On the phone only that is tapped which the tablet did not show. In the end no handler of a button in
the layouts is left that did not run, and no move that no button asks for.
"""

import gc
from collections import deque
from dataclasses import replace
from inspect import signature
from pathlib import Path

import change_samples
import file_samples
import history_samples
import numpy
import pytest

import checkapp.touch
from checkapp.scan.video import Frame
from checkapp.touch.asking import CHANGED, Asked
from checkapp.touch.listing import MOST_MEASURED
from conftest import MORE_VIEWS, VIEWS, Calls

TOUCH = Path(checkapp.touch.__file__).parent
CROWDED = replace(file_samples.FOLDER, files=file_samples.FOLDER.files * MOST_MEASURED)
ONE_FIGURE = replace(history_samples.FIGURES, item="SM.XL90")
SAMPLES = {
    **VIEWS,
    **MORE_VIEWS,
    "files, very many": ("files", CROWDED),
    "figures of an item": ("figures", ONE_FIGURE),
    "newcheck of what changed": ("newcheck", Asked().asking(CHANGED, change_samples.RIG)),
}
OF_BUTTONS = ("on_release", "on_press", "on_choice", "on_option", "on_cell", "on_back", "on_put_away")
NO_BUTTON = {"start", "scanned", "look_at_saving", "history", "settings", "fault_heard", "figures_again"}
"""Moves that no button asks for: the first, scans, what saving comes to, figures come back to, and those that another
move goes on with."""
SAME_AGAIN = ("last_touch", "children", "transition_progress", "transition_state")
"""Properties of a widget that say nothing of what became of a tap."""
SHUT = {
    "undo": lambda view, words: not view.can_undo,  # what would be taken back is told where the last tap is told
    "zone": lambda view, words: not view.zones,
    "go": lambda view, words: "No input" in words or "No output" in words or "Type a number" in words,
    "page before": lambda view, words: "page 1 of" in words,
    "page after": lambda view, words: f"page {view.pages} of {view.pages}" in words,
    "up": lambda view, words: "/" in words.split("\n"),
    "print": lambda view, words: "Nothing is picked." in words,
    "save": lambda view, words: "Nothing is picked." in words,
    "no line to check again": lambda view, words: "Nothing has changed." in words,
}
"""What tells on the screen, or in what stands on it, why a button is shut."""


def words_of(widget):
    named = ("text", "word", "words", "title", "name", "code", "digit", "place")
    return next((words for name in named if (words := getattr(widget, name, ""))), "")


def is_seen(widget):
    """Whether it takes room and can be seen, with all that it stands in."""
    while widget is not None and widget is not widget.get_parent_window():
        if widget.opacity <= 0 or min(widget.size) <= 0:
            return False
        widget = widget.parent
    return True


def is_button(widget):
    """Whether it does something when it is tapped: a row that leads nowhere is none."""
    return getattr(widget, "tapped", True) is not None and is_seen(widget)


def lists_in(root):
    from checkapp.touch.widgets.rows import RowList

    return [widget for widget in root.walk(restrict=True) if isinstance(widget, RowList) and is_seen(widget)]


def sort_of(row):
    """What sort of row it is: rows that stand alike and ask for the same moves are of one sort."""
    return row["kind"], row.get("word"), row.get("status"), *(asks(row.get(name)) for name in ("tapped", "ticked"))


def asks(tapped):
    """The name of what a tap calls."""
    while hasattr(tapped, "func"):
        tapped = tapped.func
    return getattr(tapped, "__qualname__", None)


def marked(buttons):
    """The buttons by their marks: class, words, whether it is shut, number among its likes."""
    found = {}
    for button in buttons:
        mark, number = (type(button).__name__, words_of(button), button.disabled), 1
        while (*mark, number) in found:
            number += 1
        found[(*mark, number)] = button
    return found


class NamedCalls(Calls):
    """Moves that are written down, each with its name."""

    def __getattr__(self, name):
        def move(*args):
            self.made.append((name, *args))

        move.__qualname__ = name
        return move


class Finger:
    """Taps all there is to tap, and writes down what came of it.

    A button is found again by its mark; of a list the numbers of the list and of the row stand before that.
    """

    def __init__(self, hand, calls):
        from checkapp.touch.pages import Pages

        self.hand, self.calls = hand, calls
        self.pages = Pages()
        self.pages.moves = calls
        self.tapped, self.changing, self.kinds = set(), set(), set()
        self.wrong = []
        hand.show(self.pages)

    @property
    def root(self):
        return self.pages.shown

    def put(self, screen, view, path=(), anew=False):
        """The screen with that view, after the taps of the path."""
        from kivy.uix.scrollview import ScrollView

        if anew:
            self.pages.forget()
        self.pages.show(screen, view)
        self.hand.frames(3)
        for widget in self.root.walk():
            if isinstance(widget, ScrollView):
                widget.scroll_timeout = 1  # ms until it is sure that a finger that rests does not scroll
        for mark in path:
            self.tap(mark)
            self.hand.frames(2)

    def marks(self):
        """All that can be tapped now."""
        found = list(self.beside_lists())
        for place, one in enumerate(lists_in(self.root)):
            rows = {sort_of(row): index for index, row in reversed(list(enumerate(one.data)))}
            found += [(place, index, *mark) for index in rows.values() for mark in self.in_row(one, index)]
        return found

    def beside_lists(self):
        listed = {button for one in lists_in(self.root) for button in self.hand.buttons(one)}
        return marked(b for b in self.hand.buttons(self.root) if b not in listed and is_button(b))

    def in_row(self, one, index):
        one.bring(index)
        self.hand.frames(2)
        return marked(b for b in self.hand.buttons(one.view_adapter.get_visible_view(index)) if is_button(b))

    def find(self, mark):
        """The button of a mark, in sight."""
        if len(mark) > 4:
            return self.in_row(lists_in(self.root)[mark[0]], mark[1])[mark[2:]]
        button = self.beside_lists()[mark]
        self.bring(button)
        return button

    def bring(self, button):
        """Scroll to a button that is out of sight."""
        from kivy.uix.scrollview import ScrollView

        above = button.parent
        while above is not self.root:
            at = above.parent.to_widget(*button.to_window(*button.center))
            if isinstance(above, ScrollView) and not above.collide_point(*at):
                above.scroll_to(button, 0)
                self.hand.frames(2)
            above = above.parent

    def tap(self, mark):
        button = self.find(mark)
        self.kinds.add(type(button).__name__)
        self.hand.tap(button, then=False)

    def tap_all(self, name, screen, view, unseen=False):
        """Tap all of a view; with ``unseen`` only what was on no view of the screen so far."""
        self.idle, self.changers = [], []
        self.put(screen, view, anew=view is None)
        todo, known, at = deque(((), mark) for mark in self.open_marks(name, view)), set(), ()
        while todo:
            path, mark = todo.popleft()
            key = (screen, mark[-4:])
            if mark in known or key in self.changing or (unseen and key in self.tapped):
                continue
            known.add(mark)
            self.tapped.add(key)
            if path != at:
                self.put(screen, view, path, anew=True)
            asked, at = len(self.calls.made), path
            self.tap(mark)
            if len(self.calls.made) == asked:
                self.changing.add(key)
                todo.extend(((*path, mark), one) for one in self.changed(name, screen, view, path, mark))
                at = None
        self.check_idle(name, screen, view)

    def open_marks(self, name, view):
        """What can be tapped now; what is shut must be so for a reason."""
        marks = self.marks()
        words = "\n".join(widget.text for widget in self.root.walk() if getattr(widget, "text", "") and is_seen(widget))
        for word in {mark[-3] for mark in marks if mark[-2]}:
            if word not in SHUT or not SHUT[word](view, words):
                self.wrong.append(f"{name}: {word} is shut and nothing says why")
        return [mark for mark in marks if not mark[-2]]

    def changed(self, name, screen, view, path, mark):
        """What can be tapped after a tap that asked for no move."""
        self.hand.frames(2)
        marks = self.open_marks(name, view)
        (self.changers if self.changes(screen, view, path, mark) else self.idle).append((path, mark))
        return marks

    def check_idle(self, name, screen, view):
        """What changes nothing on the screen as it comes up must do so after another tap."""
        for path, mark in self.idle:
            if not any(self.changes(screen, view, (*other, one), mark) for other, one in self.changers):
                self.wrong.append(f"{name}: {(*path, mark)} does nothing")

    def changes(self, screen, view, path, mark):
        """Whether a tap changes something after those of the path."""
        self.put(screen, view, path, anew=True)
        self.find(mark)
        before = self.state()
        self.tap(mark)
        return self.state() != before

    def state(self):
        """All that one can tell apart by eye or by what comes next, of all widgets, once no button is down."""
        self.hand.frames(2)
        self.hand.until(lambda: all(b.state == "normal" for b in self.hand.buttons(self.root)), "the buttons to rise")
        plain = (str, int, float, bool, tuple, list)
        widgets = list(self.root.walk(restrict=True))
        looks = [getattr(widget, "look", None) for widget in widgets]
        return looks, [
            (type(widget).__name__, name, tuple(value) if isinstance(value, list) else value)
            for widget in widgets
            for name in widget.properties()
            if name not in SAME_AGAIN and isinstance(value := getattr(widget, name), plain)
        ]

    def tap_places(self):
        """Each place of the strip."""
        for button in self.hand.buttons(self.pages.guide.places):
            self.kinds.add(type(button).__name__)
            self.hand.tap(button)
            assert self.calls.made[-1] == ("visit", button.place)

    def tap_way_back(self):
        """The way back from a place leads to where it was come to from."""
        self.put("history", SAMPLES["history"][1])
        self.root.returns_to = "walk"
        self.hand.frames(2)
        self.hand.tap(self.hand.button(self.root, "walk"))
        assert self.calls.made[-1] == ("come_back",)

    def tap_banner(self):
        """What is said over a screen is put away."""
        self.pages.say(["The plan has a fault."])
        self.hand.frames(2)
        self.hand.tap(self.hand.button(self.pages, "put away"))
        assert self.pages.banner.parent is None


class Dark:
    """A camera with its cap on."""

    asked: list[int] = []

    def __init__(self, number):
        self.number = number
        self.asked.append(number)

    def read(self):
        return Frame(numpy.zeros((90, 160, 3), numpy.uint8))

    def close(self):
        pass


def tap_camera(finger):
    """The camera screen, which is at work while it is shown, over a camera of ours."""
    finger.put("camera", None)
    finger.hand.until(lambda: finger.root.state == "live", "the camera")
    finger.hand.tap(finger.hand.button(finger.root, "other camera"))
    finger.hand.until(lambda: Dark.asked == [0, 1] and finger.root.state == "live", "the other camera")
    finger.hand.tap(finger.root.heads[0].children[-1])
    assert finger.calls.made[-1] == ("under",)
    finger.put("rigs", ())


@pytest.fixture
def ran(monkeypatch):
    """Where in the layouts a handler is that ran."""
    from kivy.lang import builder

    places, run = set(), builder.custom_callback

    def noted(rule, *args, **kwargs):
        places.add((Path(rule.ctx.filename).relative_to(TOUCH), rule.line + 1, rule.name))
        run(rule, *args, **kwargs)

    monkeypatch.setattr(builder, "custom_callback", noted)
    return places


@pytest.fixture
def unswept():
    """Screens by the hundred are built: looking through all of memory for each few takes longer than building them."""
    gc.disable()
    yield
    gc.enable()


def handlers():
    """Every handler of a button in our layouts."""
    from kivy.lang.parser import Parser

    def within(rule):
        yield from (handler for handler in rule.handlers if handler.name in OF_BUTTONS)
        for child in rule.children:
            yield from within(child)

    for path in TOUCH.rglob("*.kv"):
        parser = Parser(content=path.read_text(encoding="utf-8"), filename=str(path))
        for _name, rule in parser.rules:
            yield from ((path.relative_to(TOUCH), one.line + 1, one.name) for one in within(rule))


def kinds_of_buttons(kind):
    """The classes of buttons that the app has loaded."""
    for one in kind.__subclasses__():
        yield from kinds_of_buttons(one)
        if one.__module__.startswith("checkapp.touch"):
            yield one.__name__


def moves_asked(made):
    """The names of the moves, once each of them is there with such arguments."""
    from checkapp.touch.moves import Moves

    for name, *args in made:
        signature(getattr(Moves, name)).bind(None, *args)
    return {name for name, *_ in made}


def all_moves():
    from checkapp.touch.moves import Moves

    return {name for name in dir(Moves) if not name.startswith("_") and callable(getattr(Moves, name))}


def test_each_screen_has_a_sample_view():
    from checkapp.touch.pages import SCREENS

    assert {screen for screen, _view in SAMPLES.values()} | {"camera"} == set(SCREENS)


def test_every_button_of_every_screen_does_something(hand, ran, unswept, monkeypatch):
    from kivy.uix.behaviors.button import ButtonBehavior

    from checkapp.touch.screens.camera import CameraScreen

    monkeypatch.setattr(CameraScreen, "open_source", Dark)
    hand.drawing = False
    finger = Finger(hand, NamedCalls())
    finger.pages.lead("hop cable LM01")
    for name, (screen, view) in SAMPLES.items():
        finger.tap_all(name, screen, view)
    finger.tap_places()
    finger.tap_banner()
    finger.tap_way_back()
    tap_camera(finger)
    hand.size(360, 640)
    for name, view in {screen: (name, view) for name, (screen, view) in SAMPLES.items()}.items():
        finger.tap_all(view[0], name, view[1], unseen=True)
    finger.pages.unfold()
    finger.tap_places()

    assert finger.wrong == []
    assert set(handlers()) - ran == set()
    assert set(kinds_of_buttons(ButtonBehavior)) - finger.kinds == set()
    asked = moves_asked(finger.calls.made)
    assert all_moves() - asked - NO_BUTTON == set()
