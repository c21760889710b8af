"""Time to the first frame: the app against an empty window of the same toolkit, in turns, in one run.

Run by hand: ``python tests/bench/bench_start.py``. It prints the times and their ratios to the empty window.
"""

import os
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

def frame(*_):
    Window.unbind(on_flip=frame)
    print("frame", flush=True)
    Clock.schedule_once(lambda dt: App.get_running_app().stop(), 0.2)

Window.bind(on_flip=frame)
from checkapp.cli import main
main(sys.argv[2:])
"""


def first_frame_s(script: Path, home: Path, *words: str) -> float:
    """Seconds from the start of the process to its first frame."""
    environment = {**os.environ, "SDL_VIDEODRIVER": "offscreen", "PYTHONPATH": str(ROOT), "CHECKAPP_HOME": str(home)}
    command = [sys.executable, str(script), str(home / "kivy"), *words]
    begin = time.perf_counter()
    with subprocess.Popen(command, env=environment, stdout=subprocess.PIPE) as run:
        line = run.stdout.readline()
        took = time.perf_counter() - begin
    if line.strip() != b"frame":
        raise SystemExit("no frame: is there OpenGL through EGL (Mesa)?")
    return took


def main() -> None:
    """Measure in turns and print."""
    plan = str(ROOT / "plans" / "demo.toml")
    with tempfile.TemporaryDirectory() as folder:
        home = Path(folder)
        empty, ours = home / "empty.py", home / "ours.py"
        empty.write_text(EMPTY, encoding="utf-8")
        ours.write_text(OURS, encoding="utf-8")
        kinds = {"empty window": (empty,), "checkapp": (ours,), "checkapp PLAN": (ours, plan)}
        rounds = [
            {name: first_frame_s(script, home, *words) for name, (script, *words) in kinds.items()}
            for _ in range(ROUNDS + 1)
        ][1:]
    print(f"first frame, medians of {ROUNDS} rounds in turns; ratio to the empty window, goal at most {GOAL}")
    for name in kinds:
        took = statistics.median(one[name] for one in rounds)
        ratio = statistics.median(one[name] / one["empty window"] for one in rounds)
        print(f"{name:14} {took:.3f} s  {ratio:.2f}")


if __name__ == "__main__":
    main()
