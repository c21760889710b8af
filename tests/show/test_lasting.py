"""What a recorder goes on with is what it would read anew, whatever is written by whom, on the disk or on its way."""

import random
import sqlite3
import time

import pytest

from checkapp.journal import kinds, setup_kinds
from checkapp.journal.entry import drafted
from checkapp.journal.journal import Journal
from checkapp.rig.planfile import load_plan
from checkapp.show.lasting import Moment
from checkapp.show.opening_log import open_log
from checkapp.show.recording import Recorder, open_journal

NIGHT = "Night 1"


class Two:
    """A tablet at work and another program on one journal, and the same asked of all that is there."""

    def __init__(self, folder, plan):
        self.path, self.rig, self.home = folder / "journal.db", load_plan(plan), folder / "home"
        self.log, _ = open_log(self.path, self.home, [folder], lambda: None, 0.02)
        self.here = Recorder(self.log, self.rig)
        self.key = self.here.need_check(NIGHT, "JD")
        self.log.flush()
        self.other = open_journal(self.path, home=folder / "other")
        self.there = Recorder(self.other, self.rig)
        self.blocker = sqlite3.connect(self.path, isolation_level=None)

    def close(self):
        self.free()
        self.log.close()
        self.other.close()
        self.blocker.close()

    def block(self):
        self.log.flush()
        self.blocker.execute("BEGIN IMMEDIATE")

    def free(self):
        if self.blocker.in_transaction:
            self.blocker.execute("ROLLBACK")
        self.log.try_now()
        self.log.flush()

    def mark(self, recorder, line, verdict="ok", over=(), show=NIGHT):
        draft = kinds.mark(line, verdict, plan=self.rig.digest, check=self.key)
        return recorder.write(kinds.over(draft, over), show, "JD")

    def look(self, fresh=None):
        """What was gone on with, after making sure that it is what is read anew."""
        anew = fresh or Recorder(self.log, self.rig)
        for key in (self.key, None):
            now, read = self.here.state(NIGHT, key), anew.state(NIGHT, key)
            assert now == read
            assert (list(now.lines), list(now.again)) == (list(read.lines), list(read.again))
        assert self.here.shows() == anew.shows()
        assert (self.here.run().made, self.here.run().left_out) == (anew.run().made, anew.run().left_out)
        return self.here.state(NIGHT, self.key)


@pytest.fixture
def two(tmp_path, small_plan):
    made = Two(tmp_path, small_plan)
    yield made
    made.close()


class Chance:
    """Anything that may happen, on this tablet or by another program; mostly a mark here."""

    def __init__(self, two, seed):
        self.two, self.random = two, random.Random(seed)
        self.lines = [line.line for line in two.rig.lines]

    def happen(self):
        doing = [self.void, self.repair, self.swap, self.show, self.end, self.block, self.two.free]
        self.random.choice([self.mark] * 12 + doing)()

    def who(self):
        blocked = self.two.blocker.in_transaction
        return self.two.there if self.random.random() < 0.15 and not blocked else self.two.here

    def mark(self):
        known = [mark.entry_id for mark in self.two.here.state(NIGHT, self.two.key).marks]
        over = [one for one in known if self.random.random() < 0.5]
        line, verdict = self.random.choice(self.lines), self.random.choice(("ok", "faulty"))
        self.two.mark(self.who(), line, verdict, over, self.random.choice([NIGHT] * 9 + ["B"]))

    def void(self):
        what = (kinds.MARK, kinds.VOID, kinds.REPAIR, setup_kinds.SWAP)
        if told := self.two.log.entries(rig=self.two.rig.name, kind=what):
            self.who().write(kinds.void(self.random.choice(told).id), NIGHT, "JD")

    def repair(self):
        item = self.random.choice(self.two.rig.path(self.random.choice(self.lines))).name
        self.who().write(kinds.repair(item, "reseat", cleared=self.random.random() < 0.7), NIGHT, "JD")

    def swap(self):
        path = self.two.here.running().path(self.random.choice(self.lines))
        used = next(item.name for item in path if item.kind == "cable")
        self.who().write(setup_kinds.swap(used, f"XL9{self.random.randrange(5)}"), None, "JD")

    def show(self):
        self.who().write(kinds.show(NIGHT, venue=self.random.choice(("Barn", "Hall"))), NIGHT, "JD")

    def end(self):
        if self.random.random() < 0.5:
            self.who().write(kinds.check_signed_off([self.two.key], []), NIGHT, "JD")
            self.two.key = self.who().write(kinds.check_opened(), NIGHT, "JD").id

    def block(self):
        if not self.two.blocker.in_transaction:
            self.two.block()


