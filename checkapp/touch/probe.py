"""Can a window be made here? Asked in another process, because a window that cannot be made ends its process."""

import os
import subprocess
import sys
import tempfile
from collections.abc import Mapping
from typing import Final

TIMEOUT_S: Final = 60
_DISPLAYS: Final = ("DISPLAY", "WAYLAND_DISPLAY", "SDL_VIDEODRIVER")
_MADE: Final = "window made"
_TRY: Final = f"""
from kivy.core.window import Window
from kivy.graphics.opengl import glGetString, GL_VERSION
if Window is not None and glGetString(GL_VERSION):
    print({_MADE!r})
"""


def window_available(environment: Mapping[str, str] | None = None) -> str:
    """Empty when a window with OpenGL can be made, else one sentence that says what is missing.

    ``environment`` is the environment to try it in, by default this process's own.
    """
    given = dict(os.environ if environment is None else environment)
    if given.get("KIVY_GL_BACKEND") == "mock":
        return "KIVY_GL_BACKEND is mock, so nothing can be drawn; unset it"
    if sys.platform.startswith("linux") and not any(given.get(name) for name in _DISPLAYS):
        return f"no display: none of {', '.join(_DISPLAYS)} is set"
    with tempfile.TemporaryDirectory() as folder:
        given.update(KIVY_HOME=folder, KIVY_NO_ARGS="1", KIVY_LOG_MODE="PYTHON")
        try:
            done = subprocess.run(
                [sys.executable, "-c", _TRY], env=given, capture_output=True, text=True, timeout=TIMEOUT_S, check=False
            )
        except subprocess.TimeoutExpired:
            return f"no window: the display did not answer within {TIMEOUT_S} s"
    return "" if _MADE in done.stdout else _missing(given, done.stderr)


def _missing(environment: Mapping[str, str], said: str) -> str:
    driver = environment.get("SDL_VIDEODRIVER", "")
    if "No module named 'kivy'" in said:
        return "no window: Kivy is not installed"
    if driver == "offscreen":
        return "no window without a display: OpenGL through EGL is missing (Mesa's libEGL and its software renderer)"
    if driver:
        return f"no window: the video driver {driver} that SDL_VIDEODRIVER names gives none with OpenGL"
    return "no window: this display gives none with OpenGL 2"
