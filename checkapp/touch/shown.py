"""What is shown on pictures of the screens: the views of a piece of work on a rig, made by the real session."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final, NamedTuple

from checkapp.show.setup_views import ScanView
from checkapp.touch.asking import CHECK, Asked

if TYPE_CHECKING:
    from checkapp.show.history_pictures import Look
    from checkapp.show.preferences import Preferences
    from checkapp.show.session import Session
    from checkapp.show.views import RigView

_VENUE: Final = "Upper ledge"
_BY: Final = "AB"
_SCANNED: Final = 5
_HEARD: Final = ("", "", "", "hum", "", "", "", "", "silent", "", "", "")

Anew = Callable[["Session", "Preferences", "Look"], Any]


class View(NamedTuple):
    """What is shown on a picture: the picture's name, the screen's, its view.

    ``lead`` is who is to blame, on a walk. ``said`` stands on the banner, ``unsaved`` on the strip above. ``anew``
    makes the view for each size and colour set, where it depends on them.
    """

    picture: str
    screen: str
    view: Any = None
    lead: str = ""
    said: tuple[str, ...] = ()
    unsaved: str = ""
    anew: Anew | None = None


def main_views(session: Session, plan: str) -> list[View]:
    """What the screens of the work on this plan show, from the rigs to the next changeover.

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
    ]


def _changeover(session: Session, plan: Path) -> list[View]:
    """The list of what is done from the plan to the next one, and the rigs that can have stood before that."""
    following = plan.with_name("next.toml")
    if not following.is_file():
        return []
    view = session.changeover.between(plan, following)
    return [View("changeover", "changeover", view), View("oldrigs", "oldrigs", session.changeover.choices())]


def _set_up(session: Session, rig: RigView) -> list[View]:
    """The card that the scan of a box brings up, the set-up after some ends of it, and after one of elsewhere."""
    view = session.set_up(rig.suggested_show, _VENUE, rig.suggested_date, _BY)
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
    walk = session.start_check(rig.suggested_show, _VENUE, rig.suggested_date, _BY)
    for heard in _HEARD[: walk.total - 1]:
        walk = session.faulty(walk.line, heard, "") if heard else session.ok(walk.line)
