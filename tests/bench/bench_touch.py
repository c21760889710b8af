"""Taps and scrolling of the app against the bare toolkit, in one run; run by hand.

``python tests/bench/bench_touch.py``. Each round starts three processes in turns, off screen, at 1280x800: a bare
window whose button changes a label and whose list shows 512 labels, the app with a check of 512 lines in its real
journal, and the app with 64 lines, to tell what grows with the lines. Printed are the times from a tap to the frame in
which its answer can be seen (median and 99th percentile) and the times of frames while the list is scrolled, with their
ratios. A frame ends when all of it is painted.

A tap of the app is a mark: it goes through the session and comes back with the next line. Taps are measured as a hand
makes them, with a pause before each, and once more right after one another, as no hand does and the app does not let
it: there it takes no second tap within 0.3 s. Frames are drawn one after another without waiting for a display, by
whatever OpenGL there is. The bare window has the toolkit's own settings, two
samples a pixel among them; the app takes one and draws its shapes smooth by itself.
"""

import json
import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path

ROOT = Path(__file__).parents[2]
LINES = 512
FEW = 64
ROUNDS = 5
TAPS = 60
WARM_UP = 10
STEP_DP = 24
FRAMES = 400
PAUSE_S = 0.0005
BETWEEN_S = 0.1
GOALS = {
    **dict.fromkeys(
        ("tap, median", "tap, 99th percentile", "taps at once, median", "taps at once, 99th percentile"), 2.0
    ),
    "frame while scrolling, mean": 1.5,
}
SERIES = {"tap": BETWEEN_S, "taps at once": 0.0}


def main() -> None:
    """Measure in turns and print."""
    if sys.argv[1:]:
        bare(Path(sys.argv[2])) if sys.argv[1] == "bare" else ours(Path(sys.argv[2]), int(sys.argv[1]))
        return
    found: dict[str, list[dict[str, list[float]]]] = {"bare": [], str(LINES): [], str(FEW): []}
    for _ in range(ROUNDS):
        for kind, results in found.items():
            with tempfile.TemporaryDirectory() as home:
                results.append(_measured(kind, home))
    print(f"{ROUNDS} rounds in turns, ms: bare toolkit, app with {LINES} lines, ratio; app with {FEW} lines")
    figures = [_figures(results) for results in found.values()]
    for name in figures[0]:
        bare_ms, our_ms, few_ms = (one[name] for one in figures)
        goal = f"goal {GOALS[name]}" if name in GOALS else ""
        few = f"{few_ms:8.2f}" if name.startswith("tap") else ""
        print(f"  {name:34} {bare_ms:8.2f} {our_ms:8.2f} {our_ms / bare_ms:6.2f} {goal:8} {few}")


def _figures(rounds: list[dict[str, list[float]]]) -> dict[str, float]:
    """Medians of the rounds; the 99th percentile is that of the taps of all rounds together."""
    taps = {
        f"{name}, {which}": figure
        for name in SERIES
        for which, figure in (
            ("median", statistics.median(statistics.median(times[name]) for times in rounds)),
            ("99th percentile", statistics.quantiles([tap for times in rounds for tap in times[name]], n=100)[98]),
        )
    }
    return taps | {
        "frame while scrolling, mean": statistics.median(statistics.mean(times["frames"]) for times in rounds),
        "frame while scrolling, longest": statistics.median(max(times["frames"]) for times in rounds),
        "scrolling by a screen, frame, mean": statistics.median(statistics.mean(times["jumps"]) for times in rounds),
    }


def _measured(kind: str, home: str) -> dict[str, list[float]]:
    environment = {**os.environ, "SDL_VIDEODRIVER": "offscreen", "PYTHONPATH": str(ROOT), "CHECKAPP_HOME": home}
    command = [sys.executable, __file__, kind, home]
    run = subprocess.run(command, env=environment, stdout=subprocess.PIPE, check=True, timeout=300)
    return json.loads(run.stdout)


def _prepare(home: Path, *, as_it_comes: bool = False) -> None:
    from checkapp.touch.start import prepare

    prepare(home / "kivy")
    from kivy.config import Config

    if as_it_comes:
        Config.set("graphics", "multisamples", "2")

    Config.set("graphics", "maxfps", "0")
    Config.set("postproc", "double_tap_time", "0")


def _tapped(x: float, y: float, seen: Callable[[], bool]) -> float:
    """Milliseconds from a finger that comes down until the frame with its answer is painted to the last pixel.

    OpenGL paints behind the program that draws: it is waited for, before a tap and after it.
    """
    from kivy.base import EventLoop
    from kivy.graphics.opengl import glFinish
    from kivy.tests.common import UnitTestTouch

    touch = UnitTestTouch(x, y)
    glFinish()
    begin = time.perf_counter()
    touch.touch_down()
    touch.touch_up()
    EventLoop.idle()
    while not seen():
        time.sleep(PAUSE_S)  # as between two frames on a display, so that the worker is not kept from its work
        EventLoop.idle()
    glFinish()
    return 1000 * (time.perf_counter() - begin)