@pytest.mark.independent
@pytest.mark.parametrize("seed", range(3))
def test_whatever_happens_what_is_gone_on_with_is_what_is_read_anew(two, seed):
    chance = Chance(two, seed)
    for _ in range(60):
        chance.happen()
        two.look()
    two.free()
    with Journal.read(two.path) as plain:
        two.look(Recorder(plain, two.rig))


A, B, C, A_WAITS, B_WAITS = (drafted("note", now_ms=0, new_id=letter * 16) for letter in "abcde")
STATE = object()


@pytest.mark.parametrize(
    ("before", "now", "new"),
    [
        ((STATE, 1, 1, 1, ()), (STATE, 1, 1, 1, ()), ()),
        ((STATE, 1, 1, 1, ()), (STATE, 2, 1, 3, ()), (B, C)),
        ((STATE, None, 1, 1, ()), (STATE, 2, 1, 2, ()), (B,)),
        ((STATE, 1, 1, 1, ()), (STATE, 2, 2, 3, ()), None),
        ((STATE, 1, 1, 1, ()), (object(), 1, 1, 1, ()), None),
        ((STATE, 1, None, 1, ()), (STATE, 2, None, 1, ()), None),
        ((STATE, None, None, 1, ()), (STATE, None, None, 1, ()), None),
        ((STATE, 1, 1, 0, ()), (STATE, 1, None, 0, (A_WAITS, B_WAITS)), (A_WAITS, B_WAITS)),
        ((STATE, 1, None, 0, (A_WAITS,)), (STATE, 1, 1, 0, (A_WAITS, B_WAITS)), (B_WAITS,)),
        ((STATE, 1, None, 0, (A_WAITS,)), (STATE, 1, None, 0, (A_WAITS,)), ()),
        ((STATE, 1, 1, 0, (A_WAITS,)), (STATE, 2, 1, 1, ()), None),
        ((STATE, 1, 1, 0, (A_WAITS,)), (STATE, 1, 1, 1, (B_WAITS,)), None),
        ((STATE, 1, 1, 0, (A_WAITS,)), (STATE, 1, 1, 0, ()), None),
        ((STATE, 1, 1, 0, ()), (STATE, 2, 1, 1, (B_WAITS,)), None),
        ((STATE, 1, 1, 0, ()), (STATE, 1, 1, 1, (B_WAITS,)), None),
        ((STATE, 1, 1, 0, ()), (STATE, 2, 2, 0, (A_WAITS,)), None),
    ],
)
def test_what_came_since_a_moment_is_told_only_where_nothing_else_can_have_happened(before, now, new):
    since = Moment(*before).until(Moment(*now), [A, B, C])
    assert (since and since.entries) == new


@pytest.mark.parametrize("blocked", [False, True])
def test_what_another_program_writes_while_it_is_asked_who_wrote_is_seen_the_next_time(two, monkeypatch, blocked):
    names = [line.line for line in two.rig.lines]
    ask = Journal.others_wrote
    for number, moment in enumerate(range(-4, 4)):
        two.look()
        if blocked and number % 2:
            two.block()
        two.mark(two.here, names[0], ("ok", "faulty")[number % 2])
        calls = iter(range(-4, 99))

        def others_wrote(journal, calls=calls, moment=moment, line=names[1 + number % 5]):
            found = ask(journal)
            if next(calls) == moment:
                two.free()
                two.mark(two.there, line, "faulty")
            return found

        with monkeypatch.context() as patch:
            patch.setattr(Journal, "others_wrote", others_wrote)
            two.here.state(NIGHT, two.key)
            two.here.shows()
            two.here.state(NIGHT, two.key)
        two.look()
        two.free()
        two.look()


