"""The commands as people and programs call them: words in, text and exit status out."""

import json
import os
import re
import subprocess
import sys
import tomllib
from pathlib import Path

import jsonschema
import pypdfium2
import pytest

import checkapp
from checkapp.cli import COMMANDS, main
from checkapp.show import places
from checkapp.show.checking_order import ORDERS
from checkapp.show.ordering import SLACK_M

PLANS = places.shipped("plans")
FINDING_KEYS = {"rule", "level", "where", "value", "limit", "unit", "message", "remedy", "basis"}


@pytest.fixture
def run(capsys, monkeypatch, tmp_path):
    """Run a command in this process: exit status, standard output, standard error."""
    monkeypatch.setenv("CHECKAPP_HOME", str(tmp_path / "home"))
    monkeypatch.chdir(tmp_path)

    def runner(*words):
        with pytest.raises(SystemExit) as ended:
            main([str(word) for word in words])
        said = capsys.readouterr()
        return ended.value.code or 0, said.out, said.err

    return runner


def test_version(run):
    assert run("--version") == (0, f"checkapp {checkapp.__version__}\n", "")


@pytest.mark.parametrize(
    "words",
    [[name] for name in COMMANDS]
    + [["journal", "verify"], ["journal", "backup"], ["journal", "rescue"], ["plan", "schema"], ["plan", "order"]],
)
def test_every_command_has_help(run, words):
    status, out, _ = run(*words, "--help")
    assert status == 0
    assert "Usage: checkapp" in out


@pytest.mark.parametrize(("plan", "status"), [("demo", 0), ("small", 0), ("wrong", 1)])
def test_review_gives_the_json_and_the_status(run, plan, status):
    ended, out, err = run("review", PLANS / f"{plan}.toml", "--json")
    assert (ended, err) == (status, "")
    found = json.loads(out)
    assert set(found) == {"rig", "findings", "chains"}
    for finding in found["findings"]:
        assert set(finding) == FINDING_KEYS
    for chain in found["chains"]:
        assert set(chain) == {"code", "length_m", "boxes", "channels_used", "power", "slots"}
        assert set(chain["power"]) == {"state", "source_amps", "source_watts", "sources", "boxes"}
        for row in chain["slots"]:
            assert set(row) == {"box", "direction", "first", "last"}
    order = [("stop", "caution", "note").index(finding["level"]) for finding in found["findings"]]
    assert order == sorted(order)


def test_review_in_words_fits_80_columns(run, monkeypatch):
    monkeypatch.setenv("COLUMNS", "80")
    status, out, _ = run("review", PLANS / "wrong.toml")
    assert status == 1
    assert max(map(len, out.splitlines())) <= 80
    assert "qualified people" in " ".join(out.split())


@pytest.mark.parametrize(
    ("units", "said", "not_said"),
    [
        ("metric", ["60.96 m of 2.5 mm2"], [" ft", " AWG"]),
        ("feet", ["200 ft of 13 AWG"], [" mm2", "60.96 m"]),
        ("", ["200 ft (60.96 m) of 2.5 mm2"], [" AWG"]),
    ],
)
def test_units_say_lengths_and_cores_as_they_were_chosen_and_leave_the_figures_alone(run, units, said, not_said):
    chosen = ["--units", units] if units else []
    ended, out, err = run("review", PLANS / "demo.toml", "--json", *chosen)
    assert (ended, err) == (0, "")
    found = json.loads(out)
    messages = " ".join(one["message"] for one in found["findings"] if one["where"] == "PWR3")
    assert [words for words in said if words not in messages] == []
    assert [words for words in not_said if words in messages] == []
    plain = json.loads(run("review", PLANS / "demo.toml", "--json")[1])
    figures = [[one[key] for key in ("rule", "value", "limit", "unit")] for one in found["findings"]]
    assert figures == [[one[key] for key in ("rule", "value", "limit", "unit")] for one in plain["findings"]]
    assert found["chains"] == plain["chains"]


def test_units_go_onto_paper_and_an_unknown_one_is_refused(run, tmp_path):
    said = {units: run("card", PLANS / "demo.toml", "HP01", "--units", units)[1] for units in ("metric", "feet")}
    assert ("45 m" in said["metric"], "147.6 ft" in said["feet"]) == (True, True)
    for units in said:
        assert run("tags", PLANS / "demo.toml", "--out", f"{units}.pdf", "--units", units)[0] == 0
    texts = [_text_of(tmp_path / f"{units}.pdf") for units in said]
    assert ["147.6 ft" in text for text in texts] == [False, True]
    status, _, err = run("review", PLANS / "demo.toml", "--units", "miles")
    assert (status, "'miles' is not one of 'metric', 'feet'" in err) == (2, True)


