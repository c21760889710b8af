"""Journals and a real hub: many tablets at once, cut off anywhere, forks, late commits; all end with the same."""

import signal
import sqlite3
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import ExitStack, closing
from dataclasses import replace
from pathlib import Path
from typing import Any

import psycopg
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from checkapp.journal import kinds
from checkapp.journal import sync as syncing
from checkapp.journal.clock import at_text
from checkapp.journal.entry import COLUMNS, NO_ENTRY, Entry
from checkapp.journal.hub import Hub, open_hub
from checkapp.journal.hub_address import read_address
from checkapp.journal.hub_errors import HubAway
from checkapp.journal.journal import Journal
from checkapp.journal.sync import Synced, own_sums, sync
from checkapp.journal.taking_in import take_in
from checkapp.journal.verify import verify

Opener = Callable[[str], Journal]


@pytest.fixture
def tablet(tmp_path: Path) -> Iterator[Opener]:
    """Opens the journal of a tablet, by name."""
    with ExitStack() as stack:
        known: dict[str, Journal] = {}

        def opened(name: str) -> Journal:
            if name not in known:
                known[name] = Journal.open(tmp_path / f"{name}.db", new_device=name, create=True)
                stack.enter_context(known[name])
            return known[name]

        yield opened


def mark(journal: Journal, number: int, **more: Any) -> Entry:
    new_id = f"{journal.device}-entry-{number:012d}"
    return journal.append("mark", now_ms=1_900_000_000_000 + number, new_id=new_id, subject="in 7", **more)


def marks(journal: Journal, count: int, first: int = 0) -> list[Entry]:
    """Many entries at once, as another tablet would have written them."""
    return [mark(journal, number) for number in range(first, first + count)]


def synced(journal: Journal, hub: Any, **how: Any) -> Synced:
    with open_hub(read_address(hub.url())) as opened:
        return sync(journal, opened, own_sums(), **how)


def rows(journal: Journal) -> set[Any]:
    return {entry.values for entry in journal.entries()}


def many(story: Any, count: int) -> list[Entry]:
    return [
        story.tell(kinds.mark(f"in {number % 60}", "ok", plan="a" * 64, check="c" * 16), "far")
        for number in range(count)
    ]


def test_both_ways_and_again(hub: Any, tablet: Opener) -> None:
    left, right = tablet("left"), tablet("right")
    marks(left, 3)
    marks(right, 2)
    first = synced(left, hub)
    assert (first.sent, first.came, first.faults) == (3, 0, [])
    second = synced(right, hub)
    assert (second.sent, second.came, second.faults) == (2, 3, [])
    third = synced(left, hub)
    assert (third.sent, third.came) == (0, 2)
    for journal in (left, right):
        again = synced(journal, hub)
        assert (again.sent, again.came) == (0, 0)
        assert verify(journal) == []
    assert rows(left) == rows(right) == hub.rows()


def test_odd_texts_travel_as_they_are(hub: Any, tablet: Opener) -> None:
    left, right = tablet("left"), tablet("right")
    for number, text in enumerate(["\t\\N\\", "a\nb\r", '"', "", "Zoë 😀\u2028", "\\."]):
        mark(left, number, by=text, rig=None, detail={text: [text, 10**30, None]})
    synced(left, hub)
    synced(right, hub)
    assert rows(right) == rows(left) == hub.rows()


def test_a_user_that_may_read_and_add_needs_no_more_and_can_do_no_more(hub: Any, tablet: Opener) -> None:
    marks(tablet("left"), 3)
    assert synced(tablet("left"), hub).sent == 3
    forbidden = ["UPDATE entry SET by = 'me'", "DELETE FROM entry", "TRUNCATE entry", "DROP TABLE entry"]
    with hub.connect("left_tablet") as connection:
        for statement in forbidden:
            with pytest.raises(psycopg.errors.InsufficientPrivilege):
                connection.execute(statement)
    with hub.connect() as connection:
        for statement in forbidden[:3]:
            with pytest.raises(psycopg.errors.RaiseException, match="never changed or removed"):
                connection.execute(statement)
    assert hub.rows() == rows(tablet("left"))


