"""The camera screen: real films played by the real reader in place of a camera, machines without one, the real app."""

import gc
import sys
import threading
import time
from itertools import pairwise
from pathlib import Path
from weakref import ref

import pytest
from PIL import Image

from checkapp.rig.codes import Tag
from checkapp.scan.video import Frame, NoCamera, open_camera, open_video
from checkapp.show.session import Session
from checkapp.show.setup_views import Answer

sys.path.append(str(Path(__file__).parents[1] / "bench"))
from drawn_codes import board, drawn, film

DEMO = Path(__file__).parents[2] / "plans" / "demo.toml"
TEXTS = [Tag("QN", "STRINGS").text, Tag("QN", "HP01", "A").text, Tag("QN", "HP01", "B").text]
SIZE = (640, 360)
BLANK = board([], SIZE)
ESCAPE = 27


def scene(*texts):
    return board([drawn(text, 5) for text in texts], SIZE)


class Player:
    """A camera that is a film, played again and again.

    It can be plugged and unplugged and counts how often it is open; ``pace_s`` is the time from frame to frame.
    """

    def __init__(self, path, pace_s=0.01):
        self.path, self.pace_s = path, pace_s
        self.plugged = True
        self.open_now = self.opened = self.most_open = 0
        self.asked = []

    def __call__(self, number):
        self.asked.append(number)
        if not self.plugged:
            raise NoCamera("no camera")
        self.opened += 1
        self.open_now += 1
        self.most_open = max(self.most_open, self.open_now)
        return Played(self, number % 2)


class Played:
    def __init__(self, player, number):
        self.player, self.number = player, number
        self.capture = open_video(player.path)

    def read(self):
        time.sleep(self.player.pace_s)
        if not self.player.plugged:
            return None
        frame = self.capture.read()
        if frame is None:
            self.capture.close()
            self.capture = open_video(self.player.path)
            frame = self.capture.read()
        return frame

    def close(self):
        self.capture.close()
        self.player.open_now -= 1


@pytest.fixture(scope="module")
def films(tmp_path_factory):
    """Films: one tag, two at once, none, one in large pictures."""
    folder = tmp_path_factory.mktemp("films")
    large = scene(TEXTS[0]).resize((1921, 1081))
    return {
        "one": film(folder / "one.avi", [scene(TEXTS[0])] * 10),
        "two": film(folder / "two.avi", [scene(*TEXTS[1:])] * 10),
        "nothing": film(folder / "nothing.avi", [BLANK] * 10),
        "large": film(folder / "large.avi", [large] * 5),
    }


@pytest.fixture
def watch(build, hand, monkeypatch, ticks):
    """Build the screen over a source in place of a camera."""
    from checkapp.touch import camera_worker
    from checkapp.touch.screens.camera import CameraScreen

    monkeypatch.setattr(camera_worker, "RETRY_S", 0.1)
    screens = []

    def make(source, view=None):
        monkeypatch.setattr(CameraScreen, "open_source", staticmethod(source))
        monkeypatch.setattr(CameraScreen, "now_s", ticks)
        screens.append(build("camera", view))
        return screens[-1]

    yield make
    for screen in screens:
        screen._rest()
    readers = [thread for thread in threading.enumerate() if thread.name == "codes"]
    for reader in readers:
        reader.join(10)  # the last look of a test ends in that test
    assert not any(reader.is_alive() for reader in readers)


def scanned(calls):
    return [made[1] for made in calls.made if made[0] == "scanned"]


def threads():
    return [thread for thread in threading.enumerate() if thread.name in ("camera", "codes")]


def words_on(screen):
    """All that can be read on the screen."""
    found = []

    def walk(widget):
        if widget.opacity > 0:
            found.append(getattr(widget, "text", ""))
            for child in widget.children:
                walk(child)

    walk(screen)
    return " ".join(filter(None, found))


# -- reading


def test_a_tag_before_the_camera_is_scanned_once_while_it_stays(watch, hand, calls, films):
    screen = watch(Player(films["one"]))
    hand.until(lambda: scanned(calls), "the tag")
    looks = time.monotonic() + 0.5
    hand.until(lambda: time.monotonic() > looks, "more looks")
    assert scanned(calls) == [TEXTS[0]]
    assert screen.said == f"read {TEXTS[0]}"
    assert screen.state == "live"