def _text_of(pdf):
    document = pypdfium2.PdfDocument(pdf)
    return " ".join(page.get_textpage().get_text_range() for page in document)


@pytest.mark.parametrize("command", ["review", "card", "mark", "state", "tags"])
def test_a_plan_that_is_not_there_is_one_line_and_status_2(run, command):
    more = {"card": ["SB1"], "mark": ["in 1", "ok"], "tags": ["--out", "tags.pdf"]}.get(command, [])
    status, out, err = run(command, "missing.toml", *more)
    assert (status, out) == (2, "")
    assert re.fullmatch(r"missing\.toml:0: no such file; .+\n", err)


def test_faults_of_a_plan_are_one_line_each(run, tmp_path):
    (tmp_path / "bad.toml").write_text('format = 1\n[rig]\nname = "x"\nowner = "x"\nverson = 3\n')
    status, out, err = run("review", "bad.toml", "--json")
    assert (status, out) == (2, "")
    assert err.splitlines() == [
        'bad.toml:4: [rig] owner: is "x"; 1 to 4 of A-Z 0-9: "X"',
        'bad.toml:5: [rig] verson: no such field; did you mean "version"?',
    ]


@pytest.mark.parametrize(
    "words",
    [
        ["review"],
        ["review", "a.toml", "b.toml"],
        ["review", "--nonsense"],
        ["mark", PLANS / "small.toml", "in 1", "perhaps"],
        ["mark", PLANS / "small.toml", "in 1", "faulty", "--symptom", "ghosts"],
        ["repair", PLANS / "small.toml", "STOVE", "pray"],
        ["journal", "verify", "--journal", "missing.db"],
        ["card", PLANS / "small.toml", "NOWHERE"],
        ["tags", PLANS / "small.toml", "--out", "x.pdf", "--stock", "granite"],
        ["tags", PLANS / "small.toml", "--out", "no/such/folder/x.pdf"],
        ["plan", "order"],
        ["plan", "order", "missing.toml"],
        ["plan", "order", PLANS / "demo.toml", "--chain", "NOWHERE"],
        ["plan", "order", PLANS / "demo.toml", "--slack", "-1"],
        ["plan", "order", PLANS / "demo.toml", "--slack", "nan"],
        ["plan", "order", PLANS / "demo.toml", "--out", "elsewhere.toml"],
        ["missing-plan.toml"],
    ],
    ids=str,
)
def test_a_call_that_is_wrong_ends_with_status_2_and_no_traceback(run, words):
    status, out, err = run(*words)
    assert (status, out) == (2, "")
    assert err.strip()
    assert "Traceback" not in err


def test_mark_repair_and_state_from_the_command_line(run):
    plan = PLANS / "small.toml"
    for words in (
        ["mark", plan, "in 1", "ok", "--by", "JD"],
        ["mark", plan, "in 2", "faulty", "--symptom", "wrong line", "--note", "crossed"],
        ["repair", plan, "STOVE in 2", "reseat", "--not-cleared"],
        ["repair", plan, "LD07", "swap", "--with", "LD09", "--cleared"],
    ):
        status, out, err = run(*words)
        assert (status, err) == (0, "")
        assert re.fullmatch(r"[0-9a-z-]{16,}\n", out)
    status, out, _ = run("state", plan, "--json")
    found = json.loads(out)
    assert set(found) == {"rig", "show", "lines", "ok", "faulty", "unmarked"}
    assert set(found["lines"][0]) == {"line", "name", "verdict", "symptom", "note", "by", "at"}
    assert found["ok"] + found["faulty"] + found["unmarked"] == len(found["lines"]) == 8
    status, out, _ = run("journal", "verify")
    assert status == 0
    assert "none missing" in out


def test_state_tells_what_to_check_first(run):
    plan = PLANS / "small.toml"
    run("mark", plan, "in 2", "faulty", "--symptom", "silent")
    status, out, err = run("state", plan, "--minutes", "1", "--json")
    found = json.loads(out)
    assert (status, err, len(found["first"]), found["unmarked"]) == (0, "", 3, 7)
    left = found["unfound_before"] - sum(one["probability"] for one in found["first"])
    assert abs(found["unfound"] - left) < 1e-9
    for order in ORDERS:
        status, out, _ = run("state", plan, "--order", order)
        assert (status, out.count("%")) == (0, 7)
        assert max(map(len, out.splitlines())) <= 80
    status, plain, _ = run("state", plan)
    assert "%" not in plain


@pytest.mark.parametrize("minutes", ["0", "-3", "nan", "inf", "ten"])
def test_minutes_that_are_none_end_with_2_and_one_message(run, minutes):
    status, out, err = run("state", PLANS / "small.toml", "--minutes", minutes)
    assert (status, out) == (2, "")
    assert "minutes" in err
    assert "Traceback" not in err