def test_eight_tablets_at_once(hub: Any, tablet: Opener) -> None:
    names = [f"tablet-{number}" for number in range(8)]
    journals = [tablet(name) for name in names]
    failed: list[Exception] = []
    start = threading.Barrier(len(journals))

    def work(journal: Journal) -> None:
        try:
            start.wait()
            for turn in range(5):
                marks(journal, 12, turn * 100)
                synced(journal, hub)
        except Exception as error:  # noqa: BLE001 - whatever it is, it is told below
            failed.append(error)

    workers = [threading.Thread(target=work, args=(journal,)) for journal in journals]
    for worker in workers:
        worker.start()
    for worker in workers:
        worker.join()
    assert failed == []
    for journal in journals:
        synced(journal, hub)
    assert len(hub.rows()) == 8 * 5 * 12
    for journal in journals:
        assert rows(journal) == hub.rows()
        assert verify(journal) == []


def test_the_same_entries_brought_by_several_at_once(hub: Any, tablet: Opener, story: Any) -> None:
    told = many(story, 3000)
    journals = [tablet(name) for name in ("left", "right", "third")]
    for journal in journals:
        take_in(journal, told)
    start = threading.Barrier(len(journals))
    sent: list[int] = []

    def work(journal: Journal) -> None:
        start.wait()
        sent.append(synced(journal, hub).sent)

    workers = [threading.Thread(target=work, args=(journal,)) for journal in journals]
    for worker in workers:
        worker.start()
    for worker in workers:
        worker.join()
    assert len(sent) == 3
    assert sum(sent) == 3000
    assert hub.rows() == rows(journals[0])


def test_what_another_is_adding_at_this_moment_is_waited_for(hub: Any, tablet: Opener) -> None:
    written = marks(tablet("left"), 4)
    places = ", ".join(["%s"] * len(COLUMNS))
    with hub.connect() as other:
        other.autocommit = False
        other.execute(f"INSERT INTO entry VALUES ({places})", written[2].values)
        found: list[Synced] = []
        worker = threading.Thread(target=lambda: found.append(synced(tablet("left"), hub)))
        worker.start()
        time.sleep(0.3)
        assert worker.is_alive()
        other.commit()
        worker.join()
    assert [one.sent for one in found] == [3]
    assert hub.rows() == rows(tablet("left"))


def test_an_entry_that_is_committed_late_is_not_missed(hub: Any, tablet: Opener) -> None:
    written = marks(tablet("left"), 5)
    places = ", ".join(["%s"] * len(COLUMNS))
    insert = f"INSERT INTO entry VALUES ({places})"
    with hub.connect() as slow, hub.connect() as quick:
        slow.autocommit = False
        slow.execute(insert, written[1].values)
        for number in (0, 2, 3, 4):
            quick.execute(insert, written[number].values)
        first = synced(tablet("right"), hub)
        assert first.came == 4
        assert [fault.said for fault in first.faults] == ["entry 2 of tablet left is missing"]
        slow.commit()
    second = synced(tablet("right"), hub)
    assert (second.came, second.faults) == (1, [])
    assert rows(tablet("right")) == rows(tablet("left"))


def forked(tmp_path: Path, tablet: Opener) -> tuple[Journal, Journal]:
    """Two journals in which the device ``far`` wrote number 3 twice."""

    def chain(name: str) -> list[Entry]:
        previous, told = NO_ENTRY, []
        for seq in range(1, 5):
            side = name if seq > 2 else "both"
            entry = Entry(
                f"{side}-entry-{seq:012d}",
                "far",
                seq,
                at_text(seq),
                f"{seq:012x}-0000",
                *("note", None, None, None, None, "{}"),
                previous,
            )
            entry = Entry(*entry.values[:-1], digest=entry.computed_digest())
            previous = entry.digest
            told.append(entry)
        return told

    left, right = tablet("left"), tablet("right")
    take_in(left, chain("left"))
    take_in(right, chain("right"))
    return left, right


