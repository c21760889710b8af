"""Every screen in every size, density, text scale and language, for bare hands and for gloves, laid out and looked at.

Run by hand, with OpenGL through EGL (Mesa); it takes some minutes, less with only some of it::

    python tests/bench/check_layouts.py
    python tests/bench/check_layouts.py --language de --gloves yes --scale 1.5 --screen walk

Looked at are the views that the tests have made up, with words longer than any place, and those of a real session on
the demo rig in that language. Nothing may be cut, lie over anything else or outside the window, or be too small to hit.
The screens are built anew for each density and text scale, as when the app starts or that
is set. The status is 1 when anything is wrong.
"""

# ruff: noqa: E402, I001  the window and the tests' own modules are made known before they are imported
import argparse
import gc
import os
import re
import shutil
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from itertools import product
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parents[2]
DENSITIES = (1.0, 2.0)
SCALES = (1.0, 1.5)
LANGUAGES = ("en", "de")
DIALOGS = ("banner", "strip", "places")
SHOWS = 3
"""So many shows have a history in the real session."""
WHERE = re.compile(r" -?\d+x-?\d+ at -?\d+,-?\d+")

os.environ["SDL_VIDEODRIVER"] = "offscreen"
sys.path[:0] = [str(ROOT), str(ROOT / "tests" / "touch")]

from conftest import LONG, MORE_VIEWS, VIEWS, Calls, Hand, Ticks  # before the toolkit: it is set up by it
from sweeping import SIZES, begin, frames, lay_out, pages_with, put_over, settled_faults, window_of

from checkapp.show.preferences import Preferences
from checkapp.touch.shown import View


class Sweep:
    """Lays out one view after another in every size, and keeps what is wrong with them."""

    def __init__(self, hand: Hand, session: Any) -> None:
        self.hand, self.session = hand, session
        self.wrong: dict[tuple[str, str], list[str]] = {}
        self.count = 0

    def view(self, view: View, look: Preferences, density: float) -> None:
        """Look at one view in each size."""
        begin(self.hand, look, density)
        pages = pages_with(self.hand, Calls(), view.screen, self.made(view, look))
        pages.lead(view.lead)
        pages.unsaved(view.unsaved)
        if view.said:
            pages.say(view.said)
        for at in self.turned(look, density):
            if view.anew:
                pages.renew(view.screen, self.made(view, look))
                frames(2)
            self.look_at(view.picture, pages.banner if view.said else pages, at)

    def over(self, dialog: str, look: Preferences, density: float) -> None:
        """Look at what lies over a walk in each size."""
        begin(self.hand, look, density)
        pages = pages_with(self.hand, Calls(), *VIEWS["walk"])
        for at in self.turned(look, density):
            self.look_at(dialog, put_over(pages, dialog), at)
            pages.fold()

    def turned(self, look: Preferences, density: float) -> Iterator[str]:
        """Turn the window to each size, and say which."""
        for size in SIZES:
            lay_out(self.hand.window, window_of(size, density, look.text_scale))
            yield f"{size[0]}x{size[1]} density {density} {words_of(look)}"

    def look_at(self, picture: str, root: Any, at: str) -> None:
        """Keep what is wrong."""
        self.count += 1
        for fault in settled_faults(root, LONG, self.hand.window):
            self.wrong.setdefault((picture, WHERE.sub("", fault)), []).append(f"{at}: {fault}")

    def made(self, view: View, look: Preferences) -> Any:
        """What a view shows; some depend on the look."""
        from checkapp.touch.figure_look import look_now

        return view.anew(self.session, look, look_now(self.hand.window.width)) if view.anew else view.view

    def told(self) -> int:
        """Print what is wrong, by screen, and forget it; the number of faults."""
        count = len(self.wrong)
        for (picture, fault), places in sorted(self.wrong.items()):
            print(f"  {picture}: {fault}\n    {len(places)} times, first {places[0]}")
        self.wrong.clear()
        return count


def words_of(look: Preferences) -> str:
    """A look in words."""
    return f"{look.language} {'gloves' if look.gloves else 'bare'} text {look.text_scale:g}"


def samples() -> list[View]:
    """The views that the tests have made up."""
    return [View(f"sample {name}", screen, view) for name, (screen, view) in (VIEWS | MORE_VIEWS).items()]


@contextmanager
def real(home: Path, language: str) -> Iterator[tuple[Any, list[View]]]:
    """A session after a short tour, and the views that it makes in a language."""
    from checkapp.show.session import Session
    from checkapp.show.tour import play_tour
    from checkapp.tongue import use
    from checkapp.touch.gallery import every_view

    plan = Path(shutil.copytree(ROOT / "plans", home / "plans")) / "demo.toml"
    told = play_tour(plan, home, SHOWS)
    use(language)
    session = Session(told.journal, home=home)
    try:
        yield session, every_view(session, str(plan), home)
    finally:
        session.close()


def no_camera(first: int = 0) -> Any:
    """The camera of whoever runs this stays off."""
    from checkapp.scan.video import NoCamera

    raise NoCamera(f"no camera is looked for from number {first} on")


def opened() -> Hand:
    """A hand at a window without a display."""
    from checkapp.touch.start import prepare

    prepare(Path(os.environ["KIVY_HOME"]))
    from kivy.core.window import Window

    from checkapp.touch.screens.camera import CameraScreen

    CameraScreen.open_source = staticmethod(no_camera)
    hand = Hand(Window, Ticks())
    hand.drawing = False
    gc.collect()
    gc.freeze()  # what is there now stays
    return hand


def swept(hand: Hand, home: Path, looks: list[Preferences], wanted: Callable[[View], bool]) -> int:
    """All looks of one language; the number of faults."""
    with real(home, looks[0].language) as (session, views):
        sweep, faults = Sweep(hand, session), 0
        for look in looks:
            began_s = time.monotonic()
            for density, view in product(DENSITIES, filter(wanted, [*samples(), *views])):
                sweep.view(view, look, density)
            for density, dialog in product(DENSITIES, DIALOGS if wanted(View("walk", "walk")) else ()):
                sweep.over(dialog, look, density)
            faults += (found := sweep.told())
            print(f"{words_of(look)}: {found} faults, {time.monotonic() - began_s:.0f} s", flush=True)
        print(f"{sweep.count} layouts, {faults} faults", flush=True)
    return faults


def main() -> int:
    """Lay out and look; the exit status."""
    asked = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    asked.add_argument("--language", choices=LANGUAGES, help="only this one")
    asked.add_argument("--gloves", choices=("no", "yes"), help="only with or without")
    asked.add_argument("--scale", type=float, choices=SCALES, help="only this text scale")
    asked.add_argument("--screen", help="only this one")
    words = asked.parse_args()
    faults = 0
    hand = opened()
    for language in [words.language] if words.language else LANGUAGES:
        looks = [
            Preferences(language=language, gloves=gloves, text_scale=scale)
            for gloves, scale in product((False, True), SCALES)
            if words.gloves in (None, "yes" if gloves else "no") and words.scale in (None, scale)
        ]
        with tempfile.TemporaryDirectory() as place:
            faults += swept(hand, Path(place), looks, lambda view: words.screen in (None, view.screen))
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