def test_a_swap_that_is_worth_a_second_look_is_logged_with_a_word_on_the_side(run):
    plan = PLANS / "small.toml"
    status, out, err = run("repair", plan, "LD01", "swap", "--with", "LD09")
    assert (status, err) == (0, "look: LD09 is 10 m, LD01 6 m\n")
    assert re.fullmatch(r"[0-9a-z-]{16,}\n", out)
    status, out, err = run("repair", plan, "LD02", "swap", "--with", "LD09")
    assert (status, err) == (0, "look: LD09 is in use: in 1; it is in the log, and the rig runs as before\n")
    status, out, _ = run("state", plan)
    assert (status, out.splitlines()[1]) == (0, "  not as planned: LD09 in for LD01")
    status, out, _ = run("card", plan, "LD09", "--json")
    assert "in 1" in out


def test_verify_ends_with_1_when_an_entry_was_changed(run, tmp_path):
    import sqlite3

    run("mark", PLANS / "small.toml", "in 1", "ok", "--journal", "j.db")
    with sqlite3.connect(tmp_path / "j.db") as base:
        base.execute("DROP TRIGGER entry_is_not_changed")
        base.execute("UPDATE entry SET by = 'somebody' WHERE kind = 'mark'")
    base.close()
    status, out, _ = run("journal", "verify", "--journal", "j.db")
    assert status == 1
    assert out.strip()


def test_suspects_from_a_file_and_from_the_journal(run, tmp_path):
    plan = PLANS / "small.toml"
    (tmp_path / "marks.csv").write_text("line,verdict,symptom\nin 1,ok,\nin 2,faulty,hum\n")
    status, out, err = run("suspects", plan, "--marks", "marks.csv", "--json")
    assert (status, err) == (0, "")
    by_file = json.loads(out)
    assert set(by_file) == {"suspects", "none", "left_out", "next"}
    run("mark", plan, "in 1", "ok")
    run("mark", plan, "in 2", "faulty", "--symptom", "hum")
    status, out, err = run("suspects", plan, "--json")
    assert (status, err, json.loads(out)) == (0, "", by_file)
    status, out, err = run("suspects", plan)
    assert (status, err) == (0, "")
    assert "faulty are in 2" in out
    (tmp_path / "marks.csv").write_text("line,verdict,symptom\nin 99,ok,\nin 2,bad,\n")
    status, out, err = run("suspects", plan, "--marks", "marks.csv")
    assert (status, out) == (2, "")
    assert len(err.splitlines()) == 2
    assert err.startswith("marks.csv:2: line: ")


def test_a_backup_goes_into_a_folder_and_a_rescue_takes_it_in(run, tmp_path):
    for line in ("in 1", "in 2"):
        run("mark", PLANS / "small.toml", line, "ok", "--journal", "j.db")
    status, out, err = run("journal", "backup", "stick", "--journal", "j.db")
    assert (status, err) == (0, "")
    assert re.fullmatch(r"stick/j-[0-9-]+Z\.db: 5 entries, looked at page by page\n", out)
    assert len(list((tmp_path / "stick").iterdir())) == 1
    (tmp_path / "file").write_text("")
    status, out, err = run("journal", "backup", "file", "--journal", "j.db")
    assert (status, out, err.count("\n")) == (2, "", 1)
    content = (tmp_path / "j.db").read_bytes()
    (tmp_path / "j.db").write_bytes(content[:4096] + bytes(len(content) - 4096))
    assert run("journal", "verify", "--journal", "j.db")[0] == 1
    (tmp_path / "backup").mkdir()
    next((tmp_path / "stick").iterdir()).rename(tmp_path / "backup" / "j-copy.db")
    status, out, err = run("journal", "rescue", "--journal", "j.db")
    assert (status, err) == (0, "")
    assert "5 entries more from backups" in out
    assert run("journal", "verify", "--journal", "j.db")[0] == 0
    assert run("journal", "rescue", "--journal", "none.db")[0] == 2


def test_tags_writes_a_pdf_and_says_how_many(run, tmp_path):
    status, out, _ = run("tags", PLANS / "small.toml", "--out", "tags.pdf")
    assert status == 0
    assert re.search(r"\d+ tags on \d+ page", out)
    assert (tmp_path / "tags.pdf").read_bytes().startswith(b"%PDF")


def test_card_shows_what_plugs_where(run):
    status, out, _ = run("card", PLANS / "small.toml", "stove", "--json")
    card = json.loads(out)
    assert status == 0
    assert card["item"] == "STOVE"
    assert "Mains" in " ".join(card["cautions"])
    status, out, _ = run("card", PLANS / "small.toml", "stove")
    assert "STOVE in 1" in out


