"""What is loaded when, what is set before the toolkit starts, and what is said where no window can be made."""

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from PIL import Image

from checkapp.touch.probe import window_available

BARE = {key: value for key, value in os.environ.items() if not key.startswith(("KIVY_", "SDL_", "DISPLAY", "WAYLAND"))}


def python(code, **environment):
    done = subprocess.run(
        [sys.executable, "-c", code],
        env={**BARE, "PYTHONPATH": os.pathsep.join(sys.path), **environment},
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    return done


def test_the_package_loads_no_toolkit():
    python("import sys, checkapp.touch, checkapp.touch.start, checkapp.touch.probe; assert 'kivy' not in sys.modules")


def test_the_first_screen_loads_nothing_of_the_plan_and_the_journal(tmp_path):
    code = f"""
import sys
from pathlib import Path
from checkapp.touch.start import prepare
prepare(Path({str(tmp_path)!r}))
import checkapp.cli, checkapp.show.opening, checkapp.touch.app, checkapp.touch.screens.rigs
heavy = {{"sqlalchemy", "pydantic", "reportlab", "typer", "kivy.uix.textinput"}} & set(sys.modules)
assert not heavy, heavy
"""
    python(code, SDL_VIDEODRIVER="offscreen")


def test_the_toolkit_leaves_arguments_streams_and_log_alone(tmp_path):
    home = tmp_path / "deep" / "kivy"
    code = f"""
import logging, sys
from pathlib import Path
stderr, argv = sys.stderr, list(sys.argv)
from checkapp.touch.start import prepare
prepare(Path({str(home)!r}))
import kivy, kivy.app
from kivy.config import Config
assert sys.stderr is stderr and sys.argv == argv
assert not logging.getLogger().handlers
assert kivy.kivy_home_dir == {str(home)!r}
assert Config.items("input") == [("mouse", "mouse,disable_multitouch")]
assert not Config.getboolean("kivy", "exit_on_escape")
logging.getLogger("kivy").warning("not for the terminal")
"""
    done = python(code, SDL_VIDEODRIVER="offscreen", KIVY_HOME="/nowhere")
    assert (done.stdout, done.stderr) == ("", "")
    assert (home / "config.ini").is_file()


def test_rubbish_is_looked_for_again_once_the_app_has_begun(tmp_path):
    code = f"""
import gc
from pathlib import Path
from checkapp.show.beginning import begin_with
from checkapp.show.session import Session
from checkapp.touch import start
home = Path({str(tmp_path)!r})
start.prepare(home / "kivy")
from kivy.app import App
from kivy.clock import Clock
states = []

def look(_dt):
    states.append(gc.isenabled())
    if states[-1]:
        App.get_running_app().stop()

Clock.schedule_interval(look, 0)
start.run(lambda: Session(home=home), home, begin=lambda: begin_with(home))
assert states[0] is False and gc.isenabled() and gc.get_freeze_count() > 0, states[:3]
"""
    python(code, SDL_VIDEODRIVER="offscreen")


def test_without_a_display_a_window_can_be_made_where_egl_is():
    assert window_available({**BARE, "SDL_VIDEODRIVER": "offscreen"}) == ""


def test_no_display_is_said():
    assert window_available(BARE) == "no display: none of DISPLAY, WAYLAND_DISPLAY, SDL_VIDEODRIVER is set"


def test_a_driver_without_opengl_is_said():
    assert "dummy" in window_available({**BARE, "SDL_VIDEODRIVER": "dummy"})


def test_a_folder_that_cannot_be_used_is_said(tmp_path):
    (tmp_path / "file").touch()
    done = subprocess.run(
        [sys.executable, "-m", "checkapp"],
        env={
            **BARE,
            "PYTHONPATH": os.pathsep.join(sys.path),
            "SDL_VIDEODRIVER": "offscreen",
            "CHECKAPP_HOME": str(tmp_path / "file"),
        },
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )
    assert (done.returncode, done.stdout) == (2, "")
    said = "nothing can be kept here: Not a directory; let CHECKAPP_HOME name a folder that can be written"
    assert done.stderr == f"{tmp_path / 'file'}: {said}\n"


def test_the_app_says_so_where_the_display_gives_no_window(tmp_path):
    done = subprocess.run(
        [sys.executable, "-m", "checkapp"],
        env={
            **BARE,
            "PYTHONPATH": os.pathsep.join(sys.path),
            "DISPLAY": ":987",
            "CHECKAPP_HOME": str(tmp_path),
        },
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )
    assert done.returncode == 2
    assert done.stdout == ""
    assert done.stderr.startswith("no window with OpenGL 2 can be made on this display")
    assert done.stderr.count("\n") == 1


def test_a_backend_that_draws_nothing_is_said():
    said = window_available({**BARE, "SDL_VIDEODRIVER": "offscreen", "KIVY_GL_BACKEND": "mock"})
    assert said == "KIVY_GL_BACKEND is mock, so nothing can be drawn; unset it"


@pytest.fixture
def plan(tmp_path):
    """The small rig among others, with one that comes after it."""
    plan = tmp_path / "small.toml"
    for name in ("small.toml", "wrong.toml", "kinds.toml"):
        shutil.copy(Path(__file__).parents[2] / "plans" / name, tmp_path)
    following = plan.read_text(encoding="utf-8").replace('"STOVE in 4"', '"STOVE in 6"')
    (tmp_path / "next.toml").write_text(following, encoding="utf-8")
    return plan


def take(home, plan, wanted, before=""):
    """The names of the pictures that were taken."""
    code = f"""{before}
from pathlib import Path
from checkapp.show.session import Session
from checkapp.touch import pictures
home = Path({str(home)!r})
wanted = pictures.{wanted}
files = pictures.take_pictures(home / "out", lambda: Session(home=home), home / "kivy", {str(plan)!r}, wanted)
print(*(file.name for file in files))
"""
    return python(code, SDL_VIDEODRIVER="offscreen").stdout.split()


def assert_pictures(folder, names, size, ground):
    """They are of that size, in those colours, and no two are the same."""
    seen = set()
    for name in names:
        with Image.open(folder / name) as picture:
            assert (picture.size, picture.mode) == (size, "RGB")
            seen.add(picture.tobytes())
            assert ground in {colour for _, colour in picture.getcolors(1 << 20)}, name
    assert len(seen) == len(names)


def test_pictures_of_the_screens_of_the_work_from_a_copy_of_the_journal(tmp_path, plan):
    names = take(tmp_path, plan, "Wanted(sizes=[(360, 640)])")
    assert names == [
        f"{name}-360x640.png"
        for name in (
            "rigs",
            "rig",
            "rig-stops",
            "picture",
            "card",
            "newcheck",
            "card-scanned",
            "setup",
            "setup-wrong",
            "walk",
            "walk-output",
            "symptom",
            "fault",
            "blame",
            "fault-swap",
            "fault-after",
            "faults",
            "lines-likely",
            "lines",
            "summary",
            "past",
            "changeover",
            "oldrigs",
        )
    ]
    assert_pictures(tmp_path / "out", names, (360, 640), (0x0F, 0x12, 0x14))


def test_there_is_a_picture_of_every_screen(tmp_path, plan):
    from checkapp.show.session import Session
    from checkapp.show.tour import play_tour
    from checkapp.touch.gallery import every_view
    from checkapp.touch.pages import SCREENS

    play_tour(plan, tmp_path, 3)
    session = Session(tmp_path / "tour.db", home=tmp_path)
    try:
        views = every_view(session, str(plan), tmp_path)
    finally:
        session.close()
    assert {view.screen for view in views} == set(SCREENS)
    assert len({view.picture for view in views}) == len(views)


LOOKED_AT = """
from checkapp.show.settings import settings_view
from checkapp.touch.shown import View
views = lambda session, plan: [
    View("rigs", "rigs", session.rigs()),
    View("rigs-said", "rigs", session.rigs(), said=("Something to say.",)),
    View("rigs-unsaved", "rigs", session.rigs(), unsaved="Something is not saved yet."),
    View("settings", "settings", anew=lambda session, preferences, look: settings_view(preferences)),
]
"""


def test_what_is_said_over_a_screen_and_what_depends_on_the_look_is_on_the_pictures(tmp_path, plan):
    wanted = "Wanted(views, [(360, 640)], pictures.every_look('de')[:2])"
    names = take(tmp_path, plan, wanted, LOOKED_AT)
    pictures = ("rigs", "rigs-said", "rigs-unsaved", "settings")
    assert names == [f"{one}-360x640-{colours}.png" for colours in ("dark", "light") for one in pictures]
    assert_pictures(tmp_path / "out", names[:4], (360, 640), (0x0F, 0x12, 0x14))
    assert_pictures(tmp_path / "out", names[4:], (360, 640), (0xF5, 0xF2, 0xEA))


def test_each_look_has_its_own_files():
    from checkapp.touch.pictures import SIZES, Wanted, every_look
    from checkapp.touch.shown import View

    wanted = Wanted(looks=every_look("en"))
    names = {wanted.name(View("walk", "walk"), look, size) for look in wanted.looks for size in SIZES}
    assert len(names) == 9
    assert "walk-1280x800-dim.png" in names


def test_pictures_say_what_is_missing(tmp_path):
    done = subprocess.run(
        [sys.executable, "-m", "checkapp.touch.pictures", str(tmp_path / "out"), "plan.toml", str(tmp_path / "j.db")],
        env={**BARE, "PYTHONPATH": os.pathsep.join(sys.path), "SDL_VIDEODRIVER": "dummy"},
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )
    assert done.returncode == 1
    assert done.stdout.splitlines()[-1].startswith("no window:")
