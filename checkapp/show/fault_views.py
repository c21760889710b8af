"""What the fault sheet and the list of faults show: plain values, words ready to be read, no toolkit."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from checkapp.show.views import LineRow, RunItem

if TYPE_CHECKING:
    from checkapp.show.setup_views import Answer

Work = Literal["listen", "reseat", "swap", "mend", "bypass"]
"""What is done before a line is listened to; ``listen``: nothing."""


@dataclass(frozen=True, slots=True)
class WorkRow:
    """A repair of an item: what it is called, and what it means."""

    work: Work
    item: str
    title: str
    more: str


@dataclass(frozen=True, slots=True)
class SuspectRow:
    """Something that may be to blame.

    ``items`` are those that no mark can tell apart, the likeliest first: ``title`` names them; ``probability`` is that
    of the first one, ``percent`` the same in words. ``speaks_for`` and ``speaks_against`` say why. ``works`` is what
    can be done about each item that is in use. ``history``: how often the first one failed, where
    that is known.
    """

    items: tuple[str, ...]
    title: str
    probability: float
    percent: str
    speaks_for: str
    speaks_against: str
    works: tuple[WorkRow, ...]
    history: str = ""


@dataclass(frozen=True, slots=True)
class NextRow:
    """Something to try: ``work`` on ``item`` (empty for none), then listen to ``line``.

    ``title`` is what to do, ``more`` how long it takes and what each outcome would mean, ``other`` the port that a line
    goes to, ``caution`` that of mains or phantom power where it belongs.
    """

    work: Work
    item: str
    line: str
    other: str
    title: str
    more: str
    caution: str = ""


@dataclass(frozen=True, slots=True)
class StepView:
    """A test or a repair under way: what to do, one thing after another; last the line is listened to.

    ``number`` and ``name`` are those of the line. ``asks`` is what is to be scanned or typed before; empty when nothing
    is. ``ready`` tells that the line can be answered. ``symptom`` tells that a faulty one is asked what was heard;
    otherwise it is as faulty as before.
    """

    title: str
    steps: tuple[str, ...]
    caution: str
    line: str
    number: str
    name: str
    asks: str
    ready: bool
    symptom: bool


@dataclass(frozen=True, slots=True)
class OutRow:
    """Something that was taken out: why, and whether it was tagged and pulled."""

    item: str
    words: str
    pulled: bool


@dataclass(frozen=True, slots=True)
class FaultView:
    """The fault sheet.

    ``faulty`` are the lines that are marked so, ``again`` those that are open again after a repair, a swap or a move.
    ``run`` is the path of the line at hand, ``run_title`` its name, with each suspect's probability on its item.
    ``look_first`` is what to look at before anything is pulled. ``suspects`` come by falling probability, ``nothing``
    says how likely it is that none of them is to blame; ``confirmed`` is what a repair proved. ``next`` is the best
    thing to try, ``others`` what comes after it, ``step`` what is under way. ``asks_pulled`` is an item of which it is
    to be said now whether it was tagged and pulled, empty for none; ``puts_back`` is what may be put back in its place,
    for its swap did not help.
    """

    show_title: str
    heading: str
    faulty: tuple[LineRow, ...]
    again: tuple[LineRow, ...]
    run_title: str
    run: tuple[RunItem, ...]
    suspects: tuple[SuspectRow, ...]
    nothing: str
    confirmed: tuple[str, ...]
    next: NextRow | None
    others: tuple[NextRow, ...]
    step: StepView | None = None
    answer: Answer | None = None
    asks_pulled: str = ""
    puts_back: str = ""
    can_undo: bool = False
    look_first: str = ""

    @property
    def over(self) -> bool:
        """Whether nothing is faulty, and nothing is to be listened to again."""
        return not self.faulty and not self.again


@dataclass(frozen=True, slots=True)
class FaultListView:
    """All faults of a rig that are not cleared, and what is to be pulled at load-out.

    ``open`` are in a check that is going on, ``known`` were signed off as they are, ``around`` are lines that were led
    round a fault. ``pull`` is what is still to be tagged and pulled, ``pulled`` what was. ``has_sheet`` tells that the
    fault sheet of the check at work has something to say; ``to_do`` says what to do next.
    """

    title: str
    summary: str
    open: tuple[LineRow, ...]
    known: tuple[LineRow, ...]
    around: tuple[LineRow, ...]
    pull: tuple[OutRow, ...]
    pulled: tuple[OutRow, ...]
    can_walk: bool = False
    has_sheet: bool = False
    to_do: str = ""

    @property
    def next_work(self) -> Literal["suspects", "line check", ""]:
        """Where to go next; empty where what is to do is done on the list."""
        if self.has_sheet:
            return "suspects"
        return "line check" if self.open or not self.pull else ""
