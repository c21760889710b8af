"""A hand scanner at the real window: its bursts are taken whatever is on the screen, and nothing else sees them."""

from dataclasses import dataclass

import pytest

from checkapp.rig.codes import Tag
from checkapp.scan.keyboards import KEYBOARDS, US, US_KEYS

SPACE, TAB, ENTER, ESCAPE, BACKSPACE, LEFT, SHIFT = 32, 9, 13, 27, 8, 276, 304
BY_NAME = {keyboard.name: keyboard for keyboard in KEYBOARDS}
USAGES = [
    *[30, 31, 32, 33, 34, 35, 36, 37, 38, 39, 45],  # 1 to 0, minus
    *[20, 26, 8, 21, 23, 28, 24, 12, 18, 19],  # Q to P
    *[4, 22, 7, 9, 10, 11, 13, 14, 15, 51],  # A to L, semicolon
    *[29, 27, 6, 25, 5, 17, 16, 54, 55, 56],  # Z to M, comma, dot, slash
]
"""The numbers of the keys of `US_KEYS` on any keyboard (USB HID Usage Tables 1.12, page 0x07; from memory)."""
STOVE, CABLE = Tag("QN", "STOVE").text, Tag("QN", "HP01", "B").text
SHORTCUTS = "FUFU 123 fufu 9"


@dataclass
class Keys:
    """A keyboard: a scanner's, or one that a person strikes. Keys come as the toolkit hands them on from SDL.

    ``of`` is what the computer is set to; ``text``: whether it tells what is written, which it does not always.
    """

    hand: object
    of: object = US
    text: bool = True

    def down(self, key, usage, modifiers=()):
        told = chr(key) if key < 0x110000 and key not in (SHIFT, ENTER, TAB, ESCAPE, BACKSPACE, LEFT) else None
        if not self.hand.window.dispatch("on_key_down", key, usage, told, list(modifiers)):
            self.hand.window.dispatch("on_keyboard", key, usage, told, list(modifiers))

    def up(self, key, usage):
        self.hand.window.dispatch("on_key_up", key, usage)

    def strike(self, letter, up=True):
        """One key: the letter of a US keyboard, pressed where it is there."""
        place = US_KEYS.find(letter.upper())
        shift = letter.isupper() or letter == ":"
        if shift:
            self.down(SHIFT, 225, ["shift"])
        key = ord(self.of.alone[place] if place >= 0 else letter)
        usage = USAGES[place] if place >= 0 else 44 if letter == " " else 0
        self.down(key, usage, ["shift"] if shift else [])
        if self.text:
            wrote = (self.of.shifted if shift else self.of.alone)[place] if place >= 0 else letter
            self.hand.window.dispatch("on_textinput", wrote)
        if up:
            self.up(key, usage)
        if shift:
            self.up(SHIFT, 225)

    def send(self, text, key_s=0.001, end=ENTER, frame_every=0):
        """A burst: keys ``key_s`` apart, all within one frame or a frame every so many keys."""
        self.hand.frames(2)
        for number, letter in enumerate(text, 1):
            self.strike(letter)
            self.hand.ticks.now_s += key_s
            if frame_every and number % frame_every == 0:
                self.hand.frames(1)
        if end:
            self.down(end, {ENTER: 40, TAB: 43}[end])
            self.up(end, {ENTER: 40, TAB: 43}[end])

    def type(self, text, key_s=0.06):
        """What a quick typist does."""
        for letter in text:
            self.strike(letter)
            self.pause(key_s)

    def pause(self, seconds=0.2, frames=4):
        for _ in range(frames):
            self.hand.ticks.now_s += seconds / frames
            self.hand.frames(1)


@pytest.fixture
def at(tablet, home):
    """The app with a rig open; nothing is looked at, so nothing is drawn."""
    at = tablet(home / "plans" / "small.toml")
    at.hand.drawing = False
    return at


@pytest.fixture
def keys(hand):
    return Keys(hand)