def count_reading(log, monkeypatch):
    """How often all was asked of the file."""
    asked = []
    answer = log._answer
    monkeypatch.setattr(log, "_answer", lambda *args: (asked.append(1), answer(*args))[1])
    return asked


def test_marks_made_here_are_not_read_back(two, monkeypatch):
    lines = [line.line for line in two.rig.lines]
    two.mark(two.here, lines[0])
    two.log.flush()
    two.look()
    asked = count_reading(two.log, monkeypatch)
    for line in lines[:5]:
        two.mark(two.here, line, "faulty")
        two.log.flush()
        assert two.here.state(NIGHT, two.key).lines[line].verdict == "faulty"
        assert two.here.shows()
        assert two.here.running() is two.rig
    assert asked == []
    two.mark(two.there, lines[5])
    assert lines[5] in two.here.state(NIGHT, two.key).lines
    assert asked
    two.look()


def test_marks_on_their_way_are_not_read_back_either(two, monkeypatch):
    lines = [line.line for line in two.rig.lines]
    two.look()
    asked = count_reading(two.log, monkeypatch)
    two.block()
    for line in lines[:3]:
        two.mark(two.here, line, "faulty")
        assert two.here.state(NIGHT, two.key).lines[line].verdict == "faulty"
    assert len(two.log.waiting) == 3
    two.free()
    assert not two.log.waiting
    assert list(two.here.state(NIGHT, two.key).lines) == lines[:3]
    assert asked == []
    two.look()


def test_another_program_s_mark_right_after_one_made_here_is_seen_at_once(two):
    lines = [line.line for line in two.rig.lines]
    for mine, theirs in zip(lines[::2], lines[1::2], strict=False):
        two.here.state(NIGHT, two.key)
        two.mark(two.here, mine)
        two.log.flush()
        two.mark(two.there, theirs, "faulty")
        state = two.here.state(NIGHT, two.key)
        assert (state.lines[mine].verdict, state.lines[theirs].verdict) == ("ok", "faulty")
        two.mark(two.there, mine, "faulty", ())
        assert two.look().lines[mine].against is not None


def test_what_could_not_be_read_is_read_as_soon_as_it_can_be(two):
    lines = [line.line for line in two.rig.lines]
    two.mark(two.here, lines[0])
    two.log.flush()
    two.look()
    two.mark(two.there, lines[1])
    two.blocker.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()
    sound = two.path.read_bytes()
    with two.path.open("r+b") as file:
        file.seek(4096)
        file.write(b"\xff" * (len(sound) - 4096))
    assert lines[1] not in two.here.state(NIGHT, two.key).lines
    with two.path.open("r+b") as file:
        file.write(sound)
    assert lines[1] in two.here.state(NIGHT, two.key).lines
    two.look()


def test_an_entry_on_its_way_counts_and_then_as_it_is_on_the_disk(two):
    line = two.rig.lines[0].line
    two.look()
    two.block()
    entry = two.mark(two.here, line)
    assert two.log.waiting
    assert two.look().lines[line].entry_id == entry.id
    two.mark(two.here, line, "faulty")
    two.here.write(kinds.show("Night 2"), "Night 2", "JD")
    assert two.look().lines[line].verdict == "faulty"
    two.free()
    end = time.monotonic() + 20
    while two.log.waiting:
        assert time.monotonic() < end
        two.log.try_now()
    with Journal.read(two.path) as plain:
        assert two.look(Recorder(plain, two.rig)).lines[line].verdict == "faulty"
