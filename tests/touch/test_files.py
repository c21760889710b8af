"""A spreadsheet or a plan opened with the file chooser, looked at and taken: by real taps through the real session."""

import shutil
from dataclasses import replace
from pathlib import Path

import file_samples
import pytest
from openpyxl import Workbook
from typer.testing import CliRunner

from checkapp.cli_commands import app
from checkapp.rig.planfile import load_plan

PLANS = Path(__file__).parents[2] / "plans"
LIST = (
    ("Ch", "Name", "Mic", "48V", "Tape"),
    ("1", "Kick", "dynamic", "", "red"),
    ("2", "Snare", "condenser", "x", ""),
    ("3", "Harp", "condenser", "x", ""),
)


def ran(*args):
    done = CliRunner().invoke(app, [str(arg) for arg in args])
    assert done.exit_code == 0, done.output


@pytest.fixture
def stick(tmp_path, monkeypatch):
    """A folder with a list in it, the one that is looked into first."""
    person = tmp_path / "person"
    folder = person / "Downloads"
    (folder / "Lists").mkdir(parents=True)
    monkeypatch.setenv("HOME", str(person))
    monkeypatch.delenv("XDG_DOWNLOAD_DIR", raising=False)
    monkeypatch.delenv("XDG_CONFIG_HOME", raising=False)
    book = Workbook()
    for row in LIST:
        book.active.append(row)
    book.save(folder / "Lists" / "Ledge list.xlsx")
    (folder / "Lists" / "notes.txt").write_text("be early", encoding="utf-8")
    return folder / "Lists"


def tap_listed(at, title, word=None):
    """Tap the row of a list with that title."""
    rows = [b for b in at.hand.buttons(at.screen) if getattr(b, "title", "") == title]
    assert len(rows) == 1, [getattr(b, "title", "") for b in at.hand.buttons(at.screen)]
    assert word in (None, rows[0].word)
    at.hand.tap(rows[0])
    at.settle()


def open_list(at, stick):
    at.hand.drawing = False
    at.tap("open a file")
    assert at.screen.name == "files"
    tap_listed(at, "Lists", "open")
    assert at.screen.view.path == str(stick)
    tap_listed(at, "Ledge list.xlsx", "look")
    assert at.screen.name == "incoming"


def test_a_spreadsheet_is_chosen_looked_at_and_taken_as_a_rig_of_its_own(tablet, stick, home):
    at = tablet()
    open_list(at, stick)
    rows = [row for row in at.screen.ids.list.rows if row["kind"] == "ListedRead" and row["status"] != "look"]
    assert [row["title"] for row in rows[1:]] == ["in 1  Kick", "in 2  Snare", "in 3  Harp"]
    tap_listed(at, "Sheet Sheet: columns", "change")
    tap_listed(at, "E  Tape", "change")
    tap_listed(at, "note", "choose")
    assert at.screen.name == "incoming"
    assert at.screen.view.look == ()
    at.tap("take it")
    assert at.screen.name == "naming"
    at.tap("a rig of its own")
    assert at.screen.name == "rig"
    assert at.screen.view.title == "Ledge list"
    ran("plan", "import", stick / "Ledge list.xlsx", "--out", home / "c.toml", "--map", "Tape=note")
    assert (home / "plans" / "Ledge list.toml").read_bytes() == (home / "c.toml").read_bytes()


def test_put_on_the_open_rig_it_opens_with_what_is_to_be_done(tablet, stick, home):
    at = tablet(home / "plans" / "small.toml")
    before = (home / "plans" / "small.toml").read_bytes()
    at.tap("rigs")
    open_list(at, stick)
    at.tap("take it")
    name = at.screen.ids.name.ids.entry
    name.text = ""
    at.hand.type(name, "small")
    at.tap(at.screen.view.onto)
    assert at.screen.name == "naming"
    assert at.screen.view.said == "small is here already; small 2 is free."
    at.tap(at.screen.view.onto)
    assert at.screen.name == "changeover"
    ran("plan", "import", stick / "Ledge list.xlsx", "--out", home / "plans" / "c.toml", "--onto", at.plan)
    assert (home / "plans" / "small 2.toml").read_bytes() == (home / "plans" / "c.toml").read_bytes()
    assert (home / "plans" / "small.toml").read_bytes() == before


