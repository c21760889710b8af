"""`plan import`: from a file to a plan, what is said of it, what is refused, and maps that are kept."""

import json

import pytest

from checkapp.cli import main
from checkapp.rig.planfile import load_plan
from checkapp.sheets.errors import SheetRefused
from checkapp.sheets.preview import MapRefused, NoList
from checkapp.show.column_maps import asked_columns, keep_columns
from checkapp.show.plan_importing import ListNotTaken, Wanted, import_list

GOOD = "Ch,Name,Mic,48V,Note\n1,Kick,dyn,,mind the step\n2/3,Piano,cond,x,=SUM(A1)\n"
UNCLEAR = "Ch,Name,48V\n1,Kick,\ntbc,Guest,x\n"


@pytest.fixture(autouse=True)
def own_home(tmp_path, monkeypatch):
    monkeypatch.setenv("CHECKAPP_HOME", str(tmp_path / "home"))


@pytest.fixture
def listed(tmp_path):
    """Make a list file of the text."""

    def make(text, name="low tide.csv"):
        path = tmp_path / name
        path.write_text(text, encoding="utf-8")
        return path

    return make


def command(capsys, *words):
    with pytest.raises(SystemExit) as left:
        main(["plan", "import", *map(str, words)])
    said = capsys.readouterr()
    return left.value.code, said.out, said.err


def test_a_list_becomes_a_plan(listed, tmp_path):
    done = import_list(listed(GOOD), tmp_path / "new.toml")
    rig = load_plan(done.written)
    assert (rig.name, rig.owner) == ("low tide", "LT")
    assert [(line.line, line.name, line.phantom, line.port, line.note) for line in rig.lines] == [
        ("in 1", "Kick", False, "DESK in 1", "dyn; mind the step"),
        ("in 2", "Piano L", True, "DESK in 2", "cond; =SUM(A1)"),
        ("in 3", "Piano R", True, "DESK in 3", "cond; =SUM(A1)"),
    ]


def test_the_plan_passes_review(listed, tmp_path, capsys):
    text = "Ch,Name,Box\n1,Kick,SB1-1\n2,Voice,SB2-3\n3,Tape,\n"
    import_list(listed(text), tmp_path / "new.toml")
    with pytest.raises(SystemExit) as left:
        main(["review", str(tmp_path / "new.toml"), "--json"])
    levels = {finding["level"] for finding in json.loads(capsys.readouterr().out)["findings"]}
    assert left.value.code == 0
    assert "stop" not in levels


def test_what_is_unclear_is_left_out_and_listed(listed, tmp_path, capsys):
    status, out, err = command(capsys, listed(UNCLEAR), "--out", tmp_path / "new.toml")
    assert (status, err) == (0, "")
    assert [line.name for line in load_plan(tmp_path / "new.toml").lines] == ["Kick"]
    assert '"tbc" is no number of a line: left out' in out
    assert "1 row left out" in out


def test_strict_writes_nothing_when_something_is_unclear(listed, tmp_path, capsys):
    status, out, err = command(capsys, listed(UNCLEAR), "--out", tmp_path / "new.toml", "--strict")
    assert (status, err) == (1, "")
    assert not (tmp_path / "new.toml").exists()
    assert "Nothing written" in out


def test_strict_writes_what_is_clear(listed, tmp_path, capsys):
    clear = "Ch,Name,48V\n1,Kick,\n2,Hat,x\n"
    status, _, _ = command(capsys, listed(clear), "--out", tmp_path / "new.toml", "--strict")
    assert status == 0
    assert len(load_plan(tmp_path / "new.toml").lines) == 2


def test_the_preview_tells_of_every_row(listed, tmp_path, capsys):
    text = "Night of reeds\nCh,Name\nWINDS\n1,Oboe\n\n2,\nTotal,1\n"
    _, out, _ = command(capsys, listed(text), "--out", tmp_path / "new.toml")
    rows = [words.split()[:2] for words in out.splitlines() if words.strip()[:1].isdecimal()]
    assert rows == [
        ["1", "title"],
        ["2", "headings"],
        ["3", "section"],
        ["4", "in"],
        ["5", "blank"],
        ["6", "unused"],
        ["7", "total"],
    ]


def test_json_says_the_same(listed, tmp_path, capsys):
    status, out, _ = command(capsys, listed(UNCLEAR), "--out", tmp_path / "new.toml", "--json")
    told = json.loads(out)
    assert status == 0
    assert (told["inputs"], told["outputs"], told["rows_left_out"]) == (1, 0, 1)
    assert told["written"] == str(tmp_path / "new.toml")
    (sheet,) = told["sheets"]
    assert [column["field"] for column in sheet["columns"]] == ["number", "name", "phantom"]
    assert [row["became"] for row in sheet["rows"]] == ["headings", "lines", "left out"]
    assert sheet["rows"][1]["lines"][0] == {
        "line": "in 1",
        "name": "Kick",
        "level": "mic",
        "phantom": False,
        "port": "DESK in 1",
        "zone": None,
        "stand": None,
        "note": None,
    }
    assert sheet["rows"][2]["unclear"] == told["unclear"][0].split(": ", 1)[1:]


