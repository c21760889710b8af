"""Files that come in: what is shown of them, what taking them writes, and that nothing is ever written over."""

import shutil
from pathlib import Path

import pytest
from openpyxl import Workbook
from typer.testing import CliRunner

from checkapp.cli_commands import app
from checkapp.rig.planfile import load_plan
from checkapp.sheets.preview import MapRefused
from checkapp.show.incoming import FileNotTaken, Incoming, NoListThere, NothingLookedAt
from checkapp.show.incoming_views import Accepted, NamingView
from checkapp.show.rig_rows import rig_rows
from checkapp.show.session_errors import NothingOpen

LIST = (
    ("Ledge Stage, input list", "", "", "", ""),
    ("Ch", "Name", "Mic", "48V", "Colour of tape"),
    ("Drums", "", "", "", ""),
    ("1", "Kick", "dynamic", "", "red"),
    ("2", "Snare", "condenser", "x", ""),
    ("3/4", "Keys", "DI", "", ""),
    ("no", "Spare", "", "", ""),
)
"""Rows as a band sends them: a title, a section, a pair, a row without a number, a column that nobody knows."""


def sheet(path, rows=LIST, more=None):
    book = Workbook()
    book.active.title = "Inputs"
    for row in rows:
        book.active.append(row)
    for name, others in (more or {}).items():
        page = book.create_sheet(name)
        for row in others:
            page.append(row)
    book.save(path)
    return path


def ran(*args):
    done = CliRunner().invoke(app, [str(arg) for arg in args])
    assert done.exit_code == 0, done.output
    return done.output


@pytest.fixture
def home(tmp_path):
    return tmp_path / "home"


@pytest.fixture
def desk(home):
    """What is open on the tablet."""

    class Desk:
        rig = None

        def __init__(self):
            self.incoming = Incoming(home, lambda: self.rig)

    return Desk()


@pytest.fixture
def a_list(tmp_path):
    return sheet(tmp_path / "Ledge_input list.xlsx")


def texts(part):
    return [(line.row, line.title, line.detail) for line in part.lines]


def test_a_list_is_shown_row_by_row_and_what_is_unclear_is_counted(desk, a_list):
    view = desk.incoming.look(str(a_list))
    assert (view.kind, view.title, view.summary) == (
        "list",
        "Ledge_input list.xlsx",
        "4 inputs, 0 outputs, 1 row left out",
    )
    assert view.said == ("Level guessed from the source word in 3 rows, which say so.",)
    (part,) = view.parts
    assert texts(part) == [
        ("1", "Ledge Stage, input list", "above the list"),
        ("2", "Ch | Name | Mic | 48V | Colour of tape", "names the columns"),
        ("3", "Drums", "heading of a section"),
        ("4", "in 1  Kick", "DESK in 1, mic, Drums, dynamic"),
        ("5", "in 2  Snare", "DESK in 2, mic, phantom, Drums, condenser"),
        ("6", "in 3  Keys L", "DESK in 3, mic, Drums, DI"),
        ("", "in 4  Keys R", "DESK in 4, mic, Drums, DI"),
        ("7", "no | Spare", "left out"),
    ]
    assert [line.status for line in part.lines][-1] == "look"
    assert 'level mic, guessed from "condenser"' in part.lines[4].note
    assert [(column.title, column.meaning, column.status) for column in part.columns] == [
        ("A  Ch", "number of the line", "open"),
        ("B  Name", "name", "open"),
        ("C  Mic", "microphone or DI", "open"),
        ("D  48V", "phantom power", "open"),
        ("E  Colour of tape", "not understood: left out", "look"),
    ]
    assert view.look == (
        'Inputs: column E "Colour of tape" not understood: left out',
        'row 7: "no" is no number of a line: left out',
    )