def test_both_sides_of_a_fork_are_kept_and_told(hub: Any, tmp_path: Path, tablet: Opener) -> None:
    left, right = forked(tmp_path, tablet)
    assert synced(left, hub).faults == []
    told = synced(right, hub)
    assert [fault.said for fault in told.faults] == [
        f"number {seq} of tablet far was used for different entries: left-entry-{seq:012d}, right-entry-{seq:012d}"
        for seq in (3, 4)
    ]
    assert [fault.name for fault in synced(left, hub).faults] == ["fork", "fork"]
    assert rows(left) == rows(right) == hub.rows()
    assert len(hub.rows()) == 6
    assert synced(left, hub).faults == []


def unguarded(path: Path, statement: str) -> None:
    """Change the journal file as somebody with a SQL tool would who took its guards away."""
    with closing(sqlite3.connect(path)) as plain, plain:
        guards = plain.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'").fetchall()
        for name, _ in guards:
            plain.execute(f'DROP TRIGGER "{name}"')
        plain.execute(statement)
        for _, sql in guards:
            plain.execute(sql)


def test_what_was_changed_is_not_sent_and_the_hub_makes_it_good(hub: Any, tmp_path: Path, tablet: Opener) -> None:
    left, right = tablet("left"), tablet("right")
    marks(left, 3)
    synced(left, hub)
    mark(left, 3)
    unguarded(tmp_path / "left.db", "UPDATE entry SET by = 'nobody' WHERE seq IN (2, 4)")
    found = synced(left, hub)
    assert (found.sent, found.came, found.unsound) == (0, 1, 2)
    assert [fault.name for fault in found.faults] == ["duplicate id"]
    assert synced(right, hub).came == 3
    assert {entry.by for entry in right.entries()} == {None}
    again = synced(left, hub)
    assert (again.sent, again.came, again.unsound, again.faults) == (0, 0, 2, [])


def test_a_zero_character_stays_here(hub: Any, tablet: Opener, story: Any) -> None:
    (odd,) = many(story, 1)
    odd = replace(odd, by="a\0b")
    odd = replace(odd, digest=odd.computed_digest())
    take_in(tablet("left"), [odd])
    mark(tablet("left"), 1)
    found = synced(tablet("left"), hub)
    assert (found.sent, found.with_zero) == (1, 1)


def test_a_tablet_that_comes_back_after_ten_thousand_entries(hub: Any, tablet: Opener, story: Any) -> None:
    far = tablet("far-away")
    told = many(story, 10_000)
    take_in(far, told[:4000])
    synced(far, hub)
    take_in(far, told[4000:])
    mark(tablet("left"), 1)
    synced(tablet("left"), hub)
    parts: list[tuple[int, int]] = []
    back = synced(far, hub, told=lambda done, of: parts.append((done, of)))
    assert (back.sent, back.came, back.faults) == (6000, 1, [])
    assert len(parts) > 1
    assert parts[-1][0] == parts[-1][1]
    assert synced(tablet("left"), hub).came == 6000
    assert rows(tablet("left")) == rows(far) == hub.rows()