def test_the_schema_takes_the_shipped_plans_and_refuses_a_wrong_one(run):
    status, out, _ = run("plan", "schema")
    assert status == 0
    schema = json.loads(out)
    jsonschema.Draft202012Validator.check_schema(schema)
    validator = jsonschema.Draft202012Validator(schema)
    for name in ("demo", "small", "wrong"):
        assert list(validator.iter_errors(tomllib.loads((PLANS / f"{name}.toml").read_text()))) == []
    assert list(validator.iter_errors({"format": 1, "rig": {"name": "x", "owner": "lower"}}))


ORDER_KEYS = {"code", "state", "old_m", "new_m", "order", "old", "shortest", "missing_m", "without_place", "findings"}


@pytest.mark.parametrize(("plan", "status"), [("demo", 0), ("small", 0), ("wrong", 1)])
def test_plan_order_in_words_and_as_json(run, monkeypatch, plan, status):
    monkeypatch.setenv("COLUMNS", "80")
    ended, out, err = run("plan", "order", PLANS / f"{plan}.toml", "--json")
    assert (ended, err) == (status, "")
    found = json.loads(out)
    assert set(found) == {"rig", "slack_m", "slack_share", "chains", "written"}
    assert found["slack_m"] == SLACK_M
    for chain in found["chains"]:
        assert set(chain) == ORDER_KEYS
        assert chain["new_m"] <= chain["old_m"]
    ended, out, err = run("plan", "order", PLANS / f"{plan}.toml")
    assert (ended, err) == (status, "")
    assert max(map(len, out.splitlines())) <= 80
    for chain in found["chains"]:
        assert f"chain {chain['code']}: " in out


def test_plan_order_writes_a_plan_that_works(run, tmp_path):
    for name in ("demo.toml", "kinds.toml"):
        (tmp_path / name).write_bytes((PLANS / name).read_bytes())
    status, out, _ = run("plan", "order", "demo.toml", "--chain", "front", "--out", "shorter.toml", "--json")
    (chain,) = json.loads(out)["chains"]
    assert (status, json.loads(out)["written"]) == (0, "shorter.toml")
    _, out, _ = run("review", "shorter.toml", "--json")
    lengths = {one["code"]: one["length_m"] for one in json.loads(out)["chains"]}
    assert lengths["FRONT"] == pytest.approx(chain["new_m"])
    assert chain["new_m"] < chain["old_m"]


def test_without_a_display_the_app_says_so_and_what_can_be_done(tmp_path):
    environment = {key: value for key, value in os.environ.items() if key not in ("DISPLAY", "WAYLAND_DISPLAY")}
    environment.pop("SDL_VIDEODRIVER", None)
    done = subprocess.run(
        [sys.executable, "-m", "checkapp", str(PLANS / "small.toml")],
        env={**environment, "CHECKAPP_HOME": str(tmp_path)},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 2
    assert "no display" in done.stderr
    assert "checkapp review" in done.stderr
    assert done.stdout == ""


def test_output_that_nobody_reads_is_no_error():
    done = subprocess.run(
        f"{sys.executable} -m checkapp review {PLANS / 'wrong.toml'} --json | head -c 1",
        shell=True,
        capture_output=True,
        text=True,
        check=False,
    )
    assert "Traceback" not in done.stderr


def test_names_that_a_terminal_cannot_show_do_not_break_it(tmp_path):
    plan = tmp_path / "plan.toml"
    plan.write_text('format = 1\n[rig]\nname = "Straße \\u001b[31m \\u202e [bold]"\nowner = "X"\n', encoding="utf-8")
    done = subprocess.run(
        [sys.executable, "-m", "checkapp", "review", str(plan)],
        env={**os.environ, "PYTHONIOENCODING": "ascii", "LC_ALL": "C"},
        capture_output=True,
        check=False,
    )
    assert done.returncode == 0
    assert b"\x1b[31m" not in done.stdout
    assert b"[bold]" in done.stdout
    assert b"Traceback" not in done.stderr


def test_a_misspelt_command_is_named(run):
    assert run("reviw", "plan.toml") == (2, "", 'no command and no plan "reviw"; did you mean "review"?\n')


def test_help_lists_every_command_on_one_whole_line(run, monkeypatch):
    monkeypatch.setenv("COLUMNS", "80")
    _, out, _ = run("--help")
    assert "..." not in out.split("Commands:")[1]


def test_the_card_of_a_line_shows_its_path(run):
    _, out, _ = run("card", PLANS / "small.toml", "IN2", "--json")
    card = json.loads(out)
    assert card["item"] == "in 2"
    assert ["STOVE in 2", "port"] in card["sections"][1]["rows"]
    assert card["cautions"]


def test_the_first_word_is_a_command_or_a_plan(run, tmp_path):
    Path(tmp_path / "open-plan").mkdir()
    status, _, err = run("open-plan")
    assert status == 2
    assert "is a folder" in err
