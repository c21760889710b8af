"""A session whose disk fails in real ways: locked, full, gone, damaged; nothing is lost, nothing is shown as saved."""

import json
import os
import resource
import shutil
import sqlite3
import subprocess
import sys
import tempfile
import threading
import time
from contextlib import contextmanager
from pathlib import Path

import pytest

from checkapp.journal.journal import Journal
from checkapp.journal.verify import verify
from checkapp.show.importing import Asked, import_file
from checkapp.show.session import Session
from checkapp.show.session_errors import StillUnsaved

SHOW = ("Night 1", "Barn", "2031-05-02", "JD")


class Stick:
    """A journal in a folder of its own, as on a stick, and sessions on it."""

    def __init__(self, tmp_path, plan):
        self.folder, self.refuge, self.home = tmp_path / "stick", tmp_path / "refuge", tmp_path / "home"
        self.journal = self.folder / "journal.db"
        self.plan, self.open, self.ms = plan, [], 1_935_000_000_000

    def now_ms(self):
        return self.ms

    def session(self, **more):
        made = Session(self.journal, home=self.home, now_ms=self.now_ms, refuges=[self.refuge], **more)
        self.open.append(made)
        made.open_rig(str(self.plan))
        made.start_check(*SHOW)
        return made

    def rows(self):
        with sqlite3.connect(self.journal) as opened:
            found = opened.execute("select kind, subject, detail, at from entry order by rowid").fetchall()
        return [(kind, subject, json.loads(detail).get("verdict"), at) for kind, subject, detail, at in found]

    def marks(self):
        return [(subject, verdict) for kind, subject, verdict, _ in self.rows() if kind == "mark"]

    def kept(self):
        return sorted(self.refuge.glob("*")) if self.refuge.exists() else []

    def is_sound(self):
        with Journal.open(self.journal, new_device="reader") as journal:
            return verify(journal) == []


@pytest.fixture
def stick(tmp_path, small_plan):
    made = Stick(tmp_path, small_plan)
    yield made
    for session in made.open:
        session.close()


@contextmanager
def no_room(most=8192):
    """No file can be written beyond 8 kB, which no commit fits in: the very write fails, with EFBIG."""
    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (most, before[1]))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, before)


def until(holds):
    end = time.monotonic() + 20
    while not holds():
        assert time.monotonic() < end
        time.sleep(0.01)


def test_marks_at_full_speed_while_another_program_writes_for_two_seconds(stick):
    session = stick.session(wait_s=0.05)
    names = [row.line for row in session.lines()]
    other = sqlite3.connect(stick.journal, isolation_level=None, check_same_thread=False)
    other.execute("BEGIN IMMEDIATE")
    timer = threading.Timer(2.0, other.execute, ["ROLLBACK"])
    timer.start()
    slowest = 0.0
    for number, name in enumerate(names[:6]):
        begin = time.monotonic()
        view = session.ok(name)
        slowest = max(slowest, time.monotonic() - begin)
        assert (view.line, view.ok, view.waiting) == (names[number + 1], 0, number + 1)
        assert "writing" in view.message
        stick.ms += 100
        time.sleep(max(0.0, 0.1 - (time.monotonic() - begin)))
    assert slowest < 0.5
    assert {row.status for row in session.lines()[:6]} == {"look"}
    until(lambda: session.saving().waiting == 0)
    again = session.walk_again()
    assert (again.ok, again.waiting) == (6, 0)
    assert again.message == f"{names[5]} ok, saved"
    timer.join()
    other.close()
    assert stick.marks() == [(name, "ok") for name in names[:6]]
    at = [at for kind, _, _, at in stick.rows() if kind == "mark"]
    assert [text[-4:-1] for text in at] == ["000", "100", "200", "300", "400", "500"]
    assert stick.is_sound()


