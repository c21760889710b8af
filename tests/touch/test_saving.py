"""The app while the disk is slow, held by another program, or gone: what the screens say, and what they never say."""

import sqlite3
import threading
import time

import pytest


@pytest.fixture
def walking(tablet, home):
    """The app as it is started by a person: it waits no longer than a moment for the disk."""
    at = tablet(home / "plans" / "small.toml", wait_s=0.05)
    at.start_check()
    at.hand.until(lambda: at.screen.view.waiting == 0, "the start to be saved")
    return at


@pytest.fixture
def held(walking):
    """Another program keeps the journal to itself until it is let go."""
    other = sqlite3.connect(walking.journal, isolation_level=None, check_same_thread=False)
    other.execute("BEGIN IMMEDIATE")
    yield other
    other.close()


def words_on(screen):
    from kivy.uix.label import Label

    return [label.text for label in screen.walk() if isinstance(label, Label) and label.text]


def test_taps_do_not_wait_for_the_disk_and_are_shown_as_saved_only_when_they_are(walking, held):
    seen = []
    timer = threading.Timer(2.0, held.execute, ["ROLLBACK"])
    timer.start()
    begin = time.monotonic()
    for _ in range(5):
        name = walking.line
        walking.tap("ok", 0.7)
        assert walking.line != name
        view = walking.screen.view
        seen.append((view.ok, view.waiting, view.message))
    assert time.monotonic() - begin < 2.0, "the taps waited for the disk"
    assert [(ok, waiting) for ok, waiting, _ in seen] == [(0, number) for number in range(1, 6)]
    assert all("writing" in message and "saved" not in message for *_, message in seen)
    assert "5 not saved" in words_on(walking.screen)
    assert walking.marks() == []
    walking.hand.until(lambda: walking.screen.view.waiting == 0, "the marks to be saved")
    timer.join()
    assert walking.screen.view.ok == 5
    assert walking.screen.view.message.endswith(", saved")
    assert "5 ok" in words_on(walking.screen)
    assert len(walking.marks()) == 5


def test_what_cannot_be_saved_stands_above_every_screen_until_it_is(walking, tmp_path):
    from checkapp.touch.widgets.unsaved import UnsavedStrip

    walking.tap("ok")
    pulled = tmp_path / "pulled"
    pulled.mkdir()
    for file in tmp_path.glob("journal.db*"):
        file.rename(pulled / file.name)
    walking.tap("ok")
    walking.hand.until(lambda: walking.app.pages.trouble, "the trouble to be told")
    assert walking.app.pages.trouble.startswith("in 2 ok is not saved yet: the journal is not at its place")
    strip = walking.app.pages.strip
    assert isinstance(strip, UnsavedStrip)
    assert strip.parent is not None
    assert walking.app.pages.trouble in words_on(strip)
    walking.tap("lines")
    assert "ok, not saved yet, JD" in words_on(walking.screen)
    walking.tap("back")
    walking.tap("finish")
    assert walking.screen.name == "summary"
    assert strip.parent is not None
    assert walking.hand.button(walking.screen, "1 not saved yet").disabled
    for file in pulled.iterdir():
        file.rename(tmp_path / file.name)
    walking.hand.until(lambda: not walking.app.pages.trouble, "the mark to be saved")
    assert strip.parent is None
    walking.hand.until(lambda: not walking.screen.view.waiting, "the summary to tell it")
    assert [row.line for row in walking.screen.view.ok] == ["in 1", "in 2"]
    assert [line for line, *_ in walking.marks()] == ["in 1", "in 2"]


def test_closing_with_something_unsaved_is_asked_back_once_and_says_where_it_is_kept(walking, tmp_path):
    for file in list(tmp_path.glob("journal.db*")):
        file.rename(tmp_path / f"pulled-{file.name}")
    walking.tap("ok")
    walking.hand.until(lambda: walking.app.pages.trouble, "the trouble to be told")
    window = walking.hand.window
    assert window.dispatch("on_request_close") is True
    walking.hand.frames(2)
    assert any("Close again to leave" in words for words in words_on(walking.app.pages.banner))
    assert not window.dispatch("on_request_close")
    walking.app.dispatch("on_stop")
    left = walking.app.door.left
    (kept,) = (tmp_path / "unsaved").iterdir()
    assert left.startswith("1 entry could not be saved in the journal; kept in ")
    assert str(kept) in left