def test_all_tags_of_a_picture_are_scanned(watch, hand, calls, films):
    watch(Player(films["two"]))
    hand.until(lambda: len(scanned(calls)) == 2, "both tags")
    assert set(scanned(calls)) == set(TEXTS[1:])


def test_the_same_tag_is_scanned_again_once_it_was_out_of_sight_for_two_seconds(watch, hand, calls, films, ticks):
    player = Player(films["one"])
    live = watch(player).ids.live
    for hidden_s, scans in ((None, 1), (1.9, 1), (2.1, 2), (0.5, 2)):
        player.path = films["nothing"]
        if hidden_s is not None:
            hand.until(lambda: not live.marks, "the tag out of sight")
            ticks.now_s += hidden_s
        player.path = films["one"]
        hand.until(lambda: live.marks, "the tag in sight")
        assert scanned(calls) == [TEXTS[0]] * scans


def test_a_new_tag_is_scanned_at_once(watch, hand, calls, films):
    player = Player(films["one"])
    watch(player)
    hand.until(lambda: scanned(calls), "the first tag")
    player.path = films["two"]
    hand.until(lambda: len(scanned(calls)) == 3, "the others, on the same tick of the clock")


def test_a_frame_is_drawn_round_what_was_read(watch, hand, films, tmp_path):
    screen = watch(Player(films["one"]))
    hand.until(lambda: screen.ids.live.marks, "the frame")
    live = screen.ids.live
    left, bottom, wide, high = live.fit
    ((*points,),) = live.marks
    rights, ups = points[::2], points[1::2]
    scale = wide / SIZE[0]
    dark = 40 + 4 * 5, 30 + 4 * 5
    assert min(rights) == pytest.approx(left + dark[0] * scale, abs=6 * scale)
    assert max(ups) == pytest.approx(bottom + high - dark[1] * scale, abs=6 * scale)
    assert max(rights) - min(rights) == pytest.approx(21 * 5 * scale, abs=8 * scale)
    hand.frames(3)
    live.export_to_png(str(tmp_path / "live.png"))
    x, y = (points[0] + points[2]) / 2 - live.x, live.top - (points[1] + points[3]) / 2
    red, green, blue, _ = Image.open(tmp_path / "live.png").convert("RGBA").getpixel((int(x), int(y)))
    assert (green > red + 40, green > blue + 20) == (True, True), (red, green, blue)


def test_what_is_shown_is_what_the_camera_sees_upright_and_whole(watch, hand, films):
    """Also where the width is odd: 1921 pixels, shown in at most 1280."""
    for name in ("one", "large"):
        screen = watch(Player(films[name]))
        hand.until(lambda screen=screen: screen.ids.live.texture is not None, "a picture")
        texture = screen.ids.live.texture
        assert texture.width <= 1280
        wide, high = texture.size
        rows = texture.pixels
        x, y = 0.12 * wide, (30 + 5 * 5) / SIZE[1] * high  # within the dark corner of the code
        dark = rows[4 * (int(y) * wide + int((40 + 5 * 5 - 2) / SIZE[0] * wide))]
        light = rows[4 * (int((30 + 8) / SIZE[1] * high) * wide + int(x))]
        grey = rows[4 * (int(0.9 * high) * wide + int(0.9 * wide))]
        assert (dark < 70, light > 190, 100 < grey < 160) == (True, True, True)


# -- frames


class Counted(Frame):
    """A frame with a number, that takes long to be read and keeps a list of those that were."""

    def __init__(self, pixels, number, read, takes_s):
        super().__init__(pixels)
        object.__setattr__(self, "more", (number, read, takes_s))

    def codes(self, number=0):
        mine, read, takes_s = self.more
        read.append(mine)
        time.sleep(takes_s)
        return super().codes(number)