def test_taken_as_a_rig_of_its_own_it_is_what_the_command_writes(desk, a_list, home, tmp_path):
    desk.incoming.look(str(a_list))
    naming = desk.incoming.naming()
    assert (naming.name, naming.own, naming.onto, naming.said) == ("Ledge input list", "a rig of its own", "", "")
    a_list.unlink()  # the stick is pulled: what was seen is what is taken
    done = desk.incoming.accept(naming.name)
    assert isinstance(done, Accepted)
    sheet(a_list)
    ran("plan", "import", a_list, "--out", tmp_path / "by command.toml")
    assert Path(done.plan) == home / "plans" / "Ledge input list.toml"
    assert Path(done.plan).read_bytes() == (tmp_path / "by command.toml").read_bytes()
    assert done.said == ("1 row of the list is left out. Look at the list again to see which.",)


def test_a_name_that_is_taken_is_said_and_another_proposed(desk, a_list, home):
    desk.incoming.look(str(a_list))
    assert isinstance(desk.incoming.accept("Barn"), Accepted)
    before = (home / "plans" / "Barn.toml").read_bytes()
    again = desk.incoming.accept(" BARN ")
    assert isinstance(again, NamingView)
    assert (again.name, again.said) == ("BARN 2", "BARN is here already; BARN 2 is free.")
    nothing = desk.incoming.accept("  ")
    assert isinstance(nothing, NamingView)
    assert nothing.said == "It needs a name."
    assert (home / "plans" / "Barn.toml").read_bytes() == before
    shipped = desk.incoming.accept(load_plan(home.parent / "home" / "plans" / "Barn.toml").name)
    assert isinstance(shipped, NamingView)
    assert Path(desk.incoming.accept(again.name).plan).name == "BARN 2.toml"


@pytest.mark.parametrize(
    ("name", "file"),
    [("Ledge: day 1/2?", "Ledge day 1 2.toml"), ("..", "rig.toml"), ("con", "con rig.toml"), ("a" * 100, "a" * 100)],
)
def test_names_that_no_file_can_have(desk, a_list, name, file):
    desk.incoming.look(str(a_list))
    done = desk.incoming.accept(name)
    assert Path(done.plan).name.startswith(file)
    assert load_plan(Path(done.plan)).name == name


def test_another_sheet_and_back_again(desk, tmp_path):
    rows = (("Ch", "Name"), ("1", "Kick"), ("2", "Snare"), ("3", "Hat"))
    other = (("Ch", "Name"), ("1", "Harp"), ("2", "Flute"))
    book = sheet(tmp_path / "two.xlsx", rows, {"Day 2": other, "Notes": (("be early",),)})
    view = desk.incoming.look(str(book))
    assert [part.name for part in view.parts] == ["Inputs"]
    assert [(row.name, row.detail) for row in view.sheets] == [("Day 2", "also looks like a list, with 2 lines")]
    second = desk.incoming.take_sheet("Day 2")
    assert second.summary == "2 inputs, 0 outputs"
    assert [row.name for row in second.sheets] == ["Inputs", ""]
    assert desk.incoming.take_sheet("") == view


def test_a_column_is_taken_for_something_else(desk, a_list, tmp_path):
    view = desk.incoming.look(str(a_list))
    key = view.parts[0].columns[4].key
    column = desk.incoming.column(key)
    assert (column.title, column.samples) == ("E  Colour of tape", ("red",))
    assert [row.field for row in column.meanings if row.chosen] == []
    noted = desk.incoming.mean(key, "note")
    assert noted.parts[0].lines[3].detail == "DESK in 1, mic, Drums, dynamic; red"
    assert [row.field for row in desk.incoming.column(key).meanings if row.chosen] == ["note"]
    assert noted.look == ('row 7: "no" is no number of a line: left out',)
    named = desk.incoming.mean(view.parts[0].columns[2].key, "name")
    assert [column.meaning for column in named.parts[0].columns] == [
        "number of the line",
        "left out",
        "name",
        "phantom power",
        "note",
    ]
    done = desk.incoming.accept("Mapped")
    asked = "Mic=name,Name=ignore,Colour of tape=note"
    ran("plan", "import", a_list, "--out", tmp_path / "m.toml", "--name", "Mapped", "--map", asked)
    assert Path(done.plan).read_bytes() == (tmp_path / "m.toml").read_bytes()


