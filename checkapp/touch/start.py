"""Starting the touch app: what must be set before the toolkit is first imported, then the app itself."""

from __future__ import annotations

import logging
import os
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from checkapp.show.session import Session


def run(make_session: Callable[[], Session], kivy_home: Path, plan: str | None = None) -> None:
    """Run the app until it is closed.

    ``make_session`` makes the session, on the app's worker thread. ``kivy_home`` is the folder where the toolkit keeps
    its settings; it is made if missing. ``plan`` is the plan file to open, None to offer those there are.
    """
    prepare(kivy_home)
    from checkapp.touch.app import CheckApp

    CheckApp(make_session, plan).run()


def prepare(kivy_home: Path) -> None:
    """Set up the toolkit before it is first used.

    Its folder is ours, it leaves our arguments, streams and log alone, taps come from the window only.
    """
    kivy_home.mkdir(parents=True, exist_ok=True)
    os.environ.update(KIVY_HOME=str(kivy_home), KIVY_NO_ARGS="1", KIVY_LOG_MODE="PYTHON")
    _keep_log_quiet()
    from kivy.config import Config

    for name, _provider in Config.items("input"):
        Config.remove_option("input", name)
    Config.set("input", "mouse", "mouse,disable_multitouch")
    Config.set("kivy", "exit_on_escape", "0")
    for name, least in (("width", "1280"), ("height", "800"), ("minimum_width", "320"), ("minimum_height", "480")):
        Config.set("graphics", name, least)


def _keep_log_quiet() -> None:
    """Only what stops the app reaches standard error; a missing clipboard helper is reported as if it did."""
    log = logging.getLogger("kivy")
    log.propagate = False
    if not log.handlers:
        handler = logging.StreamHandler()
        handler.setLevel(logging.CRITICAL)
        handler.addFilter(lambda record: not record.getMessage().startswith("Cutbuffer"))
        log.addHandler(handler)