class Counting:
    """A film whose frames are counted."""

    number = 0

    def __init__(self, path, takes_s):
        self.path, self.takes_s = path, takes_s
        self.given, self.read_ones, self.lags = 0, [], []
        self.frame = None

    def __call__(self, _number):
        capture = open_video(self.path)
        self.frame = capture.read()
        capture.close()
        return self

    def read(self):
        time.sleep(0.01)
        self.given += 1
        return Counted(self.frame.pixels, self.given, self.read_ones, self.takes_s)

    def close(self):
        pass


def test_the_newest_frame_is_read_and_none_is_queued(watch, hand, films):
    source = Counting(films["one"], takes_s=0.15)
    watch(source)
    hand.until(lambda: len(source.read_ones) >= 6, "six looks")
    steps = [after - before for before, after in pairwise(source.read_ones)]
    assert source.given - source.read_ones[-1] < 40
    assert all(step >= 5 for step in steps), steps


def test_the_screen_goes_on_while_a_frame_is_read(watch, hand, films):
    """No frame of the app takes anywhere near as long as reading one of the camera's."""
    source = Counting(films["one"], takes_s=1.0)
    screen = watch(source)
    hand.until(lambda: source.read_ones, "a look")
    slowest, end = 0.0, time.monotonic() + 0.8
    while time.monotonic() < end:
        start = time.monotonic()
        hand.frames(1)
        slowest = max(slowest, time.monotonic() - start)
    assert slowest < 0.5
    assert screen.ids.live.texture is not None


# -- no camera


def test_no_camera_is_a_state_with_words_and_typing_goes_on(watch, hand, calls):
    """The real way to a camera, on a machine without one."""
    screen = watch(open_camera)
    hand.until(lambda: screen.state == "none", "the state")
    assert screen.ids.other.disabled
    said = words_on(screen)
    assert "No camera" in said
    assert "hand scanner" in said
    assert "typed" in said
    hand.type(screen.ids.code, "strings")
    screen.ids.code.dispatch("on_text_validate")
    assert scanned(calls) == ["strings"]
    assert screen.ids.code.text == ""


def test_without_opencv_it_is_said_what_to_install(watch, hand, monkeypatch):
    monkeypatch.setitem(sys.modules, "cv2", None)
    screen = watch(open_camera)
    hand.until(lambda: screen.state == "missing", "the state")
    said = words_on(screen)
    assert "pip install 'checkapp[camera]'" in said
    assert "hand scanner" in said


def test_a_camera_that_is_plugged_in_later_is_found(watch, hand, calls, films):
    player = Player(films["one"])
    player.plugged = False
    screen = watch(player)
    hand.until(lambda: screen.state == "none", "no camera")
    player.plugged = True
    hand.until(lambda: scanned(calls), "the tag")
    assert "No camera" not in words_on(screen)


def test_a_camera_that_is_unplugged_is_let_go_said_and_tried_again(watch, hand, calls, films):
    player = Player(films["one"])
    screen = watch(player)
    hand.until(lambda: scanned(calls), "the tag")
    player.plugged = False
    hand.until(lambda: "gives no picture" in words_on(screen), "the words")
    hand.until(lambda: player.open_now == 0, "the device")
    assert screen.ids.live.texture is None
    player.plugged = True
    hand.until(lambda: screen.state == "live", "the camera again")


def test_the_other_camera(watch, hand, films):
    player = Player(films["one"])
    screen = watch(player)
    hand.until(lambda: screen.state == "live", "the camera")
    hand.frames(3)
    hand.tap(screen.ids.other)
    hand.until(lambda: player.opened == 2 and screen.state == "live", "the other")
    assert player.asked == [0, 1]
    assert player.most_open == 1


# -- letting the device go


def test_leaving_lets_the_camera_go_and_coming_back_takes_it_again(watch, hand, films):
    from kivy.uix.screenmanager import Screen

    player = Player(films["one"], pace_s=0.1)
    screen = watch(player)
    hand.until(lambda: screen.state == "live", "the camera")
    manager = screen.manager
    manager.add_widget(Screen(name="else"))
    for back in (True, False):
        manager.current = "else"
        hand.frames(1)
        if back:
            manager.current = "camera"  # at once, while the device is still being let go
            hand.until(lambda: player.opened == 2 and screen.state == "live", "the camera again")
            assert player.open_now == 1
    hand.until(lambda: player.open_now == 0, "the device")
    hand.until(lambda: not threads(), "the threads")
    assert player.most_open == 1
    assert screen.ids.live.texture is None


