"""Export and import as commands: what is said, the exit status, and that it is all or nothing."""

import json
from pathlib import Path

import pytest

from checkapp.cli import main
from checkapp.journal import kinds
from checkapp.journal.entry import COLUMNS
from checkapp.journal.journal import Journal

PAPER = """Date;Show;Line;Item;Verdict;Symptom;Action;Note;Who
25.4.2021;Barn;in 7;XL07;faulty;crackle;swap;the blue one;JD
26.4.2021;Barn;in 8;;ok;;;;JD
"""


@pytest.fixture
def run(capsys, monkeypatch, tmp_path):
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("CHECKAPP_HOME", str(tmp_path / "home"))

    def runner(*words):
        with pytest.raises(SystemExit) as ended:
            main(["journal", *map(str, words)])
        said = capsys.readouterr()
        return ended.value.code or 0, said.out, said.err

    return runner


def fill(path, count=3, rig="Barn Stage"):
    with Journal.open(path, new_device="left", create=True) as journal:
        for number in range(count):
            kind, subject, detail = kinds.mark(f"in {number}", "ok", plan="a" * 64, check="c" * 16)
            new_id = f"{Path(path).stem}-{number:016d}"
            journal.append(kind, now_ms=number, new_id=new_id, rig=rig, show="1", subject=subject, detail=detail)


def count(path="new.db"):
    with Journal.open(Path(path), new_device="none", create=True) as journal:
        return len(journal.entries())


def test_an_export_comes_back_byte_for_byte(run, tmp_path):
    fill(Path("old.db"))
    assert run("export", "a.jsonl", "--journal", "old.db") == (0, "a.jsonl: 3 entries\n", "")
    assert tuple(json.loads(Path("a.jsonl").read_text().splitlines()[0])) == COLUMNS
    said = run("import", "a.jsonl", "--journal", "new.db")
    assert said == (0, "3 entries came in, 0 were there already\n", "")
    assert run("import", "a.jsonl", "--journal", "new.db")[1] == "0 entries came in, 3 were there already\n"
    run("export", "b.jsonl", "--journal", "new.db")
    assert Path("a.jsonl").read_bytes() == Path("b.jsonl").read_bytes()
    assert sorted(path.name for path in tmp_path.glob(".checkapp-*")) == []


def test_an_export_leaves_what_was_there_until_it_is_whole(run, monkeypatch):
    fill(Path("old.db"))
    Path("a.jsonl").write_text("from before")

    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.fsync", full)
    status, out, err = run("export", "a.jsonl", "--journal", "old.db")
    assert (status, out) == (2, "")
    assert err.startswith("a.jsonl: cannot be written: No space left on device")
    assert Path("a.jsonl").read_text() == "from before"


def test_an_export_never_goes_over_the_journal_itself(run):
    fill(Path("old.db"))
    status, _, err = run("export", "old.db", "--journal", "old.db")
    assert status == 2
    assert "is the journal itself" in err
    assert count("old.db") == 3


def test_no_journal_no_export(run):
    status, out, err = run("export", "a.jsonl")
    assert (status, out) == (2, "")
    assert "no journal there" in err
    assert not Path("a.jsonl").exists()


def test_a_bad_line_keeps_all_out_unless_it_is_asked_for(run):
    fill(Path("old.db"))
    run("export", "a.jsonl", "--journal", "old.db")
    with Path("a.jsonl").open("a") as file:
        file.write('junk\n{"id":1}\n')
    status, out, err = run("import", "a.jsonl", "--journal", "new.db")
    assert (status, out) == (2, "")
    assert [line.partition(" ")[0] for line in err.splitlines()] == ["a.jsonl:4:", "a.jsonl:5:"]
    assert count() == 0
    status, out, err = run("import", "a.jsonl", "--no-all-or-nothing", "--journal", "new.db")
    assert (status, out) == (1, "3 entries came in, 0 were there already\n")
    assert len(err.splitlines()) == 2
    assert count() == 3