def on_screen(at, name):
    """Go to a screen of the app."""
    if name in ("newcheck", "walk", "symptom", "lines", "summary"):
        at.tap("start a check")
        at.hand.type(at.screen.ids.by.ids.entry, "JD")
        if name != "newcheck":
            at.tap("start")
        words = {"symptom": "faulty", "lines": "lines", "summary": "finish"}
        if name in words:
            at.tap(words[name])
    elif name == "setup":
        at.tap("set up")
        at.hand.type(at.screen.ids.by.ids.entry, "JD")
        at.tap("start")
    elif name == "picture":
        at.tap("picture")
    assert at.screen.name == name
    at.hand.ticks.now_s += 1
    at.hand.frames(2)


def shown_item(at):
    """The item whose card is at the front."""
    assert at.screen.name == "card", (at.screen.name, at.app.pages.banner and at.app.pages.banner.lines)
    view = at.screen.view
    return (getattr(view, "card", None) or view).item


def said(at):
    """What the banner says."""
    assert at.app.pages.banner is not None
    assert at.app.pages.banner.parent is not None
    return " ".join(at.app.pages.banner.lines)


SCREENS = ["rig", "picture", "newcheck", "walk", "symptom", "lines", "summary", "setup"]


# --- bursts are taken


@pytest.mark.parametrize("name", SCREENS)
def test_a_burst_is_taken_on_every_screen(at, keys, name):
    on_screen(at, name)
    keys.send(STOVE)
    at.settle()
    assert shown_item(at) == "STOVE"
    assert at.marks() == []


@pytest.mark.parametrize(
    ("name", "field"), [("newcheck", "name"), ("newcheck", "date"), ("symptom", "note"), ("setup", "code")]
)
def test_a_burst_is_taken_while_something_is_typed_which_stays_as_it_was(at, keys, name, field):
    on_screen(at, name)
    screen, entry = at.screen, at.screen.ids[field]
    entry = getattr(entry.ids, "entry", entry)
    entry.text = "Left half"
    entry.focus = True
    at.hand.frames(2)
    entry.cursor = (4, 0)
    entry.select_text(2, 4)
    before = (entry.text, entry.cursor, entry.selection_text, at.kinds())
    changes = []
    entry.bind(text=lambda *change: changes.append(change))
    entry.bind(on_text_validate=lambda *_: changes.append("enter"))
    keys.send("QN.STRANGE.0")
    at.settle()
    assert "Not read clearly" in (said(at) if name != "setup" else screen.view.answer.words)
    assert (entry.text, entry.cursor, entry.selection_text, at.kinds()) == before
    assert entry.focus
    assert changes == []
    keys.send(STOVE)
    at.settle()
    assert shown_item(at) == "STOVE"
    assert changes == []
    assert entry.text == "Left half"


@pytest.mark.parametrize("text", [SHORTCUTS, "F", "U", " ", "FU", "QN.FUU.U", "2468"])
def test_no_key_of_a_burst_marks_moves_or_undoes_anything(at, keys, text):
    on_screen(at, "walk")
    at.key(SPACE)
    assert [mark[0] for mark in at.marks()] == ["in 1"]
    before = (at.line, at.screen.view, at.kinds())
    for spoilt in (f"QN{text}.X", f"{text}XYZ"):
        keys.send(spoilt)
        at.settle()
        said(at)
        assert (at.line, at.screen.view, at.kinds()) == before
    assert at.screen.name == "walk"


def test_digits_of_a_burst_choose_no_symptom(at, keys):
    on_screen(at, "symptom")
    keys.send("1234567")
    at.settle()
    assert at.screen.name == "symptom"
    assert at.marks() == []


@pytest.mark.parametrize("text", [True, False], ids=["with text", "keys alone"])
def test_a_burst_through_another_keyboard_is_understood(at, hand, text):
    for keyboard in KEYBOARDS:
        hand.ticks.now_s += 2
        Keys(hand, keyboard, text).send(CABLE)
        at.settle()
        assert shown_item(at) == "HP01", keyboard.name
        at.key(ESCAPE)
        assert at.screen.name == "rig"


def test_a_burst_through_another_keyboard_is_understood_while_something_is_typed(at, hand):
    on_screen(at, "newcheck")
    entry = at.screen.ids.name.ids.entry
    entry.text = "Night"
    entry.focus = True
    at.hand.frames(2)
    Keys(hand, BY_NAME["French"]).send(f"HTTPS://ANY.HOST/{CABLE}")
    at.settle()
    assert shown_item(at) == "HP01"
    assert entry.text == "Night"


