"""A damaged journal: by command, and by itself when the app opens it."""

import shutil
from pathlib import Path

import pytest

from checkapp.journal.errors import NoJournal, NotAJournal
from checkapp.journal.journal import Journal
from checkapp.show.rescuing import rescue_if_damaged, rescue_journal
from checkapp.show.session import Session
from checkapp.show.verifying import verify_journal

PLANS = Path(__file__).parents[2] / "plans"


@pytest.fixture
def home(tmp_path):
    session = Session(home=tmp_path)
    session.open_rig(str(PLANS / "small.toml"))
    session.start_check("Night 1", "", "2031-05-02", "JD")
    for line in ("in 1", "in 2", "in 3"):
        session.ok(line)
    session.close()
    shutil.rmtree(tmp_path / "backup", ignore_errors=True)
    return tmp_path


def damage(home, pages):
    """Overwrite pages, counted from 0, by noise."""
    path = home / "journal.db"
    content = bytearray(path.read_bytes())
    for page in pages:
        content[page * 4096 : (page + 1) * 4096] = bytes((7 * at + page) % 256 for at in range(4096))
    path.write_bytes(content)
    return bytes(content)


def ids(path):
    with Journal.read(path) as journal:
        return [entry.id for entry in journal.entries()]


def index_page(path):
    """A page of an index, without which nothing is lost."""
    import sqlite3

    with sqlite3.connect(path) as opened:
        (root,) = opened.execute("SELECT rootpage FROM sqlite_master WHERE name = 'entry_by_clock'").fetchone()
    return root - 1


def table_page(path):
    import sqlite3

    with sqlite3.connect(path) as opened:
        (root,) = opened.execute("SELECT rootpage FROM sqlite_master WHERE name = 'entry'").fetchone()
    return root - 1


def test_what_can_be_read_comes_back_and_the_old_file_is_kept(home):
    path = home / "journal.db"
    before = ids(path)
    content = damage(home, [index_page(path)])
    lines, sound = verify_journal(path, home)
    assert not sound
    assert any("checkapp journal rescue" in line for line in lines)
    said = rescue_journal(path, home)
    aside = next(home.glob("journal-damaged-*.db"))
    assert aside.read_bytes() == content
    assert said.done[0] == f"{aside}: the damaged journal, set aside as it was"
    assert said.done[1] == f"{path}: a new journal with {len(before)} entries that could be read of it"
    assert (said.wrong, said.status) == ((), 0)
    assert ids(path) == before
    lines, sound = verify_journal(path, home)
    assert sound, lines


def test_what_is_missing_is_told_by_what_this_machine_remembers(home):
    path = home / "journal.db"
    count = len(ids(path))
    with Journal.read(path) as journal:
        device = journal.entries()[0].device
    damage(home, [table_page(path)])
    with pytest.raises(NoJournal):
        rescue_journal(path, home)
    words = rescue_if_damaged(path, home)
    assert words[0] == "The journal was damaged."
    assert ids(path) == []
    assert f"entries 1 to {count} of tablet {device} are missing" in words


def test_the_app_does_it_by_itself_and_says_so(home):
    path = home / "journal.db"
    before = ids(path)
    damage(home, [index_page(path)])
    looked = []
    session = Session(home=home)
    session.listen(lambda: looked.append("look"))
    walk = session.resume(str(PLANS / "small.toml"))
    assert walk.line == "in 4"
    news = session.news()
    assert news[0] == "The journal was damaged."
    assert "set aside" in news[1]
    assert looked
    assert session.ok("in 4").message == "in 4 ok, saved"
    session.close()
    assert ids(path)[: len(before)] == before
    lines, sound = verify_journal(path, home)
    assert sound, lines


def test_a_sound_journal_and_none_at_all_are_left_alone(home):
    content = (home / "journal.db").read_bytes()
    assert rescue_if_damaged(home / "journal.db", home) == ()
    assert rescue_if_damaged(home / "nothing.db", home) == ()
    assert (home / "journal.db").read_bytes() == content
    (home / "begun.db").touch()  # by a program that was killed before it could lay it out
    assert rescue_if_damaged(home / "begun.db", home) == ()
    assert not list(home.glob("*damaged*"))


def test_somebody_elses_file_is_left_alone_and_refused(home):
    path = home / "journal.db"
    for log in ("-wal", "-shm"):
        Path(f"{path}{log}").unlink(missing_ok=True)
    path.write_bytes(b"dear diary" * 1000)
    session = Session(home=home)
    with pytest.raises((NotAJournal, NoJournal)):
        session.open_rig(str(PLANS / "small.toml"))
    assert path.read_bytes() == b"dear diary" * 1000
