"""What a screen or a command shows: plain values, words ready to be read, no toolkit."""

from dataclasses import dataclass
from typing import Final, Literal, NamedTuple

from checkapp.rig.words import ItemKind
from checkapp.show.jump import NO_NUMBERS, Numbers
from checkapp.show.walk_only import ALL, Wanted, ZoneRow

Status = Literal["ok", "faulty", "open", "look", "next"]
Work = Literal["go on", "set up", "check"]


@dataclass(frozen=True, slots=True)
class RunItem:
    """One item on a run, from source to desk: what it is, what is written under it, how it stands.

    ``share`` is the probability that it is to blame, 0 to 1; ``share_words`` the same in words, empty for none.
    """

    name: str
    kind: ItemKind
    label: str
    status: Status = "open"
    share: float = 0.0
    share_words: str = ""


@dataclass(frozen=True, slots=True)
class FindingRow:
    """One finding of the plan review; ``level`` is ``stop``, ``caution`` or ``note``."""

    level: str
    rule: str
    where: str
    message: str
    remedy: str


@dataclass(frozen=True, slots=True)
class CheckRow:
    """One check of a show that can be gone on with or read; ``key`` opens it."""

    key: str
    title: str
    detail: str
    signed_off: bool


@dataclass(frozen=True, slots=True)
class RigView:
    """The rig screen: what the plan is, what the review says of it, which checks there are.

    ``start_words`` is what the button says that starts a check: with stops in the plan, how many. ``is_set_up`` tells
    whether everything is placed, set and connected for the show at hand: the check is next then, else set-up is.
    ``faults`` says how many faults are open and what is to be pulled; empty for none; ``open_faults`` counts them.
    ``going_on`` is the key of the check of the show at hand; empty when none is open.
    """

    title: str
    detail: str
    summary: str
    findings: tuple[FindingRow, ...]
    checks: tuple[CheckRow, ...]
    caution: str
    start_words: str
    suggested_show: str
    suggested_date: str
    is_set_up: bool = False
    faults: str = ""
    going_on: str = ""
    open_faults: int = 0

    @property
    def has_stop(self) -> bool:
        """Whether the plan cannot work as it is."""
        return any(row.level == "stop" for row in self.findings)

    @property
    def next_work(self) -> Work:
        """What is next: the check that is open, else set-up until all of it is done, then the check."""
        return "go on" if self.going_on else "check" if self.is_set_up else "set up"

    @property
    def other_work(self) -> Work:
        """What may be wanted instead of what is next."""
        return "set up" if self.is_set_up != bool(self.going_on) else "check"


@dataclass(frozen=True, slots=True)
class LineRow:
    """One line in a list: ``line`` is its name (``in 7``), ``said`` what its mark says; ``zone`` may be empty."""

    line: str
    number: str
    name: str
    port: str
    zone: str
    status: Status
    said: str


@dataclass(frozen=True, slots=True)
class LinesView:
    """The list of lines: the row of each in the order in which they are walked, and the line that the walk is at.

    ``order`` is one of `checkapp.show.checking_order.ORDERS`. With the likeliest first ``minutes`` is the time that
    there is (None: enough), and ``words`` say how many lines that is and what would stay unfound. ``changed`` tells
    whether there are lines to check again because of a change: these can be walked first then. ``wanted`` are the lines
    that are listed, ``walk_words`` name them and their count where they can be walked on their own, empty where they
    cannot; ``zones`` are those that can be chosen.
    """

    rows: tuple[LineRow, ...]
    here: str
    order: str = "list"
    minutes: float | None = None
    words: str = ""
    changed: bool = False
    wanted: Wanted = ALL
    zones: tuple[ZoneRow, ...] = ()
    walk_words: str = ""


class Coming(NamedTuple):
    """What the walk is going to show once its line is ok, as far as it is known, as in `WalkView`."""

    run: tuple[RunItem, ...] = ()
    facts: tuple[str, ...] = ()
    say: str = ""
    progress: str = ""
    then: tuple[str, ...] = ()
    message: str = ""


NOTHING_COMES: Final = Coming()


@dataclass(frozen=True, slots=True)
class WalkView:
    """The walk screen: one line being checked, and how far the check has come.

    ``ok`` and ``faulty`` count what is on the disk, ``waiting`` the lines whose mark is not, ``disputed`` those with
    two marks that disagree. ``say`` is what is read out after the name: zone and port. ``then`` are the next two lines
    to be marked. ``left`` and ``pace`` say how long the rest takes and a line, empty while that cannot be told.
    ``only`` says that some lines only are walked. ``short_caution`` is the caution where there is little room.
    ``coming`` is what can be made ready of the line that most likely comes next.
    """

    show_title: str
    line: str
    number: str
    name: str
    facts: tuple[str, ...]
    caution: str
    run: tuple[RunItem, ...]
    status: Status
    said: str
    then: tuple[str, ...]
    marked: int
    total: int
    ok: int
    faulty: int
    open: int
    progress: str
    counts: str
    message: str
    can_undo: bool
    complete: bool
    waiting: int = 0
    disputed: int = 0
    say: str = ""
    left: str = ""
    pace: str = ""
    only: str = ""
    short_caution: str = ""
    numbers: Numbers = NO_NUMBERS
    coming: Coming = NOTHING_COMES


@dataclass(frozen=True, slots=True)
class Saving:
    """How saving stands: how many things wait for the disk, and in words what is not saved and why when that failed."""

    waiting: int = 0
    trouble: str = ""


@dataclass(frozen=True, slots=True)
class CheckView:
    """A check as a whole: what was found, what is left open, whether it is signed off.

    ``pull`` says what of the rig is still to be tagged and pulled; empty for nothing. On the lines ``disputed`` two
    tablets' marks disagree.
    """

    title: str
    detail: str
    counts: str
    signed_off: bool
    can_sign_off: bool
    sign_off_words: str
    faulty: tuple[LineRow, ...]
    open: tuple[LineRow, ...]
    ok: tuple[LineRow, ...]
    waiting: tuple[LineRow, ...] = ()
    pull: str = ""
    disputed: tuple[LineRow, ...] = ()

    @property
    def status(self) -> Status:
        """How the check stands: ok only when every line is."""
        return "look" if self.faulty or self.open or self.waiting or self.disputed else "ok"