def test_columns_are_kept_under_a_name_and_used_for_another_list(desk, a_list, home, tmp_path, monkeypatch):
    view = desk.incoming.look(str(a_list))
    assert (view.kept, view.can_keep) == ((), False)
    view = desk.incoming.mean(view.parts[0].columns[4].key, "note")
    assert view.can_keep
    name = desk.incoming.keeping().name
    assert desk.incoming.keep(f" {name} ").kept == (name,)
    with pytest.raises(MapRefused):
        desk.incoming.keep("a/b")
    other = sheet(tmp_path / "other.xlsx", [*LIST[1:2], ("1", "Kazoo", "dynamic", "", "green")])
    assert desk.incoming.look(str(other)).look == ('Inputs: column E "Colour of tape" not understood: left out',)
    used = desk.incoming.use(name)
    assert (used.look, used.parts[0].columns[4].meaning) == ((), "note")
    without = sheet(tmp_path / "without.xlsx", [("Ch", "Name"), ("1", "Kazoo")])
    plain = desk.incoming.look(str(without))
    assert desk.incoming.use(name).parts == plain.parts
    monkeypatch.setenv("CHECKAPP_HOME", str(home))
    done = desk.incoming
    done.look(str(other))
    done.use(name)
    plan = done.accept("Used").plan
    ran("plan", "import", other, "--out", tmp_path / "m.toml", "--name", "Used", "--map", name)
    assert Path(plan).read_bytes() == (tmp_path / "m.toml").read_bytes()


def test_what_leaves_no_list_is_refused_and_it_stays_as_it_was(desk, a_list):
    view = desk.incoming.look(str(a_list))
    for column in (view.parts[0].columns[1], view.parts[0].columns[2]):
        view = desk.incoming.view()
        try:
            desk.incoming.mean(column.key, "ignore")
        except NoListThere as refused:
            assert "It stays as it was" in str(refused)
            break
    else:
        pytest.fail("a list without names was taken")
    assert desk.incoming.view() == view


def test_columns_without_headings_are_changed_by_their_letter(desk, tmp_path):
    rows = [(str(n), f"Line {n}", "stage left" if n < 3 else "") for n in range(1, 6)]
    view = desk.incoming.look(str(sheet(tmp_path / "bare.xlsx", rows)))
    assert [(column.title, column.meaning) for column in view.parts[0].columns] == [
        ("Column A", "number of the line"),
        ("Column B", "name"),
        ("Column C", "not understood: left out"),
    ]
    changed = desk.incoming.mean(view.parts[0].columns[2].key, "zone")
    assert [column.meaning for column in changed.parts[0].columns][2] == "place on stage"
    assert changed.parts[0].lines[0].detail == "DESK in 1, mic, stage left"
    assert changed.look == ()


def test_put_on_the_open_rig_it_is_a_new_plan_and_what_the_command_writes(desk, a_list, home, plans, tmp_path):
    (home / "plans").mkdir(parents=True)
    for name in ("small.toml", "kinds.toml"):
        shutil.copy(plans / name, home / "plans" / name)
    stands = home / "plans" / "small.toml"
    desk.incoming.look(str(a_list))
    with pytest.raises(NothingOpen, match="no rig is open"):
        desk.incoming.accept_onto("New")
    desk.rig = load_plan(stands)
    assert desk.incoming.naming().onto == "put it on the open rig"
    assert desk.incoming.naming().about.startswith(f"Put on {desk.rig.name}, ")
    before = stands.read_bytes()
    again = desk.incoming.accept_onto("Small")
    assert (again.name, again.said) == ("Small 2", "Small is here already; Small 2 is free.")
    done = desk.incoming.accept_onto("Small 2")
    assert done.before == str(stands)
    assert stands.read_bytes() == before
    ran("plan", "import", a_list, "--out", home / "plans" / "by command.toml", "--onto", stands)
    assert Path(done.plan).read_bytes() == (home / "plans" / "by command.toml").read_bytes()
    assert load_plan(Path(done.plan)).name == desk.rig.name


