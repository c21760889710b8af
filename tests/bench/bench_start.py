"""Start of the app against an empty window of the same toolkit, in turns, in one run.

Run by hand: ``python tests/bench/bench_start.py``. It prints the time from the start of the process to the first frame,
and to the first frame with a screen on which something can be picked, and their ratios to the empty window's first
frame. The app starts on a machine that is new, on one that has been worked on, where the rigs are offered, with a plan,
and where a walk was left. All run from compiled files, as what is installed does: a round before the first compiles.
"""

import os
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).parents[2]
ROUNDS = 15
GOAL = 1.5
EMPTY = """
import sys
from pathlib import Path
from checkapp.touch.start import prepare
prepare(Path(sys.argv[1]))
from kivy.app import App
from kivy.core.window import Window
from kivy.uix.widget import Widget

class Empty(App):
    def build(self):
        return Widget()

app = Empty()
Window.bind(on_flip=lambda *_: (print("frame", flush=True), app.stop()))
app.run()
"""
OURS = """
import sys
from pathlib import Path
from checkapp.touch.start import prepare
prepare(Path(sys.argv[1]))
from kivy.app import App
from kivy.clock import Clock
from kivy.core.window import Window

seen = []

def frame(*_):
    app = App.get_running_app()
    if not seen:
        seen.append("frame")
        print("frame", flush=True)
    if app.pages.shown.view is not None:
        Window.unbind(on_flip=frame)
        print(app.pages.at, flush=True)
        Clock.schedule_once(lambda dt: app.stop(), 0.2)

Window.bind(on_flip=frame)
from checkapp.cli import main
main(sys.argv[2:])
"""


def started_s(script: Path, home: Path, screen: str, *words: str) -> tuple[float, float]:
    """Seconds from the start of the process to its first frame, and to the frame with the screen of that name."""
    environment = {**os.environ, "SDL_VIDEODRIVER": "offscreen", "PYTHONPATH": str(ROOT), "CHECKAPP_HOME": str(home)}
    environment.pop("PYTHONDONTWRITEBYTECODE", None)
    environment["PYTHONPYCACHEPREFIX"] = str(home.parent / "compiled")
    command = [sys.executable, str(script), str(home.parent / "kivy"), *words]
    begin = time.perf_counter()
    with subprocess.Popen(command, env=environment, stdout=subprocess.PIPE, text=True) as run:
        lines = [(run.stdout.readline().strip(), time.perf_counter() - begin) for _ in range(2 if screen else 1)]
    if [line for line, _ in lines] != ["frame", screen][: len(lines)]:
        raise SystemExit(f"not as expected: {lines}; is there OpenGL through EGL (Mesa)?")
    return lines[0][1], lines[-1][1]


def homes(folder: Path) -> dict[str, Path]:
    """The user's folder of each machine; the worked ones have a plan and a journal, the last a walk that was left."""
    from checkapp.show.session import Session

    made = {name: folder / name for name in ("new", "worked", "left")}
    for name in ("worked", "left"):
        (made[name] / "plans").mkdir(parents=True)
        for plan in ("small.toml", "kinds.toml"):
            shutil.copy(ROOT / "plans" / plan, made[name] / "plans")
        session = Session(home=made[name])
        session.open_rig(str(made[name] / "plans" / "small.toml"))
        session.start_check("Bench", "", "2026-01-01", "AB")
        session.close()
    (made["worked"] / "bookmark.json").unlink()
    return made


def main() -> None:
    """Measure in turns and print."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        empty, ours = folder / "empty.py", folder / "ours.py"
        empty.write_text(EMPTY, encoding="utf-8")
        ours.write_text(OURS, encoding="utf-8")
        at = homes(folder)
        kinds = {
            "empty window": (empty, at["new"], ""),
            "new machine": (ours, at["new"], "first"),
            "worked-on machine": (ours, at["worked"], "rigs"),
            "with a plan": (ours, at["worked"], "rig", str(ROOT / "plans" / "demo.toml")),
            "walk that was left": (ours, at["left"], "walk"),
        }
        rounds = [{one: started_s(*words) for one, words in kinds.items()} for _ in range(ROUNDS + 1)][1:]
    print(f"medians of {ROUNDS} rounds in turns, s, and ratio to the empty window; goal of a plain start {GOAL}")
    print(f"{'':20} {'first frame':>15} {'usable screen':>15}")
    for one in kinds:
        print(f"{one:20} {_told(rounds, one, 0)} {_told(rounds, one, 1)}")


def _told(rounds: list[dict[str, tuple[float, float]]], one: str, which: int) -> str:
    took = statistics.median(each[one][which] for each in rounds)
    ratio = statistics.median(each[one][which] / each["empty window"][0] for each in rounds)
    return f"{took:9.3f} {ratio:5.2f}"


if __name__ == "__main__":
    sys.path.insert(0, str(ROOT))
    main()
