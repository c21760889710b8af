"""Set-up of a large rig: from a scan to its answer on the screen, and what of that is the session's and the screen's.

Run by hand: ``SDL_VIDEODRIVER=offscreen python tests/bench/bench_setup.py``. It prints milliseconds, the middle of all
scans: the scan with its view, the new view to the next frame drawn, and the very first frame of the screen.
"""

import os
import statistics
import tempfile
import time
from pathlib import Path
from typing import Any

from big_rig import plan_text

CHAINS, BOXES, LINES = 8, 64, 512
SCANS = 12


def main() -> None:
    """Measure and print."""
    os.environ.setdefault("SDL_VIDEODRIVER", "offscreen")
    from checkapp.touch.start import prepare

    with tempfile.TemporaryDirectory() as folder:
        home = Path(folder)
        prepare(home / "kivy")
        from kivy.config import Config

        Config.set("graphics", "maxfps", "0")
        _measure(home)


def _measure(home: Path) -> None:
    from kivy.base import EventLoop
    from kivy.core.window import Window

    from checkapp.show.session import Session
    from checkapp.touch.pages import Pages

    Window.create_window()
    Window.register()
    Window.initialized = True
    plan = home / "big.toml"
    plan.write_text(plan_text(CHAINS, BOXES, LINES), encoding="utf-8")
    session = Session(home=home)
    session.open_rig(str(plan))
    view = session.set_up("Night 1", "", "2031-05-02", "JD")
    pages = Pages()
    pages.moves = _NoMoves()
    Window.add_widget(pages)
    EventLoop.idle()
    begin = time.perf_counter()
    pages.show("setup", view)
    EventLoop.idle()
    first = time.perf_counter() - begin
    scans, frames = [], []
    for text in ("B3", *(f"X{3 + BOXES * n} A" for n in range(SCANS))):
        begin = time.perf_counter()
        view = session.setup.scan(text)
        shown = time.perf_counter()
        pages.renew("setup", view)
        EventLoop.idle()
        scans.append(shown - begin)
        frames.append(time.perf_counter() - shown)
    session.close()
    print(f"{BOXES} boxes, {LINES} lines, {view.ends} ends: {view.progress}")
    print(
        f"first frame {1000 * first:.0f} ms, scan {1000 * statistics.median(scans[1:]):.0f} ms, "
        f"view to frame {1000 * statistics.median(frames[1:]):.0f} ms"
    )


class _NoMoves:
    def __getattr__(self, name: str) -> Any:
        return lambda *args: None


if __name__ == "__main__":
    main()