def test_old_records(run):
    Path("old.csv").write_bytes(PAPER.encode("cp1252"))
    status, out, err = run("import", "old.csv", "--journal", "new.db")
    assert (status, err) == (0, "")
    assert out == "2 rows as old records of Old records\n9 entries came in, 0 were there already\n"
    assert run("import", "old.csv", "--journal", "new.db")[1].endswith("0 entries came in, 9 were there already\n")
    assert run("verify", "--journal", "new.db")[0] == 0
    with Journal.open(Path("new.db"), new_device="none") as journal:
        (mark, _), (repair,) = journal.entries(kind="mark"), journal.entries(kind="repair")
    assert (mark.subject, mark.details["note"]) == ("in 7", "the blue one; who: JD")
    assert (repair.subject, repair.at) == ("XL07", "2021-04-25T12:00:00.000Z")


def test_a_bad_row_keeps_all_out_unless_it_is_asked_for(run):
    Path("old.csv").write_text(PAPER + "27.4.2021;Barn;in 9;;perhaps;;;;\nsoon;Barn;in 9;;ok;;;;\n")
    status, out, err = run("import", "old.csv", "--journal", "new.db")
    assert (status, out) == (2, "")
    assert err.splitlines()[0].startswith("old.csv:4: verdict: is perhaps; one of ok, faulty")
    assert err.splitlines()[1].startswith("old.csv:5: date: is soon;")
    assert count() == 0
    status, out, err = run("import", "old.csv", "--no-all-or-nothing", "--journal", "new.db")
    assert status == 1
    assert out.startswith("2 rows as old records")
    assert len(err.splitlines()) == 2
    assert count() == 9


def rigs(path="new.db"):
    with Journal.open(Path(path), new_device="none") as journal:
        return {entry.rig for entry in journal.entries() if entry.device.startswith("old-")}


def test_old_records_are_of_the_rig_that_is_known(run):
    Path("old.csv").write_text(PAPER)
    fill(Path("new.db"))
    assert run("import", "old.csv", "--journal", "new.db")[0] == 0
    assert rigs() == {"Barn Stage"}


def test_of_several_rigs_one_must_be_said_once(run):
    Path("old.csv").write_text(PAPER)
    fill(Path("new.db"))
    fill(Path("yard.db"), rig="Yard")
    run("export", "yard.jsonl", "--journal", "yard.db")
    with Journal.open(Path("new.db"), new_device="none") as journal:
        journal.append("note", now_ms=9, new_id="a-note-of-the-yard", rig="Yard")
    status, out, err = run("import", "old.csv", "--journal", "new.db")
    assert (status, out) == (2, "")
    assert err == "the journal knows 2 rigs; say --rig with one of: Barn Stage, Yard\n"
    assert run("import", "old.csv", "--rig", "Yard", "--journal", "new.db")[0] == 0
    assert run("import", "old.csv", "--journal", "new.db")[1].endswith("0 entries came in, 9 were there already\n")
    assert rigs() == {"Yard"}


def test_how_dates_were_read_is_said_and_can_be_told(run):
    Path("old.csv").write_text("date,line,verdict\n02/05/2021,in 1,ok\n")
    out = run("import", "old.csv", "--journal", "new.db")[1]
    assert out.startswith("dates: 02/05/2021 is read as 2 May 2021, the day first; nothing in the column tells")
    out = run("import", "old.csv", "--month-first", "--journal", "other.db")[1]
    assert out.startswith("1 row as old records")
    with Journal.open(Path("other.db"), new_device="none") as journal:
        assert {entry.at[:10] for entry in journal.entries()} == {"2021-02-05"}


@pytest.mark.parametrize(
    ("name", "content", "said"),
    [
        ("missing.csv", None, "missing.csv:0: cannot be read: No such file or directory"),
        ("folder", "", "folder:0: cannot be read: Is a directory"),
        ("empty.csv", b"", "empty.csv:1: no line names the columns"),
        ("other.txt", b"in 7 is fine\n", "other.txt:1: no line names the columns"),
        ("picture.png", b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR\x81", "picture.png:"),
    ],
)
def test_what_cannot_be_imported(run, name, content, said):
    if content == "":
        Path(name).mkdir()
    elif content is not None:
        Path(name).write_bytes(content)
    status, out, err = run("import", name, "--journal", "new.db")
    assert (status, out) == (2, "")
    assert err.startswith(said)
    assert err.count("\n") == 1


def test_a_journal_is_for_merging(run):
    fill(Path("old.db"))
    status, _, err = run("import", "old.db", "--journal", "new.db")
    assert (status, err) == (2, "old.db:0: is a journal; take it in with: checkapp journal merge\n")
    assert not Path("new.db").exists()