def _scrolled(found: object, step_px: float, frames: int) -> list[float]:
    """Milliseconds of each frame while a list is scrolled down by ``step_px`` a frame."""
    from kivy.base import EventLoop
    from kivy.graphics.opengl import glFinish

    room = max(1.0, found.children[0].height - found.height)
    times = []
    for at in range(frames):
        found.scroll_y = max(0.0, 1 - at * step_px / room)
        begin = time.perf_counter()
        EventLoop.idle()
        glFinish()
        times.append(1000 * (time.perf_counter() - begin))
    return times


def _meanwhile(pause_s: float) -> Iterator[None]:
    """Frames until the next tap."""
    end = time.perf_counter() + pause_s
    while time.perf_counter() < end:
        time.sleep(PAUSE_S)
        yield


def _tell(taps: dict[str, list[float]], frames: list[float], jumps: list[float]) -> None:
    taps = {name: times[WARM_UP:] for name, times in taps.items()}
    print(json.dumps({**taps, "frames": frames[WARM_UP:], "jumps": jumps[2:]}), flush=True)


def bare(home: Path) -> None:
    """A button that changes a label, then a list of labels."""
    _prepare(home, as_it_comes=True)
    from kivy.app import App
    from kivy.core.window import Window
    from kivy.lang import Builder
    from kivy.metrics import dp

    root = Builder.load_string("""
BoxLayout:
    orientation: "vertical"
    Label:
        id: label
        text: "0"
        font_size: "56sp"
    Button:
        id: button
        text: "ok"
        size_hint_y: None
        height: "144dp"
        on_release: label.text = str(int(label.text) + 1)
""")
    listed = Builder.load_string("""
RecycleView:
    viewclass: "Label"
    RecycleBoxLayout:
        orientation: "vertical"
        default_size: None, dp(88)
        default_size_hint: 1, None
        size_hint_y: None
        height: self.minimum_height
""")
    listed.data = [{"text": f"{at}  A line of that number"} for at in range(LINES)]

    def steps() -> Iterator[None]:
        yield
        taps = {name: [] for name in SERIES}
        for name, pause_s in SERIES.items():
            for _ in range(TAPS):
                before = root.ids.label.text
                yield from _meanwhile(pause_s)
                seen = lambda before=before: root.ids.label.text != before  # noqa: E731
                taps[name].append(_tapped(*root.ids.button.center, seen))
                yield
        Window.remove_widget(root)
        Window.add_widget(listed)
        for _ in range(10):
            yield
        _tell(taps, _scrolled(listed, dp(STEP_DP), FRAMES), _scrolled(listed, Window.height, 50))

    class Bare(App):
        def build(self) -> object:
            return root

    _run(Bare(), steps())


def ours(home: Path, lines: int) -> None:
    """A check: marks, each of the next line, then the list of lines."""
    _prepare(home)
    from kivy.core.window import Window
    from kivy.metrics import dp

    sys.path.insert(0, str(Path(__file__).parent))
    from big_rig import plan_text

    from checkapp.show.session import Session
    from checkapp.touch.app import CheckApp

    plan = home / "big.toml"
    plan.write_text(plan_text(16, 100, lines) if lines > FEW else plan_text(2, 10, lines), encoding="utf-8")
    gate = iter(range(10**9))
    app = CheckApp(lambda: Session(home / "j.db", home=home), str(plan), lambda: float(next(gate)))

    def waited() -> Iterator[None]:
        yield
        while app.door.waiting:
            yield
        for _ in range(10):
            yield

    def steps() -> Iterator[None]:
        yield from waited()
        app.moves.start_check("Bench", "", "2026-01-01", "AB")
        yield from waited()
        taps = {name: [] for name in SERIES}
        for name, pause_s in SERIES.items():
            for _ in range(min(TAPS, lines // 2)):
                walk = app.pages.shown
                ok = walk.ids.ok
                seen = lambda walk=walk, was=walk.view: walk.view is not was  # noqa: E731
                taps[name].append(_tapped(*ok.to_window(*ok.center), seen))
                yield from waited()
                yield from _meanwhile(pause_s)
        app.moves.lines(app.pages.shown.view.line)
        yield from waited()
        (listed,) = [one for one in app.pages.shown.walk() if type(one).__name__ == "RowList"]
        _tell(taps, _scrolled(listed, dp(STEP_DP), FRAMES), _scrolled(listed, Window.height, 50))

    _run(app, steps())


def _run(app: object, steps: Iterator[None]) -> None:
    """Run the app, a step after each frame, outside of the clock's tick: a step may itself draw frames."""
    from kivy.base import EventLoop, runTouchApp

    app._run_prepare()
    runTouchApp(embedded=True)
    for _ in steps:
        EventLoop.idle()
    app._stop()


if __name__ == "__main__":
    main()