def test_a_plan_from_a_stick_is_copied_and_opened(tablet, stick, home):
    for name in ("small.toml", "kinds.toml"):
        shutil.copy(PLANS / name, stick / name)
    (stick / "small.toml").rename(stick / "ledge.toml")
    (home / "plans" / "small.toml").unlink()
    at = tablet()
    at.tap("open a file")
    tap_listed(at, "Lists")
    tap_listed(at, "ledge.toml", "look")
    at.tap("open it")
    assert at.screen.name == "rig"
    assert at.app.pages.banner.lines == ["Copied to your plans as ledge.toml."]
    assert load_plan(home / "plans" / "ledge.toml").digest == load_plan(PLANS / "small.toml").digest


def test_a_file_that_cannot_be_read_is_said_on_the_files(tablet, stick):
    (stick / "old.xls").write_bytes(bytes.fromhex("d0cf11e0a1b11ae1") + bytes(600))
    at = tablet()
    at.tap("open a file")
    tap_listed(at, "Lists")
    tap_listed(at, "old.xls", "look")
    assert at.screen.name == "files"
    assert at.screen.saving == ""
    (line,) = at.app.pages.banner.lines
    assert "save it as .xlsx or .csv" in line
    shutil.rmtree(stick)
    at.app.pages.put_away()
    at.tap("up")
    assert at.screen.view.path == str(stick.parent)


def test_the_places_are_one_tap_away_and_the_way_back_leads_to_the_rigs(tablet, stick):
    at = tablet()
    at.tap("open a file")
    at.tap("Home")
    assert at.screen.view.path == str(stick.parents[1])
    at.tap("Downloads")
    assert at.screen.view.path == str(stick.parent)
    at.tap("rigs")
    assert at.screen.name == "rigs"


@pytest.mark.parametrize(
    ("name", "made"),
    [
        (
            "files",
            [
                ("rigs",),
                ("folder", "/home/crew/Documents"),
                ("folder", "/home/crew/Downloads"),
                ("folder", "/home/crew/Documents"),
                ("folder", "/home/crew/Documents/Lists/Last summer"),
                ("look_at_file", "/lists/ledge.xlsx"),
                ("look_at_file", "/lists/barn.toml"),
            ],
        ),
        ("incoming", [("files",), ("take_sheet", "Day 2"), ("columns", "its view"), ("take", "its view")]),
        ("incoming, plan", [("files",), ("take", "its view")]),
        ("column", [("incoming_again",), ("mean", "tape", "number"), ("mean", "tape", "name")]),
        (
            "columns",
            [
                ("incoming_again",),
                *(("use_columns", name) for name in ("Ledge", "Wednesday club")),
                *(("column", key) for key in ("ch", "name", "mic", "tape")),
                ("keep_columns",),
            ],
        ),
        ("keepcolumns", [("columns_again",), ("keep_columns_as", "Ledge input list")]),
        (
            "naming",
            [("incoming_again",), ("accept_onto", "Ledge input list"), ("accept", "Ledge input list")],
        ),
        ("naming, own", [("incoming_again",), ("accept", "Ledge input list")]),
    ],
)
def test_each_button_is_tapped_once(build, hand, calls, name, made):
    views = file_samples.views()
    screen = build(*views[name])
    for button in [b for b in hand.buttons(screen) if b.opacity and min(b.size) > 1]:
        hand.tap(button)
    assert calls.made == [tuple(screen.view if word == "its view" else word for word in call) for call in made]


def test_thousands_of_rows_are_a_few_widgets(build, hand):
    from checkapp.touch.widgets.file_rows import ListedFile, ListedRead

    hand.drawing = False
    lines = tuple(replace(file_samples.LINES[3], row=str(number)) for number in range(5000))
    part = replace(file_samples.LIST.parts[0], lines=lines)
    screen = build("incoming", replace(file_samples.LIST, parts=(part,)))
    assert len(screen.ids.list.data) > 5000
    assert sum(isinstance(widget, ListedRead) for widget in screen.walk()) < 20
    files = tuple(replace(file_samples.FOLDER.files[0], name=f"{number}.xlsx") for number in range(10_000))
    screen = build("files", replace(file_samples.FOLDER, files=files))
    assert len(screen.ids.list.data) > 10_000
    assert 0 < sum(isinstance(widget, ListedFile) for widget in screen.walk()) < 20
