"""Starting the touch app: what must be set before the toolkit is first imported, then the app itself."""

from __future__ import annotations

import gc
import logging
import os
import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

from checkapp.rig.errors import CheckappError
from checkapp.show.beginning import begin_with
from checkapp.show.opening import check_display, session_maker
from checkapp.show.places import home
from checkapp.show.preferences import read_preferences

if TYPE_CHECKING:
    from checkapp.show.session import Session

Begin = Callable[[], tuple[str, Any] | None]


class NoFolder(CheckappError):
    """The user's folder cannot be used."""


class NoWindow(CheckappError):
    """There is a display, but no window with OpenGL on it."""


class NotAllSaved(CheckappError):
    """At the end something could not be written to the journal; the message says where it is kept."""


def open_app(plan: Path | None = None, journal: Path | None = None) -> None:
    """Open the app on this machine: on ``plan``, None to offer those there are; on ``journal``, None for its own.

    What `check_display` and `run` raise.
    """
    check_display(plan)
    folder = home()
    if plan is None:
        run(session_maker(journal), folder, begin=lambda: begin_with(folder, journal))
    else:
        run(session_maker(journal), folder, str(plan))


def run(
    make_session: Callable[[], Session], folder: Path, plan: str | None = None, begin: Begin = lambda: None
) -> None:
    """Run the app until it is closed.

    ``make_session`` makes the session, on the app's worker thread. ``folder`` is the user's, where it is kept
    how this tablet is set; it is made if missing. ``plan`` is the plan file to open, None to offer those there are.
    ``begin`` tells what can be shown of that in the first frame, once the language is chosen.

    `NoFolder`: the user's cannot be used. `NoWindow`: the display gives none. `NotAllSaved`: at the end.
    """
    gc.disable()  # what is loaded stays: to look through it again and again takes time
    preferences = read_preferences(folder)
    try:
        prepare(folder / "kivy")
    except OSError as error:
        words = (
            f"{folder}: nothing can be kept here: {error.strerror}; let CHECKAPP_HOME name a folder that can be written"
        )
        raise NoFolder(words) from None
    if sys.platform.startswith("linux"):
        os.environ.setdefault("SDL_VIDEODRIVER", "x11,wayland")  # else it may draw where nobody sees it
    from kivy.core.window import Window

    if Window is None:
        raise NoWindow("no window with OpenGL 2 can be made on this display; without one the commands still work")
    from checkapp.touch.app import CheckApp

    app = CheckApp(make_session, plan, preferences=preferences, begin=begin, begun=_collect_again)
    app.run()
    if app.door.left:
        raise NotAllSaved(app.door.left)


def _collect_again() -> None:
    """Look for rubbish from now on, but not among what has been loaded."""
    gc.freeze()
    gc.enable()


def prepare(kivy_home: Path) -> None:
    """Set up the toolkit before it is first used.

    Its folder is ours, it leaves our arguments, streams and log alone, taps come from the window only.
    """
    kivy_home.mkdir(parents=True, exist_ok=True)
    os.environ.update(KIVY_HOME=str(kivy_home), KIVY_NO_ARGS="1", KIVY_LOG_MODE="PYTHON")
    os.environ.setdefault("KIVY_WINDOW", "sdl2")  # the others end the process without a word where there is no display
    log = logging.getLogger("kivy")
    log.propagate = False
    log.addHandler(logging.NullHandler())
    from kivy.config import Config

    for name, _provider in Config.items("input"):
        Config.remove_option("input", name)
    Config.set("input", "mouse", "mouse,disable_multitouch")
    Config.set("kivy", "exit_on_escape", "0")
    Config.set("graphics", "multisamples", "0")  # shapes are drawn smooth; twice the samples take twice the time
    for name, least in (("width", "1280"), ("height", "800"), ("minimum_width", "320"), ("minimum_height", "480")):
        Config.set("graphics", name, least)