def test_a_screen_that_is_no_longer_seen_lets_the_camera_go(watch, hand, films):
    player = Player(films["one"])
    screen = watch(player)
    hand.until(lambda: screen.state == "live", "the camera")
    hand.clear()
    hand.until(lambda: player.open_now == 0, "the device")


@pytest.mark.parametrize("plugged", [True, False])
@pytest.mark.parametrize("under_way", [True, False])
def test_a_screen_that_is_built_anew_leaves_no_camera_at_work(
    hand, calls, views, films, monkeypatch, plugged, under_way
):
    from checkapp.touch import camera_worker
    from checkapp.touch.pages import Pages
    from checkapp.touch.screens.camera import CameraScreen

    player = Player(films["nothing"])
    player.plugged = plugged
    monkeypatch.setattr(camera_worker, "RETRY_S", 0.1)
    monkeypatch.setattr(CameraScreen, "open_source", staticmethod(player))
    pages = Pages()
    pages.moves = calls
    hand.show(pages)
    pages.show(*views["setup"])
    pages.show("camera", None)
    if not under_way:
        hand.until(lambda: pages.shown.state == ("live" if plugged else "none"), "the camera")
    old = ref(pages.shown)
    pages.forget()
    pages.front("camera")
    hand.until(lambda: pages.shown.state == ("live" if plugged else "none"), "the camera again")
    hand.until(lambda: sum(one.name == "camera" for one in threads()) == 1, "one camera at work")
    pages.front("setup")
    hand.until(lambda: not threads(), "the threads")
    hand.frames(2)
    gc.collect()
    assert (old(), player.open_now) == (None, 0)


def test_a_camera_that_was_passed_by_within_a_frame_stays_off_when_the_app_comes_back(
    tablet, hand, views, monkeypatch, films, home
):
    """It was left for a card, and that for the walk, before the next frame; then the app was put aside and back."""
    from checkapp.touch import camera_worker
    from checkapp.touch.screens.camera import CameraScreen

    player = Player(films["nothing"])
    player.plugged = False
    monkeypatch.setattr(camera_worker, "RETRY_S", 0.1)
    monkeypatch.setattr(CameraScreen, "open_source", staticmethod(player))
    at = tablet(home / "plans" / "small.toml")
    pages = at.app.pages
    pages.show("camera", None)
    hand.until(lambda: pages.shown.state == "none", "the camera")
    hand.frames(2)
    old = ref(pages.shown)
    pages.show(*views["settings"])
    pages.front("rig")
    hand.until(lambda: not threads(), "the threads")
    at.app.dispatch("on_pause")
    at.app.dispatch("on_resume")
    hand.frames(2)
    assert threads() == []
    pages.forget()
    pages.front("rig")
    hand.frames(2)
    gc.collect()
    assert old() is None


def test_ways_out(watch, hand, calls, films):
    screen = watch(Player(films["nothing"]))
    screen.came_from = "set-up"
    hand.frames()
    hand.tap(hand.button(screen, "set-up"))
    assert screen.key(ESCAPE)
    assert calls.made == [("under",), ("under",)]


# -- the look


VIEWS = {
    "no answer": None,
    "right": Answer("ok", "HP01 B is in RIGHT link in", "That is right."),
    "wrong": Answer(
        "faulty",
        "HP12 B is in STRINGS link in: wrong",
        "Into STRINGS link in belongs HP14 B. HP12 B belongs into BRASS link in, Brass riser.",
    ),
}


