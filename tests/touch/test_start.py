"""What is loaded when, what is set before the toolkit starts, and what is said where no window can be made."""

import os
import shutil
import subprocess
import sys
from pathlib import Path

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
heavy = {{"sqlalchemy", "pydantic", "reportlab", "kivy.uix.textinput"}} & set(sys.modules)
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


def test_without_a_display_a_window_can_be_made_where_egl_is():
    assert window_available({**BARE, "SDL_VIDEODRIVER": "offscreen"}) == ""


def test_no_display_is_said():
    assert window_available(BARE) == "no display: none of DISPLAY, WAYLAND_DISPLAY, SDL_VIDEODRIVER is set"


def test_a_driver_without_opengl_is_said():
    assert "dummy" in window_available({**BARE, "SDL_VIDEODRIVER": "dummy"})


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


def test_pictures_of_every_screen_from_a_copy_of_the_journal(tmp_path):
    plan = tmp_path / "small.toml"
    for name in ("small.toml", "wrong.toml", "kinds.toml"):
        shutil.copy(Path(__file__).parents[2] / "plans" / name, tmp_path)
    following = plan.read_text(encoding="utf-8").replace('"STOVE in 4"', '"STOVE in 6"')
    (tmp_path / "next.toml").write_text(following, encoding="utf-8")
    code = f"""
import sys
from pathlib import Path
from checkapp.show.session import Session
from checkapp.touch.pictures import take_pictures
home = Path({str(tmp_path)!r})
files = take_pictures(home / "out", lambda: Session(home=home), home / "kivy", {str(plan)!r}, [(360, 640)])
print(*(file.name for file in files))
"""
    done = python(code, SDL_VIDEODRIVER="offscreen")
    names = done.stdout.split()
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
            "files",
            "incoming",
            "column",
            "naming",
        )
    ]
    for name in names:
        head = (tmp_path / "out" / name).read_bytes()[:24]
        assert head[:8] == b"\x89PNG\r\n\x1a\n"
        assert (int.from_bytes(head[16:20]), int.from_bytes(head[20:24])) == (360, 640)
    assert len({(tmp_path / "out" / name).read_bytes() for name in names}) == len(names)


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
