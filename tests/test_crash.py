"""The real program, killed at random moments while it marks at full speed, and on a disk that fills up."""

import importlib.util
from pathlib import Path

import pytest

SEED = 20310502


@pytest.fixture(scope="module")
def crashing():
    spec = importlib.util.spec_from_file_location("crashing", Path(__file__).with_name("crashing.py"))
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.mark.parametrize("work", ["command", "session"])
def test_what_was_said_to_be_saved_is_there_after_each_of_150_kills(crashing, tmp_path, work):
    """With the one for the other, 300: an id that `mark` printed, a mark that the walk showed as saved."""
    found = crashing.run(work, 150, SEED, tmp_path / "disk")
    assert found["faults"] == []
    assert found["killed"] == 150
    assert found["saved"] > 100


def test_a_program_that_says_saved_too_early_is_found_out(crashing, tmp_path):
    found = crashing.run("liar", 25, SEED, tmp_path / "disk")
    assert any("lost: note" in fault for fault in found["faults"])


@pytest.mark.parametrize("way", ["a small file system, where one can be mounted", "a limit on the size of files"])
def test_on_a_full_disk_nothing_is_shown_as_saved_that_is_not_and_all_of_it_comes_in_later(crashing, tmp_path, way):
    """Half of the rounds are killed; of the others half get room again, half are closed and started again."""
    small = "small" in way and crashing.can_mount(tmp_path / "try")
    found = crashing.run("full", 16, SEED, tmp_path / "disk", "tmpfs" if small else "limit")
    assert found["faults"] == []
    assert 3 < found["killed"] <= 8
    assert found["came in"] > 0
    assert found["saved"] > 40
    assert found["why"] == [
        "waits: the disk is full"
        if small
        else "waits: its disk does not take it, look whether it is full, read-only or unplugged"
    ]