def test_columns_are_told_kept_and_used_again(listed, tmp_path, capsys):
    text = "Strip,Wer,Saft\n1,Geige,ja\n2,Cello,\n"
    told = "Strip=number,Wer=name,Saft=phantom"
    first = command(capsys, listed(text), "--out", tmp_path / "a.toml", "--map", told, "--save-map", "dorffest")
    assert first[0] == 0
    again = command(capsys, listed(text), "--out", tmp_path / "b.toml", "--map", "dorffest", "--strict")
    assert again[0] == 0
    assert (tmp_path / "a.toml").read_bytes() == (tmp_path / "b.toml").read_bytes()
    assert [line.phantom for line in load_plan(tmp_path / "b.toml").lines] == [True, False]


def test_a_map_on_the_command_goes_before_a_kept_one():
    keep_columns("fest", {"wer": "name", "strip": "number"})
    assert asked_columns(["fest", "Wer=note"]) == {"wer": "note", "strip": "number"}


@pytest.mark.parametrize("name", ["", "../up", "a/b", "x" * 41, ".hidden", "a\nb"])
def test_names_of_maps_that_cannot_be(name):
    with pytest.raises(MapRefused, match="no name of a map"):
        keep_columns(name, {"a": "name"})
    with pytest.raises(MapRefused, match="no name of a map"):
        asked_columns([name])


def test_a_map_that_is_not_kept_names_those_that_are():
    keep_columns("fest", {"wer": "name"})
    with pytest.raises(MapRefused, match='no map "best"; kept are fest'):
        asked_columns(["best"])


def test_nothing_to_keep():
    with pytest.raises(MapRefused, match="nothing to keep"):
        keep_columns("fest", {})


@pytest.mark.parametrize("content", ["", "[]", "{}", '{"columns": {"a": "nonsense"}}', '{"columns": 3}'])
def test_a_kept_map_that_was_spoilt(content):
    keep_columns("fest", {"wer": "name"}).write_text(content)
    with pytest.raises(MapRefused, match="no kept map"):
        asked_columns(["fest"])


def test_the_list_itself_is_not_written_over(listed):
    path = listed(GOOD)
    with pytest.raises(ListNotTaken, match="is the list itself"):
        import_list(path, path)
    assert path.read_text() == GOOD


def test_a_plan_that_is_there_is_not_written_over_unasked(listed, tmp_path, capsys):
    plan = tmp_path / "new.toml"
    plan.write_text("# years of work")
    status, out, err = command(capsys, listed(GOOD), "--out", plan)
    assert (status, out, plan.read_text()) == (2, "", "# years of work")
    assert "is there already" in err
    status, out, _ = command(capsys, listed(GOOD), "--out", plan, "--force")
    assert status == 0
    assert "replaced by a plan of 3 inputs" in out
    assert len(load_plan(plan).lines) == 3


@pytest.mark.parametrize("name", ["", "  "])
def test_a_rig_needs_a_name(listed, tmp_path, name):
    with pytest.raises(ListNotTaken, match="needs a name"):
        import_list(listed(GOOD), tmp_path / "new.toml", Wanted(name=name))


@pytest.mark.parametrize("owner", ["", "abc", "ABCDE", "Ä"])
def test_an_owner_is_one_to_four_letters_or_figures(listed, tmp_path, owner):
    with pytest.raises(ListNotTaken, match="1 to 4 of A-Z and 0-9"):
        import_list(listed(GOOD), tmp_path / "new.toml", Wanted(owner=owner))


@pytest.mark.parametrize(
    ("file", "owner"), [("été à la plage.csv", "EALP"), ("日本.csv", "RIG"), ("7 seas_v2.csv", "7SV")]
)
def test_the_owner_is_made_of_the_name(listed, tmp_path, file, owner):
    assert import_list(listed(GOOD, file), tmp_path / "new.toml").owner == owner


def test_texts_come_out_as_they_went_in(listed, tmp_path):
    names = ['"""', "\\", "a\\nb", "'", "[rig]", "# x", "日本", "é\u0301", "\x7f", "=1+1", "{}", "true"]
    text = "Ch;Name\n" + "".join(f'{at};"{name.replace(chr(34), chr(34) * 2)}"\n' for at, name in enumerate(names, 1))
    done = import_list(listed(text), tmp_path / "new.toml", Wanted(name='The "Quay" \\ 2', owner="Q"))
    rig = load_plan(done.written)
    assert rig.name == 'The "Quay" \\ 2'
    kept = {int(line.line[3:]): line.name for line in rig.lines}
    assert kept == {at: name for at, name in enumerate(names, 1) if name != "\x7f"}


def test_what_is_no_list_is_refused_with_what_to_do(listed, tmp_path, capsys):
    with pytest.raises(NoList):
        import_list(listed("Dear all,\nsee you there\n"), tmp_path / "new.toml")
    with pytest.raises(SheetRefused):
        import_list(tmp_path / "gone.csv", tmp_path / "new.toml")
    status, out, err = command(capsys, listed("Dear all\n"), "--out", tmp_path / "new.toml")
    assert (status, out) == (2, "")
    assert "no list in" in err
    assert not (tmp_path / "new.toml").exists()