def test_a_full_disk_is_said_and_what_waits_comes_in_later(stick):
    session = stick.session()
    session.ok("in 1")
    with no_room():
        view = session.faulty("in 2", "silent", "")
        assert (view.line, view.ok, view.faulty, view.waiting) == ("in 3", 1, 0, 1)
        assert "not saved yet" in view.message
        assert session.saving().trouble.startswith("in 2 silent is not saved yet: ")
        session.ok("in 3")
        assert session.saving().waiting == 2
        rows = session.lines()
        assert [row.status for row in rows[:4]] == ["ok", "look", "look", "open"]
        assert rows[1].said == "faulty, not saved yet, silent, JD"
        check = session.summary()
        assert [row.line for row in check.waiting] == ["in 2", "in 3"]
        assert check.counts.startswith("1 ok, 0 faulty, 2 not saved yet, ")
        assert not check.can_sign_off
        with pytest.raises(StillUnsaved):
            session.sign_off()
        (kept,) = stick.kept()
        assert len(kept.read_text().splitlines()) == 2
    assert stick.marks() == [("in 1", "ok")]
    view = session.ok("in 4")
    assert (view.ok, view.faulty, view.waiting) == (3, 1, 0)
    assert session.saving().trouble == ""
    assert stick.kept() == []
    assert session.sign_off().signed_off
    assert stick.marks() == [("in 1", "ok"), ("in 2", "faulty"), ("in 3", "ok"), ("in 4", "ok")]
    assert stick.is_sound()


def test_a_mark_that_waits_can_be_undone(stick):
    session = stick.session()
    session.ok("in 1")
    with no_room():
        session.faulty("in 1", "hum", "")
        view = session.undo()
        assert (view.line, view.ok, view.waiting) == ("in 1", 1, 0)
        assert view.message.startswith("Taken back: in 1 was faulty, not saved yet")
        session.ok("in 2")
        session.undo()
        view = session.undo()
        assert (view.line, view.open) == ("in 1", view.total)
        assert session.saving().waiting == 5
    assert session.ok("in 5").waiting == 0
    assert [kind for kind, *_ in stick.rows()][3:] == ["mark", "mark", "void", "mark", "void", "void", "mark"]
    assert [row.status for row in session.lines()[:5]] == ["open", "open", "open", "open", "ok"]


def test_a_stick_that_is_pulled_and_put_back(stick, tmp_path):
    session = stick.session()
    session.ok("in 1")
    stick.folder.rename(tmp_path / "pulled")
    view = session.ok("in 2")
    assert (view.line, view.ok, view.waiting) == ("in 3", 1, 1)
    assert "put its disk back" in session.saving().trouble
    session._log._drop_reader()  # what was read is all there is: the file is away for reading too
    view = session.faulty("in 3", "hum", "")
    assert (view.line, view.ok, view.waiting) == ("in 4", 1, 2)
    assert session.go_to("in 1").status == "ok"
    assert session.card("in 1").item == "in 1"
    assert not stick.folder.exists()  # no new journal is made where the stick was
    shutil.copytree(tmp_path / "pulled", stick.folder)
    view = session.ok("in 4")
    assert (view.ok, view.faulty, view.waiting) == (3, 1, 0)
    assert stick.marks() == [("in 1", "ok"), ("in 2", "ok"), ("in 3", "faulty"), ("in 4", "ok")]
    assert stick.is_sound()


def test_another_stick_in_its_place_gets_nothing(stick, tmp_path, small_plan):
    other = Stick(tmp_path / "other", small_plan)
    other.session().close()
    before = other.rows()
    session = stick.session()
    session.ok("in 1")
    stick.folder.rename(tmp_path / "pulled")
    shutil.copytree(other.folder, stick.folder)
    view = session.ok("in 2")
    assert view.waiting == 1
    assert stick.rows() == before
    shutil.rmtree(stick.folder)
    (tmp_path / "pulled").rename(stick.folder)
    assert session.ok("in 3").waiting == 0
    assert stick.marks() == [("in 1", "ok"), ("in 2", "ok"), ("in 3", "ok")]