def test_put_on_a_rig_that_came_with_the_program_its_kinds_come_along(desk, a_list, home, plans):
    desk.rig = load_plan(plans / "small.toml")
    desk.incoming.look(str(a_list))
    done = desk.incoming.accept_onto("Small with list")
    rig = load_plan(Path(done.plan))
    assert {box: kind.kind for box, kind in rig.boxes.items()} == {
        box: kind.kind for box, kind in desk.rig.boxes.items()
    }
    assert rig.line("in 2").name == "Snare"


def test_a_plan_from_a_stick_is_copied_with_its_kinds(desk, home, plans, tmp_path):
    stick = tmp_path / "stick"
    stick.mkdir()
    for name in ("small.toml", "kinds.toml"):
        shutil.copy(plans / name, stick / name)
    view = desk.incoming.look(str(stick / "small.toml"))
    rig = load_plan(plans / "small.toml")
    assert view.kind == "plan"
    assert view.summary.startswith(f"{rig.name}: ")
    assert "It is copied to your plans as small.toml, so that it is here without the stick." in view.said
    assert any(said.startswith("A rig of that name is here already, in small.toml") for said in view.said)
    assert desk.incoming.naming() is None
    shutil.rmtree(stick)
    done = desk.incoming.accept()
    assert Path(done.plan) == home / "plans" / "small.toml"
    assert done.said == ("Copied to your plans as small.toml.",)
    assert load_plan(Path(done.plan)).digest == rig.digest


def test_a_plan_that_is_here_already_is_just_opened(desk, home, plans, tmp_path):
    stick = tmp_path / "stick"
    shutil.copytree(plans, stick)
    desk.incoming.look(str(stick / "small.toml"))
    first = desk.incoming.accept()
    (stick / "small.toml").rename(stick / "other name.toml")
    view = desk.incoming.look(str(stick / "other name.toml"))
    assert "This plan is here already, as small.toml: that is opened." in view.said
    assert desk.incoming.accept() == Accepted(first.plan)
    desk.incoming.look(first.plan)
    assert desk.incoming.accept() == Accepted(first.plan)
    desk.incoming.look(str(plans / "demo.toml"))
    assert desk.incoming.accept() == Accepted(str(plans / "demo.toml"))
    assert sorted(path.name for path in (home / "plans").iterdir()) == ["kinds.toml", "small.toml"]


def test_another_plan_of_the_same_file_name_is_kept_beside_it(desk, home, plans, tmp_path):
    stick = tmp_path / "stick"
    shutil.copytree(plans, stick)
    desk.incoming.look(str(stick / "small.toml"))
    desk.incoming.accept()
    changed = (stick / "small.toml").read_text(encoding="utf-8") + "\n# changed\n"
    (stick / "small.toml").write_text(changed, encoding="utf-8")
    kinds = (stick / "kinds.toml").read_text(encoding="utf-8") + "\n# changed\n"
    (stick / "kinds.toml").write_text(kinds, encoding="utf-8")
    rig = load_plan(stick / "small.toml")
    view = desk.incoming.look(str(stick / "small.toml"))
    assert "It is copied to your plans as small 2.toml, so that it is here without the stick." in view.said
    done = desk.incoming.accept()
    made = load_plan(Path(done.plan))
    assert Path(done.plan).name == "small 2.toml"
    assert [box.kind for box in made.boxes.values()] == [box.kind for box in rig.boxes.values()]
    assert "This plan is here already, as small 2.toml: that is opened." in desk.incoming.look(view.path).said
    assert (home / "plans" / "kinds.toml").read_bytes() == (plans / "kinds.toml").read_bytes()


