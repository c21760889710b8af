"""Where the set-up of a show stands: what is placed, set and connected. A pure function of the entries."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from checkapp.journal import kinds, setup_kinds
from checkapp.journal.changes import read_change
from checkapp.journal.setup_kinds import Connected, Moved, Swapped
from checkapp.journal.story import in_order, standing
from checkapp.tongue import tr

if TYPE_CHECKING:
    from checkapp.journal.entry import Entry
    from checkapp.journal.story import Entries

SETUP_KINDS = (
    setup_kinds.PLACED,
    setup_kinds.CONNECTED,
    setup_kinds.SWAP,
    setup_kinds.MOVE,
    setup_kinds.NOTE,
    kinds.REPAIR,
    kinds.VOID,
)
"""The kinds of a show's entries that its set-up depends on."""

What = str | Connected | Swapped | Moved | tuple[str, str]
"""What an entry of set-up tells: a box placed, a connection, a swap, a move, or a box and what was set on it."""


@dataclass(frozen=True, slots=True)
class Made:
    """Something that was done: by whom, when, on which device, the entry that says so.

    ``verdict`` is that of a connection (right, wrong, ticked), the value of a setting, and empty for what was placed.
    ``entry_ids`` are all entries to undo so that nothing is said of it any more, the latest last: what two tablets said
    of one thing, and where else the end was found before.
    """

    by: str | None
    at: str
    device: str
    entry_id: str
    verdict: str = ""
    entry_ids: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Step:
    """One thing that set-up logged, in the log's order: what it was, in words too."""

    what: What
    words: str
    by: str | None
    at: str
    device: str
    entry_id: str


@dataclass(frozen=True, slots=True)
class SetupState:
    """What was done in the set-up of a show.

    ``placed`` is by box. ``settings`` is by box and name of the setting. ``connected`` is by cable's end, as
    ``HP01 A``, and by port: where the end was found last, rightly or wrongly. An end that was found right anywhere is
    no longer wrong where it was found before; what was right before it was found wrong is kept, but does not count:
    `is_in`. ``steps`` are all entries of set-up that were not undone.

    A swap takes away what was said of the old and of the new one, a move what was said of both ports: they are plugged
    anew.
    """

    placed: dict[str, Made] = field(default_factory=dict)
    settings: dict[str, dict[str, Made]] = field(default_factory=dict)
    connected: dict[str, dict[str, Made]] = field(default_factory=dict)
    steps: tuple[Step, ...] = ()

    def is_in(self, end: str, port: str) -> bool:
        """Whether a cable's end is in that port, and was not found wrong anywhere since."""
        found = self.connected.get(end, {})
        return port in found and all(made.verdict != "wrong" for made in found.values())

    def undo_target(self, device: str) -> Step | None:
        """The device's latest entry of set-up that is not undone."""
        return next((step for step in reversed(self.steps) if step.device == device), None)


def read_setup_state(journal: Entries, rig: str, show: str) -> SetupState:
    """The set-up of a show of a rig, both by name, from no more entries than it depends on."""
    return setup_state(journal.entries(rig=rig, show=show, kind=SETUP_KINDS), rig, show)


def setup_state(entries: Iterable[Entry], rig: str, show: str) -> SetupState:
    """The same from entries in any order; those of other rigs and shows are passed over."""
    told = standing(in_order(entry for entry in entries if (entry.rig, entry.show) == (rig, show)))
    state = SetupState()
    steps = []
    for entry in told:
        what = _told(entry)
        if what is not None:
            _take(state, entry, what)
            if entry.kind != kinds.REPAIR:
                steps.append(Step(what, _words(what), entry.by, entry.at, entry.device, entry.id))
    return SetupState(state.placed, state.settings, state.connected, tuple(steps))


def _told(entry: Entry) -> What | None:
    change = read_change(entry)
    if change is not None:
        return change.what
    return setup_kinds.read_placed(entry) or setup_kinds.read_connected(entry) or setup_kinds.read_setting(entry)


def _take(state: SetupState, entry: Entry, what: What) -> None:
    if isinstance(what, str):
        state.placed[what] = _made(entry, "", state.placed.get(what))
    elif isinstance(what, Connected):
        _connect(state.connected.setdefault(what.end, {}), entry, what)
    elif isinstance(what, Swapped):
        _forget(state, (what.old, what.new))
    elif isinstance(what, Moved):
        _forget(state, (what.from_port, what.to_port))
    else:
        box, setting = what
        of_box = state.settings.setdefault(box, {})
        value = kinds.text_of(entry.details.get("value")) or ""
        of_box[setting] = _made(entry, value, of_box.get(setting))


def _connect(found: dict[str, Made], entry: Entry, what: Connected) -> None:
    stray = [] if what.verdict == "wrong" else [port for port, made in found.items() if made.verdict == "wrong"]
    ids = tuple(entry_id for port in stray for entry_id in found.pop(port).entry_ids)
    for port in what.ports:
        found[port] = _made(entry, what.verdict, found.pop(port, None), ids)  # popped, so that the latest stands last


def _made(entry: Entry, verdict: str, before: Made | None, more: tuple[str, ...] = ()) -> Made:
    ids = (*more, *(before.entry_ids if before else ()), entry.id)
    return Made(entry.by, entry.at, entry.device, entry.id, verdict, ids)


def _forget(state: SetupState, names: tuple[str, ...]) -> None:
    """Take away what was said of items or ports: of the boxes, of the cables' ends, of what was plugged into them."""
    for name in names:
        state.placed.pop(name, None)
        state.settings.pop(name, None)
        for end in (f"{name} A", f"{name} B"):
            state.connected.pop(end, None)
        for found in state.connected.values():
            for port in [port for port in found if port == name or port.startswith(f"{name} ")]:
                del found[port]


def _words(what: What) -> str:
    if isinstance(what, str):
        return tr("{item} placed", item=what)
    if isinstance(what, Connected):
        if what.verdict == "wrong":
            return tr("{end} not in {socket}", end=what.end, socket=what.ports[0])
        return tr("{end} in {socket}", end=what.end, socket=what.ports[0])
    if isinstance(what, Swapped):
        return tr("{new} in for {old}", new=what.new, old=what.old)
    if isinstance(what, Moved):
        return tr("{line} moved to {port}", line=what.line, port=what.to_port)
    return tr("{box}: {setting} set", box=what[0], setting=what[1])
