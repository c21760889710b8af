"""Copies of the journal by command, and one a day while the app is at work."""

import re
import shutil
from pathlib import Path

import pytest

from checkapp.journal.backup import daily
from checkapp.journal.errors import NoJournal
from checkapp.journal.journal import Journal
from checkapp.journal.verify import verify
from checkapp.show import backing_up, clock
from checkapp.show.backing_up import DailyBackup, back_up_to
from checkapp.show.session import Session

PLANS = Path(__file__).parents[2] / "plans"


@pytest.fixture
def home(tmp_path):
    session = Session(home=tmp_path)
    session.open_rig(str(PLANS / "small.toml"))
    session.start_check("Night 1", "", "", "JD")
    session.ok("in 1")
    session.close()
    return tmp_path


def test_a_copy_is_made_while_the_app_is_at_work(home):
    session = Session(home=home)
    session.open_rig(str(PLANS / "small.toml"))
    said = back_up_to(home / "stick", home / "journal.db")
    assert re.fullmatch(r".*/stick/journal-\d{4}-\d\d-\d\d-\d{6}Z\.db: 4 entries, looked at page by page", said)
    session.close()
    (copy,) = (home / "stick").iterdir()
    with Journal.read(copy) as journal:
        assert verify(journal) == []


def test_of_no_journal_there_is_no_copy(tmp_path):
    with pytest.raises(NoJournal):
        back_up_to(tmp_path / "stick", tmp_path / "journal.db")
    assert not (tmp_path / "stick").exists()


def test_the_app_makes_one_a_day_by_itself(home, monkeypatch):
    monkeypatch.setattr(clock, "today", lambda: "2031-05-02")
    for _ in range(2):
        session = Session(home=home)
        session.open_rig(str(PLANS / "small.toml"))
        session.close()
    (copy,) = [one for one in daily(home / "journal.db") if "2031-05-02" in one.name]
    with Journal.read(copy) as journal:
        assert len(journal.entries()) == 4


def test_the_first_day_it_is_made_once_there_is_something_to_copy(tmp_path):
    session = Session(home=tmp_path)
    session.open_rig(str(PLANS / "small.toml"))
    session.close()
    assert daily(tmp_path / "journal.db") == []
    session = Session(home=tmp_path)
    session.open_rig(str(PLANS / "small.toml"))
    session.start_check("Night 1", "", "", "JD")
    session.ok("in 1")
    session._backup.close()
    session.ok("in 2")
    session.close()
    assert len(daily(tmp_path / "journal.db")) == 1


def test_a_copy_that_cannot_be_made_is_said_once_and_stops_nothing(home):
    shutil.rmtree(home / "backup")
    (home / "backup").write_text("a file where the folder should be")
    said = []
    session = Session(home=home)
    session.listen(lambda: said.append("look"))
    session.open_rig(str(PLANS / "small.toml"))
    session._backup.close()
    (news,) = session.news()
    assert news.startswith("today's backup was not made: ")
    assert said
    assert session.news() == ()
    session.start_check("Night 1", "", "", "JD")
    assert session.ok("in 2").message == "in 2 ok, saved"
    session.close()


def test_another_day_another_copy(home):
    days = ["2031-05-01", "2031-05-01", "2031-05-02"]
    backup = DailyBackup(home / "journal.db", pytest.fail, lambda: days[0])
    while days:
        backup.look()
        backup.close()
        days.pop(0)
        if not days:
            break
    made = [one.name for one in daily(home / "journal.db")]
    assert made[-2:] == ["journal-day-2031-05-01.db", "journal-day-2031-05-02.db"]
    assert backing_up.stamp().endswith("Z")
