"""Pictures of the real screens, taken without a display.

``python -m checkapp.touch.pictures FOLDER PLAN JOURNAL`` shows the plan and a copy of the journal in the real app and
saves each screen at each size. It prints one line that says what is missing when there is no OpenGL, and ends with
status 1.
"""

from __future__ import annotations

import os
import shutil
import sys
import tempfile
from collections.abc import Callable, Iterable, Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final, NamedTuple

from checkapp.show.setup_views import ScanView
from checkapp.touch.asking import CHECK, Asked

if TYPE_CHECKING:
    from checkapp.rig.errors import CheckappError
    from checkapp.show.session import Session
    from checkapp.show.views import RigView
    from checkapp.touch.app import CheckApp

SIZES: Final = ((1280, 800), (800, 1280), (360, 640))
_SETTLE_FRAMES: Final = 8
_SHOW: Final = ("Night 2", "Upper ledge", "AB")
_SCANNED: Final = 5
_LIST: Final = """Ledge Stage, input list
Ch,Instrument,Mic / DI,48V,Stand,Tape
Drums,,,,,
1,Kick,dynamic,,short,red
2,Snare,condenser,x,short,red
3/4,Overheads L/R,condenser,x,tall,
Winds,,,,,
5,Oboe,condenser,x,tall,blue
6,Bagpipe,clip,yes,,blue
tbc,Guest,,,,
"""
_HEARD: Final = ("", "", "", "hum", "", "", "", "", "silent", "", "", "")


class View(NamedTuple):
    """What is shown on a picture: the picture's name, the screen's, its view; on a walk who is to blame."""

    picture: str
    screen: str
    view: Any
    lead: str = ""


def take_pictures(
    folder: Path,
    make_session: Callable[[], Session],
    kivy_home: Path,
    plan: str,
    sizes: Sequence[tuple[int, int]] = SIZES,
) -> list[Path]:
    """Show every screen of the plan in the real app and save it at each size (pixels); the files, in order.

    A check that is not signed off is signed off on the way. Errors: those of the session.
    """
    from checkapp.touch.start import prepare

    prepare(kivy_home)
    from kivy.clock import Clock
    from kivy.config import Config

    from checkapp.touch.app import CheckApp

    Config.set("graphics", "maxfps", "0")
    folder.mkdir(parents=True, exist_ok=True)
    files: list[Path] = []
    app = CheckApp(make_session, plan)
    script = _script(app, folder, plan, sizes, files)
    ticking = Clock.schedule_interval(lambda _dt: next(script, None), 0)
    app.run()
    ticking.cancel()
    return files


def _script(
    app: CheckApp, folder: Path, plan: str, sizes: Sequence[tuple[int, int]], files: list[Path]
) -> Iterator[None]:
    """One step a frame: wait for the views, then show and save each at each size."""
    from kivy.core.window import Window

    views: list[View] = []
    errors: list[CheckappError] = []
    app.door.submit(lambda session: every_view(session, plan), views.extend, errors.append)
    while not views or app.door.waiting:
        if errors:
            raise errors[0]
        yield
    for size in sizes:
        Window.size = size
        for picture, name, view, lead in views:
            app.pages.show(name, view)
            app.pages.lead(lead)
            for _ in range(_SETTLE_FRAMES):
                yield
            file = folder / f"{picture}-{size[0]}x{size[1]}.png"
            app.pages.export_to_png(str(file))
            files.append(file)
    app.stop()


def every_view(session: Session, plan: str) -> list[View]:
    """What each screen shows for this plan: the picture's name, the screen's name, its view.

    The check is one that is going on; with none going on a new one is begun, and its first few lines are marked. The
    walk stands at the longest path, then at an output. Set-up comes first: the place with the most ends, some of them
    scanned, then one that belongs elsewhere. The rig with the most to say of is ``wrong.toml``, and the changeover is
    to ``next.toml``, where those lie beside the plan.
    """
    rigs = session.rigs()
    wrong = Path(plan).with_name("wrong.toml")
    stopped = [View("rig-stops", "rig", session.open_rig(str(wrong)))] if wrong.is_file() else []
    rig = session.open_rig(plan)
    picture = session.picture()
    set_up = _set_up(session, rig)
    _begin(session, rig)
    lead = session.faults.lead()
    walks = [session.go_to(row.line) for row in session.lines()]
    walk = max(walks, key=lambda view: len(view.run))
    outputs = [view for view in walks if view.line.startswith("out")]
    session.go_to(walk.line)
    return [
        View("rigs", "rigs", rigs),
        View("rig", "rig", rig),
        *stopped,
        View("picture", "picture", picture),
        View("card", "card", session.card(_fullest(picture.boxes, session))),
        View("newcheck", "newcheck", Asked().asking(CHECK, rig)),
        *set_up,
        View("walk", "walk", walk, lead),
        *(View("walk-output", "walk", view, lead) for view in outputs[:1]),
        View("symptom", "symptom", walk),
        *_faults(session),
        View("lines-likely", "lines", session.reorder("likely", 10.0)),
        View("lines", "lines", session.reorder("list")),
        View("summary", "summary", session.summary()),
        View("past", "past", session.sign_off()),
        *_changeover(session, Path(plan)),
        *_files(session, Path(plan)),
    ]


