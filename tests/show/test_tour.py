"""A short tour through real journals: what is in the log, that it verifies, what its history knows."""

from pathlib import Path

import pypdfium2
import pytest

from checkapp.journal import kinds
from checkapp.journal.journal import Journal
from checkapp.rig.planfile import load_plan
from checkapp.show import demo
from checkapp.show.history_now import history_of
from checkapp.show.tour import CREW, play_tour
from checkapp.show.verifying import verify_journal

DEMO = Path(__file__).parents[2] / "plans" / "demo.toml"


@pytest.fixture(scope="module")
def told(tmp_path_factory):
    return play_tour(DEMO, tmp_path_factory.mktemp("tour"), shows=3, seed=12)


@pytest.fixture(scope="module")
def entries(told):
    with Journal.read(told.journal) as opened:
        return opened.entries()


def test_every_line_is_marked_at_every_show_by_four_tablets(told, entries):
    lines = {line.line for line in load_plan(DEMO).lines}
    for number in (1, 2, 3):
        marked = [entry for entry in entries if entry.kind == kinds.MARK and entry.show == f"Night {number}"]
        assert {entry.subject for entry in marked} == lines
        assert {entry.by for entry in marked} == set(CREW)
    assert len({entry.device for entry in entries}) == len(CREW)
    assert sum(entry.kind == kinds.MARK for entry in entries) == told.marks


def test_the_journals_are_whole_and_hold_the_same(told, entries):
    for tablet in sorted(told.journal.parent.glob("tablet-*.db")):
        with Journal.read(tablet) as opened:
            assert opened.entries() == entries
    words, sound = verify_journal(told.journal)
    assert sound
    assert "none missing, none changed" in words[0]


def test_its_history_knows_what_was_confirmed(told):
    found = history_of(told.journal)
    assert told.faults >= told.confirmed == len(found.tally.faults) > 0
    assert [check.show for check in found.tally.checks] == ["Night 1", "Night 2", "Night 3"]
    assert all(check.lines == 60 and check.venue and check.crew == CREW for check in found.tally.checks)
    assert all(check.minutes > 1 for check in found.tally.checks)


def test_the_same_seed_is_the_same_tour(told, entries, tmp_path):
    again = play_tour(DEMO, tmp_path, shows=1, seed=12)
    with Journal.read(again.journal) as opened:
        first = [(one.kind, one.subject, one.at, one.detail) for one in opened.entries() if one.kind == kinds.REPAIR]
    assert again.bad == told.bad
    assert first == [
        (one.kind, one.subject, one.at, one.detail)
        for one in entries
        if one.kind == kinds.REPAIR and one.show == "Night 1"
    ]


def test_the_demo_writes_the_reports_beside_the_journals(tmp_path, monkeypatch):
    monkeypatch.setattr("checkapp.show.tour.SHOWS", 2)
    said = []
    demo.run_tour(tmp_path / "out", said.append)
    names = {path.name for path in (tmp_path / "out").iterdir()}
    assert names >= {"tour.db", "tablet-1.db", "tablet-4.db", "history.pdf", "history.xlsx", "history", "plans"}
    assert any(line.startswith("  planted bad items: ") for line in said)
    pages = pypdfium2.PdfDocument(tmp_path / "out" / "history.pdf")
    assert all("Fault history, an invented tour" in page.get_textpage().get_text_range() for page in pages)
