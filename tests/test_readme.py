"""The README is tested: each command in it is run, and what it shows must be what the program says."""

import os
import re
import shlex
import subprocess
import sys
from pathlib import Path

import pytest

from checkapp.show import places

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")
BLOCKS = re.findall(r"```console\n(.*?)```", README, re.DOTALL)


def steps(block):
    """The commands of a block, each with the lines that must follow."""
    parts = re.split(r"^\$ ", block, flags=re.MULTILINE)[1:]
    return [(part.split("\n")[0], [line for line in part.split("\n")[1:] if line]) for part in parts]


def fits(shown, said):
    """Whether the lines shown occur in order in what was said; ``...`` stands for anything."""
    pattern = ".*".join(
        r"[^\n]*".join(re.escape(piece) for piece in line.split("...")) if line != "..." else "" for line in shown
    )
    return re.search(pattern, said, re.DOTALL) is not None


@pytest.mark.parametrize("block", BLOCKS, ids=[block.split("\n")[0][:40] for block in BLOCKS])
def test_what_the_readme_shows_is_what_the_program_says(block, tmp_path):
    (tmp_path / "plans").symlink_to(places.shipped("plans"))
    environment = {**os.environ, "COLUMNS": "80", "CHECKAPP_HOME": str(tmp_path / "home")}
    for command, shown in steps(block):
        words = shlex.split(command)
        assert words[0] == "checkapp"
        done = subprocess.run(
            [sys.executable, "-m", *words], cwd=tmp_path, env=environment, capture_output=True, text=True, check=False
        )
        assert "Traceback" not in done.stderr
        assert fits(shown, done.stdout + done.stderr), f"{command}\n{done.stdout}{done.stderr}"


def test_there_is_something_to_test():
    assert sum(len(steps(block)) for block in BLOCKS) >= 8


def test_every_picture_and_link_is_there():
    for target in re.findall(r"\]\((?!http)([^)#]+)\)", README):
        assert (ROOT / target).is_file(), target


def test_the_two_commands_are_those_of_the_proof():
    proof = (ROOT / ".ci/run").read_text(encoding="utf-8")
    for command in re.findall(r"```sh\n(.*?)```", README, re.DOTALL)[0].strip().split("\n"):
        assert command in proof