def test_damaged_pages_are_said_and_nothing_is_shown_as_saved_that_is_not(stick):
    stick.session().close()
    with Journal.open(stick.journal, new_device="filler") as journal:
        bare = journal.writing()
        with bare as connection:
            (columns,) = connection.execute("SELECT group_concat('\"' || name || '\"') FROM pragma_table_info('entry')")
            rest = columns[0].replace('"id",', "").replace('"seq",', "").replace('"device",', "")
            connection.execute(
                f'INSERT INTO entry ("id", "seq", "device", {rest}) WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL '
                f"SELECT i + 1 FROM n WHERE i < 5000) SELECT hex(randomblob(12)), i, 'filler', {rest} "
                "FROM n, (SELECT * FROM entry LIMIT 1)"
            )
    session = stick.session()
    session.ok("in 1")
    with sqlite3.connect(stick.journal) as opened:
        opened.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    sound = stick.journal.read_bytes()
    with stick.journal.open("r+b") as file:
        file.seek(8192)
        file.write(bytes(255 - byte for byte in sound[8192:]))
    view = session.ok("in 2")
    waits = session.saving()
    assert waits.waiting == view.waiting == 1
    assert "the journal is damaged" in waits.trouble
    with stick.journal.open("r+b") as file:
        file.write(sound)
    assert session.ok("in 3").waiting == 0
    assert stick.marks()[-3:] == [("in 1", "ok"), ("in 2", "ok"), ("in 3", "ok")]


def test_what_could_not_be_saved_at_the_end_comes_in_at_the_next_start(stick):
    session = stick.session()
    session.ok("in 1")
    with no_room():
        stick.ms += 5000
        session.faulty("in 2", "crackle", "left of the riser")
        session.ok("in 3")
        said = session.close()
    (kept,) = stick.kept()
    assert said.startswith("2 entries could not be saved in the journal; kept in ")
    assert str(kept) in said
    stick.ms += 60_000
    again = Session(stick.journal, home=stick.home, now_ms=stick.now_ms, refuges=[stick.refuge])
    stick.open.append(again)
    view = again.resume()
    assert (view.ok, view.faulty, view.line) == (2, 1, "in 4")
    assert "2 entries" in view.message
    assert stick.kept() == []
    assert stick.marks() == [("in 1", "ok"), ("in 2", "faulty"), ("in 3", "ok")]
    assert len({at for *_, at in stick.rows()[-2:]}) == 1  # the time of the tap, not of the start
    assert stick.is_sound()
    assert again.undo().line == "in 3"


def test_what_is_kept_outlives_a_kill_and_comes_in_only_once(stick):
    session = stick.session()
    with no_room():
        session.ok("in 1")
        (kept,) = stick.kept()
        copy = kept.with_name(f"{kept.stem}-copy.jsonl")
        shutil.copy(kept, copy)  # what a killed program would have left
    session.ok("in 2")
    session.close()
    assert stick.kept() == [copy]
    assert stick.session().lines()[0].status == "ok"
    assert stick.marks() == [("in 1", "ok"), ("in 2", "ok")]
    assert stick.kept() == []


def test_what_is_kept_can_be_imported_by_hand(stick, tmp_path):
    session = stick.session()
    session.ok("in 1")
    with no_room():
        session.ok("in 2")
        session.ok("in 3")
        session.undo()
        session.close()
    (kept,) = stick.kept()
    said = import_file(kept, stick.journal, Asked())
    assert said.status == 0, said.wrong
    assert "3" in said.done[0]
    kept.unlink()
    rows = stick.session().lines()
    assert [row.status for row in rows[:3]] == ["ok", "ok", "open"]
    assert stick.is_sound()


def test_a_file_that_was_cut_short_is_taken_as_far_as_it_goes_and_left_there(stick):
    session = stick.session()
    with no_room():
        session.ok("in 1")
        session.ok("in 2")
        session.close()
    (kept,) = stick.kept()
    kept.write_bytes(kept.read_bytes()[:-40])
    assert [row.status for row in stick.session().lines()[:2]] == ["ok", "open"]
    assert stick.kept() == [kept]


