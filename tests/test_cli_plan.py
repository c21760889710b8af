"""The commands of the plan: two plans compared, a new one made, on a real terminal too."""

import json
import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

from checkapp.cli import main
from checkapp.show import places

PLANS = places.shipped("plans")
ROOT = Path(__file__).parents[1]


@pytest.fixture
def run(capsys, monkeypatch, tmp_path):
    """Run a command in this process: exit status, standard output, standard error."""
    monkeypatch.setenv("CHECKAPP_HOME", str(tmp_path / "home"))
    monkeypatch.setenv("COLUMNS", "80")
    monkeypatch.chdir(tmp_path)

    def runner(*words):
        with pytest.raises(SystemExit) as ended:
            main(["plan", *(str(word) for word in words)])
        said = capsys.readouterr()
        return ended.value.code or 0, said.out, said.err

    return runner


@pytest.fixture
def edited(tmp_path):
    """A copy of the demo plan with words replaced."""

    def edit(**words):
        text = (PLANS / "demo.toml").read_text(encoding="utf-8")
        for old, new in words.items():
            assert text.count(f'"{old}"') >= 1
            text = text.replace(f'"{old}"', f'"{new}"')
        (tmp_path / "kinds.toml").write_bytes((PLANS / "kinds.toml").read_bytes())
        (tmp_path / "new.toml").write_text(text, encoding="utf-8")
        return tmp_path / "new.toml"

    return edit


@pytest.mark.parametrize("name", ["diff", "new"])
def test_both_have_help(run, name):
    status, out, _ = run(name, "--help")
    assert status == 0
    assert f"Usage: checkapp plan {name}" in out


def test_diff_in_words_and_as_json(run, edited):
    new = edited(**{"RIGHT in 3": "RIGHT in 10", "Guitar vocal": "Lute vocal"})
    status, out, err = run("diff", PLANS / "demo.toml", new)
    assert (status, err) == (0, "")
    assert max(map(len, out.splitlines())) <= 80
    assert "Check this line again" in out
    status, out, err = run("diff", PLANS / "demo.toml", new, "--json")
    told = json.loads(out)
    assert (status, err) == (0, "")
    assert [one["line"] for one in told["check_again"]] == ["in 32"]
    assert {change["field"] for step in told["steps"] for change in step["changes"]} == {"port", "name"}


def test_diff_of_a_plan_with_itself_says_that_nothing_changed(run):
    status, out, err = run("diff", PLANS / "demo.toml", PLANS / "demo.toml")
    assert (status, err) == (0, "")
    assert out.startswith("Nothing has changed between ")


@pytest.mark.parametrize("plans", [("demo.toml", "none.toml"), ("none.toml", "demo.toml"), ("demo.toml", "kinds.toml")])
def test_diff_of_what_is_no_plan_ends_with_2(run, plans):
    status, out, err = run("diff", *(PLANS / name for name in plans))
    assert (status, out) == (2, "")
    assert plans[0 if plans[0] == "none.toml" else 1] in err


def test_new_by_flags_passes_review(run, tmp_path):
    status, out, err = run("new", "--inputs", 70, "--outputs", 20, "--box", "16x8", "--box", "8x4", "--out", "new.toml")
    assert (status, err) == (0, "")
    assert out.startswith("new.toml: 70 inputs, 20 outputs, 5 boxes on 3 chains.")
    with pytest.raises(SystemExit) as ended:
        main(["review", str(tmp_path / "new.toml"), "--json"])
    assert not ended.value.code


def test_new_is_printed_without_a_file(run, tmp_path):
    status, out, _ = run("new", "--inputs", 3, "--name", "Old mill")
    assert status == 0
    assert 'name = "Old mill"' in out
    assert not list(tmp_path.glob("*.toml"))


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ([], "--inputs N"),
        (["--inputs", "0"], "at least one"),
        (["--inputs", "5", "--box", "big"], "as 16x8"),
        (["--inputs", "5", "--out", "there.toml"], "--force"),
    ],
)
def test_new_says_in_one_line_what_is_missing_or_wrong(run, tmp_path, words, said):
    (tmp_path / "there.toml").write_text("mine", encoding="utf-8")
    status, out, err = run("new", *words)
    assert (status, out) == (2, "")
    assert len(err.splitlines()) == 1
    assert said in err
    assert (tmp_path / "there.toml").read_text(encoding="utf-8") == "mine"


def test_new_asks_on_a_terminal(tmp_path):
    near, far = os.openpty()
    env = os.environ | {"PYTHONPATH": str(ROOT), "TERM": "dumb"}
    words = [sys.executable, "-m", "checkapp", "plan", "new", "--name", "Old mill"]
    with subprocess.Popen(words, stdin=far, stdout=far, stderr=far, cwd=tmp_path, env=env) as process:
        os.close(far)
        os.write(near, b"twelve\n12\n\n\nmill.toml\n")
        said, until = b"", time.monotonic() + 60
        while b"checkapp review" not in said and time.monotonic() < until:
            said += os.read(near, 4096)
        assert process.wait(60) == 0
    os.close(near)
    assert b"write a number from 0 to" in said
    assert b"mill.toml: 12 inputs, 8 outputs, 1 box on 1 chain." in said
    assert 'name = "Old mill"' in (tmp_path / "mill.toml").read_text(encoding="utf-8")
