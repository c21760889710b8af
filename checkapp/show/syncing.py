"""The journal brought together with a hub, once or again and again, and what is said of it."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from checkapp.journal.errors import JournalLocked
from checkapp.rig.errors import CheckappError
from checkapp.show.recording import open_journal
from checkapp.show.taken_text import entries
from checkapp.tongue import tr

if TYPE_CHECKING:
    from checkapp.journal.hub_address import HubAddress
    from checkapp.journal.journal import Journal
    from checkapp.journal.sums import Sums
    from checkapp.journal.sync import Synced

SHORTEST_S = 1
"""More often than this a hub is not asked."""


class NoHubLibrary(CheckappError):
    """What is needed to speak with a hub is not installed."""


class WrongPause(CheckappError):
    """A time between syncs that is none."""


@dataclass(frozen=True, slots=True)
class Said:
    """What came of a sync: lines of what was done (none when there was nothing to do) and of what is wrong."""

    done: tuple[str, ...] = ()
    wrong: tuple[str, ...] = ()


def setup_sql() -> str:
    """The SQL that an administrator runs to set a hub up."""
    from checkapp.journal.hub_schema import setup_sql as sql

    return sql()


def check_hub(url: str) -> str:
    """How messages call the hub of that address. Errors: `NoHubLibrary`, `HubAddressWrong`."""
    with _library():
        from checkapp.journal.hub_address import read_address

    return read_address(url).shown


def sync_once(url: str, journal: Path | None, home: Path | None = None) -> Said:
    """Bring the journal, made when there is none, together with the hub at ``url``; a hub that is away is wrong.

    ``home`` is the user's folder, None: the usual one.
    Errors: `NoHubLibrary`, `HubError` by the condition, those of the journal.
    """
    with _library():
        from checkapp.journal.hub_address import read_address
        from checkapp.journal.hub_errors import HubAway
        from checkapp.journal.sync import own_sums

    address = read_address(url)
    with open_journal(journal, home=home) as opened:
        try:
            found = _sync(opened, address, own_sums())
        except HubAway as error:
            return Said((), error.lines)
    if not found.done:
        return Said((f"the journal and {address.shown} hold the same entries",), found.wrong)
    return found


def sync_every(
    url: str,
    journal: Path | None,
    pause_s: float,
    say: Callable[[str], None],
    wait: Callable[[float], object] = time.sleep,
) -> None:
    """Do so again and again, ``pause_s`` seconds after the last time, until it is interrupted.

    What is new is said; a hub that is away, once, and that it is back. Errors: `WrongPause`, and as in `sync_once`.
    """
    if not pause_s >= SHORTEST_S:
        raise WrongPause(f"--every is {pause_s:g}; give {SHORTEST_S} second or more")
    with _library():
        from checkapp.journal.hub_address import read_address
        from checkapp.journal.sync import own_sums

    address, own = read_address(url), own_sums()
    with open_journal(journal) as opened, suppress(KeyboardInterrupt):
        say(f"syncing with {address.shown} every {pause_s:g} s; stop with Ctrl-C")
        news = _News(say)
        while True:
            news.tell(*_try(opened, address, own))
            wait(pause_s)


@dataclass(slots=True)
class _News:
    """Says what came of each sync, and nothing twice."""

    say: Callable[[str], None]
    _missed: tuple[str, ...] = ()
    _wrong: tuple[str, ...] = ()

    def tell(self, missed: tuple[str, ...], found: Said | None) -> None:
        """Say what is new: why there was no sync, or what it brought."""
        lines = list(missed if missed != self._missed else ())
        if found is not None:
            lines = ["synced again", *found.done] if self._missed else [*found.done]
            lines += [line for line in found.wrong if line not in self._wrong]
            self._wrong = found.wrong
        self._missed = missed
        for line in lines:
            self.say(line)


def _try(journal: Journal, address: HubAddress, own: Sums) -> tuple[tuple[str, ...], Said | None]:
    """A sync, or why there could be none now."""
    from checkapp.journal.hub_errors import HubAway

    try:
        return (), _sync(journal, address, own)
    except (HubAway, JournalLocked) as error:
        return error.lines, None


def _sync(journal: Journal, address: HubAddress, own: Sums) -> Said:
    from checkapp.journal.hub import open_hub
    from checkapp.journal.sync import sync

    with open_hub(address) as hub:
        return said(sync(journal, hub, own), address.shown)


def said(found: Synced, hub: str) -> Said:
    """What a sync brought, in words; ``hub`` is how messages call it."""
    done = (f"{entries(found.sent)} went to {hub}, {found.came} came from it",) if found.sent or found.came else ()
    wrong = [fault.said for fault in found.faults]
    if found.unsound:
        wrong.append(
            f"not sent: {entries(found.unsound)}, changed since written or not readable; journal verify names them"
        )
    if found.with_zero:
        wrong.append(f"not sent: {entries(found.with_zero)} with a zero character, which a hub cannot store")
    return Said(done, tuple(wrong))


@contextmanager
def _library() -> Iterator[None]:
    """Imports in this block that fail for want of the library that speaks with a hub: said plainly."""
    try:
        yield
    except ImportError as error:
        if (error.name or "psycopg").partition(".")[0] != "psycopg":
            raise
        raise NoHubLibrary(
            tr("a hub needs the library psycopg; install it with: pip install 'checkapp[hub]'")
        ) from None