def test_no_place_that_works_is_said_with_what_to_write_down(stick, tmp_path):
    (tmp_path / "no folder").write_text("")
    session = stick.session()
    session.close()
    session = Session(stick.journal, home=stick.home, refuges=[tmp_path / "no folder" / "in it"])
    session.open_rig(str(stick.plan))
    session.start_check(*SHOW)
    with no_room(0):
        session.ok("in 1")
        session.faulty("in 2", "hum", "")
        said = session.close()
    assert said == "2 entries could not be saved anywhere, write them down: in 1 ok; in 2 hum"


def test_set_up_shows_what_is_not_saved_as_such(stick):
    session = stick.session()
    before = session.set_up(*SHOW)
    box = next(row for place in before.places for row in place.rows if not row.end)
    with no_room():
        view = session.setup.place(box.item)
        row = next(row for place in view.places for row in place.rows if row.item == box.item and not row.end)
        assert row.status == "look"
        assert row.said.startswith("not saved yet, JD")
        assert view.boxes_placed == 0
        assert "not saved yet" in view.progress
    session.setup.place(box.item)
    session._log.flush()
    assert session.setup.view().boxes_placed == 1


READ_ONLY = """
import os
import subprocess
import sys
from pathlib import Path
from checkapp.show.session import Session

folder, plan, way = Path(sys.argv[1]), sys.argv[2], sys.argv[3]


def shut(word):
    if way == "mount":
        subprocess.run(["mount", "-o", f"remount,{word}", str(folder)], check=True)
    else:
        if word == "rw" and os.getuid() == 0:
            os.seteuid(0)
        folder.chmod(0o555 if word == "ro" else 0o755)
        for file in folder.iterdir():
            file.chmod(0o444 if word == "ro" else 0o644)
        if word == "ro" and os.getuid() == 0:
            os.seteuid(65534)  # whom modes keep out


def session():
    made = Session(folder / "journal.db", home=folder / "../home", refuges=[folder / "../refuge"])
    made.open_rig(plan)
    made.start_check("Night 1", "", "2031-05-02", "JD")
    return made


if way == "mount":
    subprocess.run(["mount", "-t", "tmpfs", "-o", "size=2m", "none", str(folder)], check=True)
first = session()
first.ok("in 1")
first.close()
shut("ro")
second = session()
view = second.ok("in 2")
print(view.line, view.ok, view.waiting, second.saving().trouble, sep="|")
shut("rw")
view = second.ok("in 3")
print(view.line, view.ok, view.waiting, second.saving().trouble, sep="|")
print(second.close())
"""


@pytest.mark.parametrize("way", ["mount", "modes"])
def test_a_journal_that_can_only_be_read_is_walked_on_and_written_once_it_can_be(tmp_path, small_plan, way):
    """On a file system that is mounted to be read, by file modes where none can be mounted, and by file modes."""
    own = ["unshare", "-Urm"]
    if way == "mount" and (not shutil.which("unshare") or subprocess.run([*own, "true"], check=False).returncode):
        way = "modes"
    with tempfile.TemporaryDirectory() as made:  # not under tmp_path, which only its owner may enter
        Path(made).chmod(0o755)
        folder = Path(made) / "stick"
        folder.mkdir()
        words = [sys.executable, "-c", READ_ONLY, str(folder), str(small_plan), way]
        environment = {**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)}
        words = [*own, *words] if way == "mount" else words
        found = subprocess.run(words, capture_output=True, text=True, env=environment, check=False)
    assert found.returncode == 0, found.stderr
    shut, open_again, left = found.stdout.splitlines()
    assert shut.startswith("in 3|1|1|in 2 ok is not saved yet: its disk does not take it")
    assert open_again == "in 4|3|0|"
    assert left == ""
