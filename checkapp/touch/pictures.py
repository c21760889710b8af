"""Pictures of the real screens, taken without a display.

``python -m checkapp.touch.pictures FOLDER PLAN JOURNAL LANGUAGE`` shows the plan and a copy of the journal in the real
app and saves the screens of the work at each size, in that language (ISO 639-1). With ``every`` behind that it saves
every screen, at each size in each colour set. It prints one line that says what is missing when there is no OpenGL, and
ends with status 1.
"""

from __future__ import annotations

import os
import shutil
import sys
import tempfile
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from checkapp.show.preferences import VALUES, Preferences
from checkapp.touch.colours import COLOURS

if TYPE_CHECKING:
    from checkapp.rig.errors import CheckappError
    from checkapp.scan.video import Capture
    from checkapp.show.session import Session
    from checkapp.touch.app import CheckApp
    from checkapp.touch.shown import View

SIZES: Final = ((1280, 800), (800, 1280), (360, 640))
PLAIN: Final = (Preferences(language="en"),)
"""The look of the usual pictures."""
_SETTLE_FRAMES: Final = 8

Views = Callable[["Session", str], list["View"]]


@dataclass(frozen=True, slots=True)
class Wanted:
    """What pictures are wanted: the views, None for those of the work on the plan; sizes in pixels; looks."""

    views: Views | None = None
    sizes: Sequence[tuple[int, int]] = SIZES
    looks: Sequence[Preferences] = PLAIN

    def name(self, view: View, look: Preferences, size: tuple[int, int]) -> str:
        """The file's name; with several looks it tells the colours."""
        colours = f"-{look.colours}" if len(self.looks) > 1 else ""
        return f"{view.picture}-{size[0]}x{size[1]}{colours}.png"


def every_look(language: str) -> tuple[Preferences, ...]:
    """Each colour set, in a language."""
    return tuple(Preferences(colours=colours, language=language) for colours in VALUES["colours"])


def every_screen(language: str, home: Path) -> Wanted:
    """All screens there are, in each colour set; ``home`` is a folder for what is made on the way."""
    from checkapp.touch.gallery import every_view

    return Wanted(partial(every_view, home=home), looks=every_look(language))


def take_pictures(
    folder: Path, make_session: Callable[[], Session], kivy_home: Path, plan: str, wanted: Wanted = Wanted()
) -> list[Path]:
    """Show the screens of the plan in the real app and save them at each size in each look; the files, in order.

    A check that is not signed off is signed off on the way. Errors: those of the session.
    """
    from checkapp.touch.start import prepare

    os.environ["KCFG_GRAPHICS_MAXFPS"] = "0"  # the clock reads it once, when the toolkit is first imported
    prepare(kivy_home)
    from kivy.clock import Clock

    from checkapp.touch.app import CheckApp
    from checkapp.touch.screens.camera import CameraScreen

    CameraScreen.open_source = staticmethod(_no_camera)
    folder.mkdir(parents=True, exist_ok=True)
    files: list[Path] = []
    app = CheckApp(make_session, plan, preferences=wanted.looks[0])
    script = _script(app, folder, plan, wanted, files)
    ticking = Clock.schedule_interval(lambda _dt: next(script, None), 0)
    app.run()
    ticking.cancel()
    return files


def _no_camera(first: int = 0) -> Capture:
    """The camera of whoever takes the pictures stays off, number ``first`` and all others."""
    from checkapp.scan.video import NoCamera

    raise NoCamera(f"no camera is looked for from number {first} on")


def _script(app: CheckApp, folder: Path, plan: str, wanted: Wanted, files: list[Path]) -> Iterator[None]:
    """One step a frame: wait for the views, then show and save each at each size in each look."""
    from kivy.core.window import Window

    from checkapp.touch.settings_moves import take_up
    from checkapp.touch.shown import main_views

    make = wanted.views or main_views
    views: list[View] = []
    yield from _asked(app, lambda session: make(session, plan), views.extend)
    Window.bind(on_draw=_undrawn)
    for look in wanted.looks:
        if look != wanted.looks[0]:
            app.pages.forget()
            take_up(look)
        for size in wanted.sizes:
            Window.size = size
            for view in views:
                yield from _show(app, view, look)
                files.append(folder / wanted.name(view, look, size))
                _save(app, look, files[-1])
    Window.unbind(on_draw=_undrawn)
    app.stop()


def _undrawn(_window: object) -> bool:
    """Nobody looks at the window: only what is saved is drawn."""
    return True


def _asked(app: CheckApp, ask: Callable[[Session], Any], take: Callable[[Any], None]) -> Iterator[None]:
    """Wait for an answer of the session."""
    errors: list[CheckappError] = []
    app.door.submit(ask, take, errors.append)
    while app.door.waiting:
        yield
    if errors:
        raise errors[0]


def _show(app: CheckApp, view: View, look: Preferences) -> Iterator[None]:
    """Show a view, and let it settle."""
    pages = app.pages
    if view.anew is not None:
        from checkapp.touch.figure_look import look_now

        made, now = view.anew, look_now(pages.manager.width)
        answers: list[Any] = []
        yield from _asked(app, lambda session: made(session, look, now), answers.append)
        view = view._replace(view=answers[0])
    pages.put_away()
    pages.show(view.screen, view.view)
    pages.lead(view.lead)
    pages.unsaved(view.unsaved)
    if view.said:
        pages.say(view.said)
    for _ in range(_SETTLE_FRAMES):
        yield


def _save(app: CheckApp, look: Preferences, file: Path) -> None:
    """Save what is shown, on the window's ground: drawn on nothing, the edges of letters would come out thin."""
    from kivy.graphics import Color, Rectangle
    from kivy.utils import get_color_from_hex
    from PIL import Image

    pages = app.pages
    with pages.canvas.before:
        paint = Color(*get_color_from_hex(COLOURS[look.colours]["ground"]))
        ground = Rectangle(pos=pages.pos, size=pages.size)
    shown = pages.export_as_image().texture
    pages.canvas.before.remove(ground)
    pages.canvas.before.remove(paint)
    Image.frombytes("RGBA", shown.size, shown.pixels).convert("RGB").save(file)


def main(words: Sequence[str]) -> int:
    """Take the pictures that the words ask for; the exit status."""
    from checkapp.touch.probe import window_available

    folder, plan, journal = Path(words[0]), words[1], Path(words[2])
    os.environ.setdefault("SDL_VIDEODRIVER", "offscreen")
    missing = window_available()
    if missing:
        sys.stdout.write(f"{missing}\n")
        return 1
    from checkapp.show.session import Session

    with tempfile.TemporaryDirectory() as place:
        home = Path(place)
        for file in journal.parent.glob(f"{journal.name}*"):
            shutil.copy(file, home / file.name)
        plain = Wanted(looks=(Preferences(language=words[3]),))
        wanted = every_screen(words[3], home) if words[4:] == ["every"] else plain
        take_pictures(folder, lambda: Session(home / journal.name, home=home), home / "kivy", plan, wanted)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