@pytest.mark.parametrize("source", ["none", "live", "missing"])
@pytest.mark.parametrize("type_scale", [1.0, 1.5])
@pytest.mark.parametrize("size", [(1280, 800), (800, 1280), (360, 640), (640, 360)], ids=str)
def test_words_fit_buttons_are_large_and_nothing_overlaps(watch, hand, films, size, type_scale, source, monkeypatch):
    from kivy.metrics import Metrics, dp

    Metrics.fontscale = type_scale
    hand.drawing = False
    hand.size(*((740, 480) if size == (640, 360) and type_scale > 1 else size))
    if source == "missing":
        monkeypatch.setitem(sys.modules, "cv2", None)
    for view in VIEWS.values():
        screen = watch(Player(films["one"]) if source == "live" else open_camera, view)
        hand.until(lambda screen=screen: screen.state == source, source)
        hand.frames(4)
        wrong = list(faults(screen, screen))
        assert not wrong, "\n".join(wrong)
        assert screen.ids.live.height >= dp(72)


def faults(widget, screen, scrolls=False):
    """What is cut, too small to be tapped, outside the screen or over something else."""
    from kivy.metrics import dp
    from kivy.uix.behaviors.button import ButtonBehavior
    from kivy.uix.label import Label
    from kivy.uix.scrollview import ScrollView

    seen = [one for one in widget.children if one.opacity > 0 and min(one.size) > 0]
    for one in seen:
        if isinstance(one, Label) and one.text and one.texture_size[1] > one.height + 1:
            yield f"cut: {one.text}"
        if isinstance(one, ButtonBehavior) and not one.disabled and min(one.size) < dp(48) - 0.5:
            yield f"small: {one} {one.size}"
        if not scrolls and outside(one, screen):
            yield f"outside: {one} {one.pos} {one.size}"
        yield from (f"{one} over {other}" for other in seen if other is not one and over(one, other))
        yield from faults(one, screen, scrolls or isinstance(one, ScrollView))


def outside(one, screen):
    return one.x < -1 or one.y < -1 or one.right > screen.width + 1 or one.top > screen.height + 1


def over(one, other):
    level = min(one.right, other.right) - max(one.x, other.x)
    upright = min(one.top, other.top) - max(one.y, other.y)
    return level > 1 and upright > 1


# -- in the real app


@pytest.fixture
def app(hand, ticks, tmp_path, films, monkeypatch):
    from kivy.app import App

    from checkapp.touch.app import CheckApp
    from checkapp.touch.screens.camera import CameraScreen

    player = Player(films["one"])
    monkeypatch.setattr(CameraScreen, "open_source", staticmethod(player))
    app = CheckApp(lambda: Session(home=tmp_path), str(DEMO), now_s=ticks)
    app._run_prepare()
    hand.frames(3)
    hand.until(lambda: app.door.waiting == 0, "the session")
    hand.frames(3)
    app.player = player
    yield app
    app.dispatch("on_stop")
    hand.window.remove_widget(app.root)
    App._running_app = None


def test_from_the_camera_to_the_card_in_the_real_app(app, hand, ticks):
    ticks.now_s += 1
    app.moves.camera()
    assert app.pages.shown.name == "camera"
    hand.until(lambda: app.pages.shown.name == "card", "the card of what was scanned")
    assert app.pages.shown.card.item == "STRINGS"
    hand.until(lambda: app.player.open_now == 0, "the device")


def test_the_camera_is_let_go_when_the_app_is_put_aside_and_when_it_is_closed(app, hand, ticks, films):
    app.player.path = films["nothing"]
    ticks.now_s += 1
    app.moves.camera()
    hand.until(lambda: app.player.open_now == 1, "the camera")
    assert app.dispatch("on_pause")
    assert app.player.open_now == 0
    app.dispatch("on_resume")
    hand.until(lambda: app.player.open_now == 1, "the camera again")
    app.dispatch("on_stop")
    assert app.player.open_now == 0


def test_the_camera_opened_again_says_nothing_of_the_scan_before(app, hand, ticks, films):
    app.player.path = films["nothing"]
    ticks.now_s += 1
    app.moves.camera()
    app.moves.scanned("ABC 123")
    hand.until(lambda: app.pages.shown.view is not None, "the answer")
    ticks.now_s += 1
    app.moves.under()
    assert app.pages.shown.name == "rig"
    ticks.now_s += 1
    app.moves.camera()
    assert app.pages.shown.name == "camera"
    assert app.pages.shown.view is None
