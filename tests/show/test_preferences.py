"""How a tablet is set: kept from one start to the next, whatever lies where it is kept."""

import json
from dataclasses import fields, replace

import pytest

from checkapp.show.preferences import (
    VALUES,
    NotRemembered,
    Preferences,
    Remembered,
    read_preferences,
    system_language,
    write_preferences,
)

CHOSEN = Preferences("dim", "left", True, 1.5, True, "de", "ft", "awg")


def kept(home):
    return sorted(path.name for path in home.iterdir())


def test_what_was_written_is_read(tmp_path):
    home = tmp_path / "new"
    write_preferences(home, CHOSEN)
    assert read_preferences(home) == CHOSEN
    assert kept(home) == ["preferences.json"]


def test_each_can_be_set_to_each_of_its_values_and_starts_with_the_first():
    assert set(VALUES) == {one.name for one in fields(Preferences)}
    assert Preferences(language="en") == Preferences(**{name: values[0] for name, values in VALUES.items()})


@pytest.mark.parametrize(("name", "value"), [(name, value) for name, values in VALUES.items() for value in values])
def test_every_choice_is_there_at_the_next_start(tmp_path, name, value):
    assert getattr(Remembered(tmp_path).choose(name, value), name) == value
    assert read_preferences(tmp_path) == replace(Preferences(), **{name: value})


def test_choices_add_up(tmp_path):
    remembered = Remembered(tmp_path)
    for one in fields(Preferences):
        remembered.choose(one.name, getattr(CHOSEN, one.name))
    assert remembered.now == read_preferences(tmp_path) == CHOSEN


@pytest.mark.parametrize("text", ["", "{", "[]", "3", "null", '{"colours": "dim"', "[" * 9000, "\ufffe\0"])
def test_a_damaged_file_gives_a_new_tablet_and_is_put_aside(tmp_path, text):
    (tmp_path / "preferences.json").write_text(text, encoding="utf-8")
    assert read_preferences(tmp_path) == Preferences()
    assert kept(tmp_path) == ["preferences.json.damaged"]
    assert (tmp_path / "preferences.json.damaged").read_text(encoding="utf-8") == text
    assert Remembered(tmp_path).choose("colours", "light") == read_preferences(tmp_path)


def test_bytes_that_are_no_text_are_damage(tmp_path):
    (tmp_path / "preferences.json").write_bytes(b"\xff\xfe\x00{")
    assert read_preferences(tmp_path) == Preferences()
    assert kept(tmp_path) == ["preferences.json.damaged"]


def test_what_another_version_wrote_is_taken_as_far_as_it_is_known(tmp_path):
    found = {"colours": "dim", "hand": 1, "gloves": 1, "text_scale": 7.0, "calm": "yes", "size_of_hat": 58}
    (tmp_path / "preferences.json").write_text(json.dumps(found))
    assert read_preferences(tmp_path) == replace(Preferences(), colours="dim")
    assert kept(tmp_path) == ["preferences.json"]


def test_where_a_folder_lies_in_the_way_the_tablet_is_as_new_and_says_what_it_cannot_keep(tmp_path):
    (tmp_path / "preferences.json" / "in it").mkdir(parents=True)
    remembered = Remembered(tmp_path)
    assert remembered.now == Preferences()
    with pytest.raises(NotRemembered, match=r"preferences\.json: cannot be written: .*until the app is closed"):
        remembered.choose("gloves", True)
    assert remembered.now.gloves


def test_what_the_toolkit_kept_before_is_taken_over(tmp_path):
    (tmp_path / "kivy").mkdir()
    (tmp_path / "kivy" / "config.ini").write_text("[kivy]\nlog = %(x)\n[checkapp]\ncolours = light\nhand = left\n")
    assert read_preferences(tmp_path) == replace(Preferences(), colours="light", hand="left")
    Remembered(tmp_path).choose("colours", "dark")
    assert read_preferences(tmp_path) == replace(Preferences(), hand="left")


@pytest.mark.parametrize("text", ["colours = light", "[checkapp]\ncolours = pink\nhand", "[checkapp"])
def test_what_the_toolkit_kept_and_cannot_be_read_is_left(tmp_path, text):
    (tmp_path / "kivy").mkdir()
    (tmp_path / "kivy" / "config.ini").write_text(text)
    assert read_preferences(tmp_path) == Preferences()


@pytest.mark.parametrize(
    ("named", "language"),
    [
        ({"LANG": "de_AT.UTF-8"}, "de"),
        ({"LANG": "en_GB.UTF-8"}, "en"),
        ({"LANG": "de_DE.UTF-8", "LC_ALL": "C"}, "en"),
        ({"LANG": "fi_FI.UTF-8", "LC_MESSAGES": "de_CH"}, "de"),
        ({"LANG": "fi_FI.UTF-8"}, "en"),
        ({"LANG": "German_Germany.1252"}, "de"),
    ],
)
def test_a_new_tablet_speaks_the_language_of_its_system(monkeypatch, named, language):
    for name in ("LC_ALL", "LC_MESSAGES", "LANG"):
        monkeypatch.delenv(name, raising=False)
    for name, value in named.items():
        monkeypatch.setenv(name, value)
    assert system_language() == Preferences().language == language