def test_a_workbook_of_ours_tells_what_it_changes_in_which_plan(desk, home, plans, tmp_path):
    from openpyxl import load_workbook

    (home / "plans").mkdir(parents=True)
    for name in ("small.toml", "kinds.toml"):
        shutil.copy(plans / name, home / "plans" / name)
    stands = home / "plans" / "small.toml"
    ran("plan", "export", stands, tmp_path / "edited.xlsx")
    same = desk.incoming.look(str(tmp_path / "edited.xlsx"))
    assert same.kind == "workbook"
    assert "Nothing in it has changed." in same.said
    assert same.changes == ()
    book = load_workbook(tmp_path / "edited.xlsx")
    names = next(column for column in book["inputs"].iter_cols() if column[0].value == "name")
    names[1].value = "Lead kazoo"
    book.save(tmp_path / "edited.xlsx")
    view = desk.incoming.look(str(tmp_path / "edited.xlsx"))
    assert view.said[0].endswith("set against small.toml.")
    assert "inputs: 1 changed." in [said.lower() for said in view.said]
    assert any("Lead kazoo" in change for change in view.changes)
    wrong = load_workbook(tmp_path / "edited.xlsx")
    for row in list(wrong["inputs"].iter_rows(min_row=2))[:6]:
        for cell in row:
            cell.value = "?" if cell.value is not None else None
    wrong.save(tmp_path / "wrong.xlsx")
    with pytest.raises(FileNotTaken) as refused:
        desk.incoming.look(str(tmp_path / "wrong.xlsx"))
    assert refused.value.lines[0] == "wrong.xlsx cannot be used: it has faults."
    assert len(refused.value.lines) == 6
    assert refused.value.lines[-1].startswith("And ")
    assert desk.incoming.view() == view
    naming = desk.incoming.naming()
    assert (naming.name, naming.onto) == ("small 2", "")
    before = stands.read_bytes()
    done = desk.incoming.accept(naming.name)
    assert (Path(done.plan).name, done.before) == ("small 2.toml", str(stands))
    assert stands.read_bytes() == before
    ran("plan", "import", tmp_path / "edited.xlsx", "--out", home / "plans" / "c.toml", "--plan", stands)
    assert Path(done.plan).read_bytes() == (home / "plans" / "c.toml").read_bytes()


def test_files_that_cannot_be_used_are_one_clear_message_and_what_was_looked_at_stays(desk, a_list, tmp_path, plans):
    with pytest.raises(NothingLookedAt):
        desk.incoming.view()
    view = desk.incoming.look(str(a_list))
    old = tmp_path / "old.xls"
    old.write_bytes(bytes.fromhex("d0cf11e0a1b11ae1") + bytes(504) + "Workbook".encode("utf-16-le") + bytes(600))
    shutil.copy(plans / "kinds.toml", tmp_path / "kinds.toml")
    broken = tmp_path / "broken.toml"
    text = (plans / "small.toml").read_text(encoding="utf-8")
    broken.write_text(text.replace("in 1", "in 91").replace('kind = "', 'kind = "no '), encoding="utf-8")
    (tmp_path / "empty.csv").write_bytes(b"")
    sheet(tmp_path / "none.xlsx", (("be early",),))
    for name, error, words in (
        ("old.xls", FileNotTaken, "save it as .xlsx or .csv"),
        ("broken.toml", FileNotTaken, "broken.toml cannot be used"),
        ("empty.csv", FileNotTaken, "is empty"),
        ("gone.xlsx", FileNotTaken, "no such file"),
        ("none.xlsx", NoListThere, "no list in it"),
    ):
        with pytest.raises(error) as refused:
            desk.incoming.look(str(tmp_path / name))
        assert words in " ".join(refused.value.lines)
        assert len(refused.value.lines) <= 6
    assert desk.incoming.view() == view


def test_a_folder_for_plans_that_cannot_be_made(a_list, tmp_path):
    (tmp_path / "file").write_bytes(b"")
    incoming = Incoming(tmp_path / "file", lambda: None)
    incoming.look(str(a_list))
    from checkapp.rig.writing import FileNotWritten

    with pytest.raises(FileNotWritten):
        incoming.accept("Barn")


def test_plans_of_one_rig_are_told_apart_by_their_files(desk, a_list, home, plans):
    desk.rig = load_plan(plans / "small.toml")
    desk.incoming.look(str(a_list))
    desk.incoming.accept_onto("Small with list")
    rows = [row for row in rig_rows(home) if row.title == desk.rig.name]
    assert [row.detail.split(":")[0] for row in rows] == ["Small with list.toml", "small.toml"]
