"""What the kinds of entry say that set-up writes: placed, connected, swap, move. As in `checkapp.journal.kinds`."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from checkapp.journal.kinds import Draft, Path, path_of, text_of, texts_of

if TYPE_CHECKING:
    from checkapp.journal.entry import Entry

PLACED = "placed"
CONNECTED = "connected"
SWAP = "swap"
MOVE = "move"
NOTE = "note"

Verdict = Literal["right", "wrong", "ticked"]


@dataclass(frozen=True, slots=True)
class Connected:
    """A cable's end was found in a port. ``end`` is ``HP01 A``.

    ``ports`` are all ports that its plugs go into at that place, the entry's ``port`` the first of them; ``verdict`` is
    ``right`` or ``wrong`` after a scan of both sides, ``ticked`` when somebody said so by hand.
    """

    end: str
    ports: tuple[str, ...]
    verdict: Verdict


@dataclass(frozen=True, slots=True)
class Swapped:
    """An item took another's place.

    ``owner`` is that of the new one where it is not the rig's; ``lines`` are those that ran through the old one: where
    a later plan has it in another place, it is left there. Empty: not told.
    """

    old: str
    new: str
    owner: str | None
    lines: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Moved:
    """A line went from a port to another; ``path`` is what it runs through from then on, as names and kinds."""

    line: str
    from_port: str
    to_port: str
    path: Path


def placed(item: str) -> Draft:
    """A box stands where it belongs."""
    return Draft(PLACED, item, {})


def connected(end: str, ports: Sequence[str], verdict: Verdict) -> Draft:
    """A cable's end is in that port, or in those; arguments as in `Connected`. ValueError: no port."""
    if not ports:
        raise ValueError("no port")
    return Draft(CONNECTED, end, {"port": ports[0], "ports": list(ports), "verdict": verdict})


def swap(old: str, new: str, *, owner: str | None = None, lines: Sequence[str] = ()) -> Draft:
    """An item takes another's place; arguments as in `Swapped`."""
    return Draft(SWAP, old, {"new": new, "owner": owner, "lines": list(lines)})


def move(line: str, from_port: str, to_port: str, path: Iterable[tuple[str, str]]) -> Draft:
    """A line goes to another port; arguments as in `Moved`."""
    return Draft(MOVE, line, {"from": from_port, "to": to_port, "path": [list(item) for item in path]})


def set_on(item: str, setting: str, value: str) -> Draft:
    """Something was set on a box, as the plan asks: a note that names the setting and its value."""
    return Draft(NOTE, item, {"text": f"set: {setting}, {value}", "setting": setting, "value": value})


def read_placed(entry: Entry) -> str | None:
    """The item that ``entry`` says was placed."""
    return entry.subject if entry.kind == PLACED else None


def read_connected(entry: Entry) -> Connected | None:
    """The connection that ``entry`` tells of."""
    if entry.kind != CONNECTED or entry.subject is None:
        return None
    detail = entry.details
    port, verdict = text_of(detail.get("port")), text_of(detail.get("verdict"))
    ports = texts_of(detail.get("ports")) or ((port,) if port else ())
    if not ports or verdict not in ("right", "wrong", "ticked"):
        return None
    return Connected(entry.subject, ports, verdict)  # type: ignore[arg-type]


def read_swap(entry: Entry) -> Swapped | None:
    """The swap that ``entry`` tells of."""
    if entry.kind != SWAP or entry.subject is None:
        return None
    detail = entry.details
    new = text_of(detail.get("new"))
    return Swapped(entry.subject, new, text_of(detail.get("owner")), texts_of(detail.get("lines"))) if new else None


def read_move(entry: Entry) -> Moved | None:
    """The move that ``entry`` tells of."""
    if entry.kind != MOVE or entry.subject is None:
        return None
    detail = entry.details
    from_port, to_port = text_of(detail.get("from")), text_of(detail.get("to"))
    if from_port is None or to_port is None:
        return None
    return Moved(entry.subject, from_port, to_port, path_of(detail.get("path")) or ())


def read_setting(entry: Entry) -> tuple[str, str] | None:
    """The box and the setting that ``entry`` says was made on it; None for any other note."""
    if entry.kind != NOTE or entry.subject is None:
        return None
    setting = text_of(entry.details.get("setting"))
    return (entry.subject, setting) if setting is not None else None
