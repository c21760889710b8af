"""The history screen on a year of a busy crew's log: the longest frame that the screen was held; run by hand.

200 checks of 250 lines at 20 shows on 5 rigs, 50,000 marks. The app is opened without a display; the history is
opened, filtered, scrolled through, and its figures are drawn, while the times between frames are taken. The time that
a step took has the 60 frames in it that are watched after its answer came.
"""

import os
import sys
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path
from time import perf_counter

sys.path.insert(0, str(Path(__file__).parent))
os.environ.setdefault("SDL_VIDEODRIVER", "offscreen")

from bench_history import rows

from checkapp.journal.journal import INSERT, Journal
from checkapp.show.session import Session
from checkapp.touch.start import prepare

MARKS = 50_000
PLAN = Path(__file__).parents[2] / "plans" / "demo.toml"
QUIET_FRAMES = 60
GATE_S = 0.6
STEPS = 60


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        home = Path(folder)
        with Journal.open(home / "j.db", new_device="tablet-0", create=True) as journal, journal.writing() as bare:
            bare.executemany(INSERT, rows(MARKS, swaps=True))
        prepare(home / "kivy")
        measured(home)


def measured(home: Path) -> None:
    from kivy.clock import Clock
    from kivy.config import Config
    from kivy.core.window import Window

    from checkapp.touch.app import CheckApp

    Config.set("graphics", "maxfps", "0")
    Window.size = (1280, 800)
    app = CheckApp(lambda: Session(home / "j.db", home=home), str(PLAN))
    steps = _steps(app)
    Clock.schedule_interval(lambda _dt: next(steps, None), 0)
    app.run()


def _steps(app: object) -> Iterator[None]:
    moves, pages = app.pages.moves, app.pages

    def waited() -> Iterator[None]:
        yield
        while app.door.waiting:
            yield

    def quiet() -> Iterator[None]:
        for _ in range(QUIET_FRAMES):
            yield

    def scrolled() -> Iterator[None]:
        (found,) = [one for one in pages.shown.walk() if type(one).__name__ == "RowList"]
        for step in range(STEPS):
            found.scroll_y = 1 - step / STEPS
            yield
        print(f"  {len(found.data)} rows are {len(found.children[0].children)} widgets")

    yield from waited()
    yield from done("a quiet screen", lambda: None, quiet)
    yield from done("history opened", moves.history, lambda: _then(waited, quiet))
    screen = pages.shown
    yield from done("scrolled", lambda: None, scrolled)
    yield from done("1 kind", lambda: screen.chose("cable"), lambda: _then(waited, quiet))
    yield from done("1 year", lambda: screen.chose_when("1 year"), lambda: _then(waited, quiet))
    yield from done("all time", lambda: screen.chose_when("all time"), lambda: _then(waited, quiet))
    yield from done("the shows", lambda: screen.chose_when("a show"), lambda: _then(waited, quiet))
    yield from done("back", moves.history_again, quiet)
    yield from done("figures", screen.draw, lambda: _then(waited, quiet))
    yield from done("figures again", screen.draw, lambda: _then(waited, quiet))
    app.stop()


def done(what: str, begin: Callable[[], object], watched: Callable[[], Iterator[None]]) -> Iterator[None]:
    """Wait until a tap is taken, begin, and tell of the frames until what is watched is over."""
    until = perf_counter() + GATE_S
    while perf_counter() < until:
        yield
    begin()
    longest, start, last = 0.0, perf_counter(), perf_counter()
    for _ in watched():
        yield
        now = perf_counter()
        longest, last = max(longest, now - last), now
    print(f"{what}: longest frame {1000 * longest:.0f} ms, over after {last - start:.2f} s")


def _then(*parts) -> Iterator[None]:
    for part in parts:
        yield from part()


if __name__ == "__main__":
    main()