def test_the_hub_dies_in_the_middle(
    hub: Any, hub_server: Any, tablet: Opener, story: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(syncing, "PART", 500)
    left = tablet("left")
    take_in(left, many(story, 4000))

    def told(done: int, of: int) -> None:
        if done == 2:
            hub_server.die()

    with pytest.raises(HubAway, match="stopped answering"):
        synced(left, hub, told=told)
    mark(left, 1)
    with pytest.raises(HubAway, match="does not answer"):
        synced(left, hub)
    mark(left, 2)
    assert verify(left) == []
    hub_server.start()
    there = len(hub.rows())
    assert there >= 1000
    assert synced(left, hub).sent == 4002 - there
    assert hub.rows() == rows(left)


def test_the_hub_dies_while_entries_come(
    hub: Any, hub_server: Any, tablet: Opener, story: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(syncing, "PART", 500)
    left, right = tablet("left"), tablet("right")
    take_in(left, many(story, 3000))
    synced(left, hub)
    with pytest.raises(HubAway):
        synced(right, hub, told=lambda done, of: hub_server.die() if done == 1 else None)
    came = len(rows(right))
    assert 0 < came < 3000
    assert verify(right) == []
    hub_server.start()
    assert synced(right, hub).came == 3000 - came
    assert rows(right) == rows(left)


SYNC = """
import sys
from pathlib import Path
from checkapp.journal import sync as syncing
from checkapp.journal.hub import open_hub
from checkapp.journal.hub_address import read_address
from checkapp.journal.journal import Journal
syncing.PART = 500
with Journal.open(Path(sys.argv[1]), new_device="none", create=True) as journal:
    with open_hub(read_address(sys.argv[2])) as hub:
        def told(done, of):
            print(done, flush=True)
            if done == 4:
                sys.stdin.read()  # it is killed here at the latest
        syncing.sync(journal, hub, syncing.own_sums(), told=told)
"""


@pytest.mark.parametrize("comes", [False, True])
def test_a_tablet_is_killed_in_the_middle(
    hub: Any, tmp_path: Path, tablet: Opener, story: Any, children: Any, comes: bool
) -> None:
    take_in(tablet("full"), many(story, 6000))
    if comes:
        synced(tablet("full"), hub)
    path = tmp_path / ("empty.db" if comes else "full.db")
    child = children.start(SYNC, path, hub.url())
    child.stdout.readline()
    child.send_signal(signal.SIGKILL)
    child.wait()
    killed = tablet("empty" if comes else "full")
    assert verify(killed) == []
    there = len(rows(killed)) if comes else len(hub.rows())
    assert 0 < there < 6000
    found = synced(killed, hub)
    assert (found.came if comes else found.sent) == 6000 - there
    assert rows(killed) == hub.rows()
    assert len(hub.rows()) == 6000


def test_sums_are_kept_from_one_sync_to_the_next(hub: Any, tablet: Opener, story: Any) -> None:
    left, own = tablet("left"), own_sums()
    take_in(left, many(story, 2500))
    with open_hub(read_address(hub.url())) as opened:
        assert sync(left, opened, own).sent == 2500
        mark(left, 1)
        take_in(tablet("right"), many(story, 10))
        synced(tablet("right"), hub)
        found = sync(left, opened, own)
        assert (found.sent, found.came) == (1, 10)
        assert own.of != opened.sums()  # what came is counted at the next sync
        assert sync(left, opened, own).sent == 0
        fresh = own_sums()
        fresh.update(left)
        assert own.of == fresh.of == opened.sums()


def test_a_hub_that_was_set_back_gets_everything_again(hub: Any, hub_server: Any, tablet: Opener) -> None:
    marks(tablet("left"), 5)
    synced(tablet("left"), hub)
    other = hub_server.new()
    assert synced(tablet("left"), other).sent == 5
    assert other.rows() == hub.rows()


STEPS = st.lists(
    st.tuples(st.just("mark"), st.integers(0, 2), st.integers(1, 4))
    | st.tuples(st.just("sync"), st.integers(0, 2), st.just(0))
    | st.tuples(st.just("merge"), st.integers(0, 2), st.integers(0, 2)),
    max_size=14,
)


@settings(max_examples=12, suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(steps=STEPS)
def test_in_whichever_order_all_sides_end_with_the_same(
    hub_server: Any, tmp_path_factory: pytest.TempPathFactory, steps: list[tuple[str, int, int]]
) -> None:
    hub, folder = hub_server.new(), tmp_path_factory.mktemp("sides")
    with ExitStack() as stack:
        journals = [
            stack.enter_context(Journal.open(folder / f"{name}.db", new_device=name, create=True)) for name in "abc"
        ]
        opened: Hub = stack.enter_context(open_hub(read_address(hub.url())))
        written = 0
        for what, which, more in steps:
            if what == "mark":
                marks(journals[which], more, written)
                written += more
            elif what == "sync":
                sync(journals[which], opened, own_sums())
            else:
                take_in(journals[which], journals[more].entries())
        for journal in journals * 2:
            assert sync(journal, opened, own_sums()).faults == []
        for journal in journals:
            assert rows(journal) == hub.rows()
            assert verify(journal) == []
        assert len(hub.rows()) == written