def test_dropped_and_repeated_keys_are_put_right_on_the_walk_or_asked_for_again_and_never_marked(at, keys):
    on_screen(at, "walk")
    before, taken = at.kinds(), 0
    for place in range(len(STOVE)):
        for text in (STOVE[:place] + STOVE[place + 1 :], STOVE[: place + 1] + STOVE[place:]):
            at.hand.ticks.now_s += 2
            keys.send(text)
            at.settle()
            if at.screen.name == "card":
                assert shown_item(at) == "STOVE"
                taken += 1
                at.key(ESCAPE)
            assert at.screen.name == "walk"
    assert taken > 15
    assert at.kinds() == before


def test_lower_case_caps_lock_links_and_show_tags(at, keys):
    for text in (STOVE.lower(), f"https://any.host/{STOVE.lower()}", Tag("QN", "STOVE", "", "0000").text):
        at.hand.ticks.now_s += 2
        keys.send(text)
        at.settle()
        assert shown_item(at) == "STOVE"
        at.key(ESCAPE)


@pytest.mark.parametrize(("key_s", "frame_every"), [(0.0, 0), (0.001, 1), (0.005, 2), (0.016, 1), (0.028, 1)])
def test_keys_may_come_at_any_pace_of_scanners_in_one_frame_or_many(at, keys, key_s, frame_every):
    on_screen(at, "walk")
    keys.send(STOVE, key_s, frame_every=frame_every)
    at.settle()
    assert shown_item(at) == "STOVE"


def test_tab_or_two_enters_may_end_a_burst(at, keys):
    on_screen(at, "newcheck")
    entry = at.screen.ids.name.ids.entry
    entry.focus = True
    at.hand.frames(2)
    keys.send("QN.STRANGE.0", end=TAB)
    keys.down(ENTER, 40)
    keys.up(ENTER, 40)
    at.settle()
    assert "Not read clearly" in said(at)
    assert entry.focus
    keys.pause()
    keys.down(ENTER, 40)
    at.hand.frames(2)
    assert at.screen.ids.venue.typing


def test_two_scans_in_one_frame_are_two(at, keys):
    on_screen(at, "setup")
    keys.send(STOVE)
    keys.send(CABLE)
    at.settle()
    assert at.kinds().count("connected") == 1


def test_a_burst_that_a_slow_frame_brings_all_at_once_is_taken(at, keys):
    on_screen(at, "newcheck")
    entry = at.screen.ids.name.ids.entry
    entry.text = "Night"
    entry.focus = True
    at.hand.frames(2)
    at.hand.ticks.now_s += 0.9
    for letter in STOVE:
        keys.strike(letter)
    keys.down(ENTER, 40)
    at.settle()
    assert shown_item(at) == "STOVE"
    assert entry.text == "Night"


# --- what is no burst


def test_a_burst_that_was_cut_off_is_dropped_in_silence(at, keys):
    on_screen(at, "walk")
    before = (at.line, at.kinds())
    for text in ("QN.STOVE", "FU1", SHORTCUTS):
        keys.send(text, end=None)
        keys.pause()
        at.settle()
        assert (at.screen.name, at.line, at.kinds()) == ("walk", *before)
        assert at.app.pages.banner is None
    at.key(SPACE)
    assert [mark[0] for mark in at.marks()] == ["in 1"]


def test_a_burst_that_was_cut_off_leaves_what_is_typed_alone(at, keys):
    on_screen(at, "newcheck")
    entry = at.screen.ids.name.ids.entry
    entry.text = "Night"
    entry.focus = True
    at.hand.frames(2)
    keys.send("QN.STOVE", end=None)
    keys.pause()
    assert entry.text == "Night"
    keys.type(" 4")
    keys.pause()
    assert entry.text == "Night 4"


def test_a_single_key_waits_until_it_is_sure_and_no_longer_than_can_be_felt(at, keys):
    on_screen(at, "walk")
    keys.strike(" ")
    keys.pause(0.03, frames=2)
    at.settle()
    assert at.marks() == []
    keys.pause(0.05, frames=3)
    at.settle()
    assert [mark[0] for mark in at.marks()] == ["in 1"]


