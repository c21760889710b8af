"""Every screen there is, with something to show, also with nothing yet: what is looked at before a change goes out."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Final

from checkapp.rig.errors import CheckappError
from checkapp.show.beginning import FirstView
from checkapp.show.plan_export import export_plan
from checkapp.show.saving_words import unsaved_words
from checkapp.show.settings import settings_view
from checkapp.show.walk_only import Wanted
from checkapp.tongue import tr
from checkapp.touch.asking import CHANGED, SETUP, Asked
from checkapp.touch.check_moves import JumpAsked
from checkapp.touch.fault_moves import ShowsAsked
from checkapp.touch.shown import View, main_views

if TYPE_CHECKING:
    from checkapp.show.session import Session
    from checkapp.show.views import WalkView

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


def every_view(session: Session, plan: str, home: Path) -> list[View]:
    """What each screen shows: as for `main_views`, then all the others, and those that are empty at first.

    ``home`` is a folder of the session's own for what is made on the way. The history is that of its journal.
    """
    return [
        *_nothing_yet(plan, home),
        *main_views(session, plan),
        *_on_the_way(session, plan),
        *_tablets(session, plan, home),
        *_files(session, plan, home / "lists"),
        *_tags(session, plan),
        *_history(session),
        View("settings", "settings", anew=lambda _session, preferences, _look: settings_view(preferences)),
        View("camera", "camera", None),
    ]


def _nothing_yet(plan: str, home: Path) -> Iterator[View]:
    """A machine that was never worked on, and a rig without a show."""
    from checkapp.show.session import Session

    blank = Session(home / "blank" / "journal.db", home=home / "blank")
    try:
        yield View("first", "first", FirstView(plan))
        rig = blank.open_rig(plan)
        yield View("rig-new", "rig", rig)
        yield View("newcheck-setup", "newcheck", Asked().asking(SETUP, rig))
        yield View("faults-none", "faults", blank.fault_list())
        yield View("history-none", "history", blank.history.opened())
        yield View("shows-none", "shows", ShowsAsked("all", blank.history.shows()))
    finally:
        blank.close()


def _on_the_way(session: Session, plan: str) -> Iterator[View]:
    """The second check: what stands over a screen, a number that is typed, only some lines, the end of it."""
    rig = session.open_rig(plan)
    yield View("newcheck-changed", "newcheck", Asked().asking(CHANGED, rig))
    walk = session.start_check(rig.suggested_show, "", rig.suggested_date, "TA")
    yield View("walk-first", "walk", walk)
    trouble = unsaved_words(tr("{line} ok", line=walk.line), tr("the disk is full"), 3)
    yield View("walk-unsaved", "walk", walk, unsaved=trouble)
    yield View("walk-banner", "walk", walk, said=_refused(session, plan))
    yield View("jump", "jump", JumpAsked(walk.numbers, walk.line, "2"))
    for _ in range(walk.total):
        walk = session.ok(walk.line)
    yield View("walk-done", "walk", walk)
    yield View("summary-done", "summary", session.summary())
    yield View("fault-none", "fault", session.faults.view())
    yield View("lines-none", "lines", session.list_only(Wanted("faulty")))


def _refused(session: Session, plan: str) -> tuple[str, ...]:
    """What is said of a plan that is not there."""
    try:
        session.open_rig(str(Path(plan).with_name("old.toml")))
    except CheckappError as error:
        return error.said
    return ()


def _tablets(session: Session, plan: str, home: Path) -> Iterator[View]:
    """Two tablets that walk one check, and do not agree about two lines of it."""
    from checkapp.show.session import Session

    rig, stick = session.open_rig(plan), home / "stick"
    stick.mkdir(exist_ok=True)
    walk = session.start_check(rig.suggested_show, "", rig.suggested_date, "TA")
    other = Session(home / "other" / "journal.db", home=home / "other")
    try:
        other.open_rig(plan)
        other.tablets.take(_given(session, stick))
        other.go_on(other.rig_view().going_on)
        for heard in ("", "hum", "", "crackle"):
            there = other.walk_again()
            if there is not None:
                _heard(other, there.line, heard)
            walk = _heard(session, walk.line, "")
        session.tablets.take(_given(other, stick))
    finally:
        other.close()
    view = session.tablets.view()
    yield View("tablets", "tablets", view)
    for dispute in view.disputes[:1]:
        yield View("settle", "settle", dispute)
        yield View("walk-settle", "walk", session.go_to(dispute.line))
    yield View("tabletlogs", "tabletlogs", session.tablets.to_give())
    yield View("tabletlogs-take", "tabletlogs", session.tablets.to_take())
    yield View("hub", "hub", session.tablets.hub())
    yield View("tabletname", "tabletname", session.tablets.naming(view.tablets[0].device))


def _heard(session: Session, line: str, symptom: str) -> WalkView:
    """Mark a line faulty with what is heard, or ok."""
    return session.faulty(line, symptom, "") if symptom else session.ok(line)


def _given(session: Session, stick: Path) -> str:
    """The file of a log that was given."""
    before = set(stick.iterdir())
    session.tablets.give(str(stick))
    (file,) = set(stick.iterdir()) - before
    return str(file)


def _files(session: Session, plan: str, folder: Path) -> Iterator[View]:
    """A folder with files from outside, and each sort of file looked at."""
    folder.mkdir(parents=True, exist_ok=True)
    written = folder / "Ledge input list.csv"
    written.write_text(_LIST, encoding="utf-8")
    for name in (Path(plan).name, "wrong.toml", "kinds.toml"):
        shutil.copy(Path(plan).with_name(name), folder)
    session.open_rig(plan)
    yield View("files", "files", session.browser.folder(str(folder)))
    yield View("incoming-stops", "incoming", session.incoming.look(str(folder / "wrong.toml")))
    book = folder / "rig.xlsx"
    export_plan(Path(plan), book)
    yield View("incoming-workbook", "incoming", session.incoming.look(str(book)))
    view = session.incoming.look(str(written))
    yield View("incoming", "incoming", view)
    yield View("column", "column", view)
    yield from (View("column-one", "column", session.incoming.column(one.key)) for one in view.parts[0].columns[-1:])
    yield View("keepcolumns", "keepcolumns", session.incoming.keeping())
    yield View("naming", "naming", session.incoming.naming())


def _tags(session: Session, plan: str) -> Iterator[View]:
    """Tags of the rig: what for, on what, from where on, into which folder."""
    session.open_rig(plan)
    tags = session.tags
    yield View("tags", "tags", tags.view())
    yield View("tagpick", "tagpick", tags.picking())
    yield View("tagchoice", "tagchoice", tags.stocks())
    yield View("tagstart", "tagstart", tags.starting())
    tags.pick_all(False)
    yield View("tags-none", "tags", tags.view())


def _history(session: Session) -> Iterator[View]:
    """What failed how often, one item's life, and the figures of both."""
    from checkapp.show.history_pictures import FiguresView

    desk = session.history
    view = desk.opened()
    yield View("history", "history", view)
    yield View("shows", "shows", ShowsAsked(view.chosen.kind, desk.shows()))
    worst = view.rows[0].item if view.rows else ""
    if worst:
        yield View("life", "life", desk.life(worst))
        yield View("figures-life", "figures", anew=lambda session, _, look: session.history.life_figure(worst, look))
    yield View("figures", "figures", anew=lambda session, _, look: session.history.figures(view.chosen, look))
    yield View("figures-missing", "figures", FiguresView(tr("Figures"), (), chosen=view.chosen, missing=True))
