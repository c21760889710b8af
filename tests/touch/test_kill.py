"""The app is killed in the middle of a walk, without a word of warning, and comes back at the same line."""

import os
import shutil
import signal
import sqlite3
import subprocess
import sys
import time
from pathlib import Path

import pytest

from checkapp.show.session import Session
from checkapp.show.verifying import verify_journal

PLANS = Path(__file__).parents[2] / "plans"
WALKER = """
import signal
import sys

signal.alarm(60)  # the end of it, should it stand still
from pathlib import Path
from checkapp.show.session import Session
from checkapp.touch.start import prepare

home, plan = Path(sys.argv[1]), sys.argv[2]
prepare(home / "kivy")
from kivy.clock import Clock
from kivy.core.window import Window
from checkapp.touch.app import CheckApp

seconds = [0.0]
app = CheckApp(lambda: Session(home=home), plan, now_s=lambda: seconds[0])


def steps():
    while app.pages.shown.name != "rig":
        yield
    seconds[0] += 1.0
    app.moves.start_check("Night 1", "", "2031-05-02", "JD")
    while app.pages.shown.name != "walk":
        yield
    while True:
        walk = app.pages.shown
        before = walk.view
        seconds[0] += 1.0
        Window.dispatch("on_key_down", 32, 0, " ", [])
        Window.dispatch("on_key_up", 32, 0)
        while walk.view is before:
            yield
        print(before.line, "saved" in walk.view.message, walk.view.line, sep="|", flush=True)


step = steps()
Clock.schedule_interval(lambda dt: next(step), 0)
app.run()
"""


@pytest.mark.parametrize(("after", "later_s"), [(1, 0.0), (4, 0.0), (7, 0.008)])
def test_killed_and_started_again(tmp_path, after, later_s):
    said = killed(tmp_path, after, later_s)
    look_at_what_is_left(tmp_path, said)


def killed(folder, after, later_s):
    """Let the app in that folder mark, kill it so long after it said so many lines; what it said: line, saved, next."""
    for name in ("demo.toml", "kinds.toml"):
        shutil.copy(PLANS / name, folder / name)
    environment = {**os.environ, "SDL_VIDEODRIVER": "offscreen", "PYTHONPATH": os.pathsep.join(sys.path)}
    walker = subprocess.Popen(
        [sys.executable, "-c", WALKER, str(folder), str(folder / "demo.toml")],
        env=environment,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    try:
        said = [walker.stdout.readline().strip().split("|") for _ in range(after)]
        time.sleep(later_s)
    finally:
        walker.send_signal(signal.SIGKILL)
        rest, errors = walker.communicate(timeout=30)
    said += [line.split("|") for line in rest.splitlines() if line.count("|") == 2]
    assert len(said[0]) == 3, errors
    return said


def look_at_what_is_left(folder, said):
    """Everything that was shown as saved is there, and the app comes back at its line."""
    assert all(words[1] == "True" for words in said)

    with sqlite3.connect(folder / "journal.db") as opened:
        marked = [line for (line,) in opened.execute("select subject from entry where kind = 'mark' order by rowid")]
    assert marked[: len(said)] == [words[0] for words in said]
    assert len(marked) <= len(said) + 1

    session = Session(home=folder)
    walk = session.resume(str(folder / "demo.toml"))
    session.close()
    assert walk.ok == len(marked)
    shown = said[-1][2]
    if len(marked) == len(said):
        assert walk.line == shown
    else:
        assert walk.line in (shown, f"in {int(shown.removeprefix('in ')) + 1}")
    lines, sound = verify_journal(folder / "journal.db")
    assert sound, lines


def test_the_app_itself_shows_that_line(tmp_path, hand, ticks):
    """The same through the window: what the killed app left is what the new one shows first."""
    from kivy.app import App

    from checkapp.touch.app import CheckApp

    session = Session(home=tmp_path)
    session.open_rig(str(PLANS / "small.toml"))
    session.start_check("Night 1", "", "2031-05-02", "JD")
    session.ok("in 1")
    session.go_to("in 5")
    app = CheckApp(lambda: Session(home=tmp_path), now_s=ticks)  # the first session is still open, as after a kill
    app._run_prepare()
    hand.until(lambda: app.pages.shown.name == "walk", "the walk")
    assert app.pages.shown.view.line == "in 5"
    app.dispatch("on_stop")
    App._running_app = None
    session.close()