def _files(session: Session, plan: Path) -> list[View]:
    """The folder of the plan, a list out of a spreadsheet with one of its columns, and what it is to be."""
    views = [View("files", "files", session.browser.folder(str(plan.parent)))]
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, "Ledge input list.csv")
        path.write_text(_LIST, encoding="utf-8")
        incoming = session.incoming.look(str(path))
    column = session.incoming.column(incoming.parts[0].columns[-1].key)
    views += [View("incoming", "incoming", incoming), View("column", "column", column)]
    return [*views, View("naming", "naming", session.incoming.naming())]


def _changeover(session: Session, plan: Path) -> list[View]:
    """The list of what is done from the plan to the next one, and the rigs that can have stood before that."""
    following = plan.with_name("next.toml")
    if not following.is_file():
        return []
    view = session.changeover.between(plan, following)
    return [View("changeover", "changeover", view), View("oldrigs", "oldrigs", session.changeover.choices())]


def _set_up(session: Session, rig: RigView) -> list[View]:
    """The card that the scan of a box brings up, the set-up after some ends of it, and after one of elsewhere."""
    view = session.set_up(*_SHOW[:2], rig.suggested_date, _SHOW[2])
    boxes = {row.item for place in view.places for row in place.rows if not row.end}
    ends = {place: [row.end for row in place.rows if row.end and row.item not in boxes] for place in view.places}
    here = max((place for place in view.places if not place.rows[0].end), key=lambda place: len(ends[place]))
    session.setup.unplace(here.rows[0].item)
    card = session.setup.scan(here.rows[0].item)
    for end in ends[here][:_SCANNED]:
        view = session.setup.scan(end)
    shown: list[View] = [View("setup", "setup", view)]
    if card.answer is not None and card.card is not None:
        shown.insert(0, View("card-scanned", "card", ScanView(card.answer, card.card)))
    elsewhere = [end for place, those in ends.items() if place != here for end in those if end.endswith(" A")]
    return [*shown, *(View("setup-wrong", "setup", session.setup.scan(end)) for end in elsewhere[-1:])]


def _faults(session: Session) -> list[View]:
    """The fault sheet, a suspect, a test, a swap before and after its scan, and the list of faults."""
    sheet = session.faults
    view = sheet.view()
    views: list[View] = [View("fault", "fault", view), *(View("blame", "blame", one) for one in view.suspects[:1])]
    if view.next is not None and view.next.work != "swap":
        views.append(View("fault-test", "fault", sheet.begin(view.next)))
    swaps = [row.item for one in view.suspects for row in one.works if row.work == "swap"]
    if swaps:
        views += [View("fault-swap", "fault", sheet.repair("swap", swaps[0]))]
        sheet.untagged()
        views.append(View("fault-after", "fault", sheet.ok()))
    return [*views, View("faults", "faults", session.fault_list())]


def _fullest(boxes: Iterable[str], session: Session) -> str:
    """The box with the most on its ports."""
    return max(sorted(boxes), key=lambda box: sum(len(one.rows) for one in session.card(box).sections))


def _begin(session: Session, rig: RigView) -> None:
    """Go on with a check, or begin one and mark its first few lines."""
    going_on = next((check for check in rig.checks if not check.signed_off), None)
    if going_on is not None:
        session.go_on(going_on.key)
        return
    walk = session.start_check(*_SHOW[:2], rig.suggested_date, _SHOW[2])
    for heard in _HEARD[: walk.total - 1]:
        walk = session.faulty(walk.line, heard, "") if heard else session.ok(walk.line)


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
        take_pictures(folder, lambda: Session(home / journal.name, home=home), home / "kivy", plan)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