@pytest.mark.parametrize("key_s", [0.045, 0.06, 0.1, 0.3])
def test_typing_comes_out_as_it_was_typed(at, keys, key_s):
    on_screen(at, "newcheck")
    entry = at.screen.ids.name.ids.entry
    entry.text = ""
    entry.focus = True
    at.hand.frames(2)
    keys.type("The Quick Fox, 1. Night/4", key_s)
    keys.pause()
    assert entry.text == "The Quick Fox, 1. Night/4"


def test_keys_that_fall_together_come_out_in_their_order(at, keys):
    on_screen(at, "newcheck")
    entry = at.screen.ids.name.ids.entry
    entry.text = ""
    entry.focus = True
    at.hand.frames(2)
    for pair in ("TH", "er", "e ", "we"):
        keys.type(pair, 0.004)
        keys.pause()
    assert entry.text == "THere we"
    keys.strike("x")
    keys.down(BACKSPACE, 42)
    keys.pause()
    assert entry.text == "THere we"


def test_a_quick_word_that_a_slow_frame_brings_at_once_is_typed_and_its_enter_counts(at, keys):
    on_screen(at, "newcheck")
    entry = at.screen.ids.name.ids.entry
    entry.text = ""
    entry.focus = True
    at.hand.frames(2)
    at.hand.ticks.now_s += 0.9
    for letter in "Barn dance":
        keys.strike(letter)
    keys.down(ENTER, 40)
    at.hand.frames(2)
    assert entry.text == "Barn dance"
    assert at.screen.ids.venue.typing


def test_a_tap_finds_what_was_typed_just_before_it(at, keys):
    on_screen(at, "newcheck")
    entry = at.screen.ids.by.ids.entry
    entry.text = ""
    entry.focus = True
    at.hand.frames(2)
    keys.strike("A")
    keys.strike("B")
    at.tap("start", after_s=0.01)
    assert at.screen.name == "walk"
    at.tap("ok")
    assert at.marks()[0][3] == "AB"


def test_a_held_key_repeats_where_something_is_typed_and_marks_once_on_the_walk(at, keys):
    on_screen(at, "newcheck")
    entry = at.screen.ids.name.ids.entry
    entry.text = ""
    entry.focus = True
    at.hand.frames(2)
    keys.strike("x", up=False)
    keys.pause(0.4)
    for _ in range(5):
        keys.strike("x", up=False)
        assert not at.app.listener._events
        keys.pause(0.033, frames=1)
    keys.up(ord("x"), 27)
    assert entry.text == "xxxxxx"
    at.tap("start")
    keys.pause(1)
    keys.strike(" ", up=False)
    keys.pause(0.4)
    for _ in range(20):
        keys.strike(" ", up=False)
        keys.pause(0.033, frames=1)
    at.settle()
    assert [mark[0] for mark in at.marks()] == ["in 1"]


def test_chords_and_escape_keep_their_meaning(at, keys):
    on_screen(at, "newcheck")
    entry = at.screen.ids.name.ids.entry
    entry.text = "Night"
    entry.focus = True
    at.hand.frames(2)
    keys.strike("x")
    keys.down(ord("a"), 4, ["ctrl"])
    assert entry.text == "Nightx"
    assert entry.selection_text == "Nightx"
    keys.pause(1)
    keys.strike("y")
    keys.down(ESCAPE, 41)
    assert entry.text == "y"
    at.settle()
    assert at.screen.name == "rig"


def test_arrows_are_never_held_back(at, keys):
    on_screen(at, "walk")
    at.key(275)
    assert at.line == "in 2"
    keys.pause(1)
    keys.down(LEFT, 80)
    at.settle()
    assert at.line == "in 1"


def test_keys_of_other_alphabets_with_the_toolkits_own_numbers_are_known_by_their_place(at, hand):
    """The toolkit counts F2 as 283, which is the Czech letter at the figure 2 as well."""
    assert ord("ě") == 283
    on_screen(at, "walk")
    Keys(hand, BY_NAME["Czech"]).send(Tag("QN", "LD02", "A").text)
    at.settle()
    assert shown_item(at) == "LD02"


def test_once_stopped_it_listens_no_more(at, keys):
    at.app.dispatch("on_stop")
    keys.send(STOVE)
    at.hand.frames(3)
    assert at.app.pages.shown.name == "rig"
