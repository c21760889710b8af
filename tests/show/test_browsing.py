"""Looking into folders: what is shown of them, in which order, and what is said when one cannot be looked into."""

import os
import sys
import time
from dataclasses import replace
from datetime import datetime

import pytest

from checkapp.show import browsing
from checkapp.show.browsing import Browser, FolderRefused, size_words
from checkapp.show.quick_places import drives, quick_places

TODAY = "2031-05-03"


@pytest.fixture
def browser(tmp_path):
    return Browser(tmp_path / "home", lambda: TODAY, lambda: ())


@pytest.fixture
def lists(tmp_path):
    folder = tmp_path / "lists"
    folder.mkdir()
    return folder


def put(folder, name, at="2031-05-01 10:00", size=10):
    path = folder / name
    path.write_bytes(b"x" * size)
    seconds = datetime.fromisoformat(at).timestamp()
    os.utime(path, (seconds, seconds))
    return path


def test_folders_come_first_then_what_can_be_opened_newest_first(browser, lists):
    (lists / "zebra").mkdir()
    (lists / "Alder").mkdir()
    put(lists, "old.xlsx", "2031-04-01 09:00")
    put(lists, "new.CSV", "2031-05-03 14:05", 24_400)
    put(lists, "barn.toml", "2031-05-02 23:59", 2_340_000)
    found = browser.folder(str(lists))
    assert [entry.name for entry in found.folders] == ["Alder", "zebra"]
    assert [(entry.name, entry.kind, entry.detail) for entry in found.files] == [
        ("new.CSV", "sheet", "spreadsheet, 24 kB, today 14:05"),
        ("barn.toml", "plan", "plan, 2.3 MB, yesterday"),
        ("old.xlsx", "sheet", "spreadsheet, 1 kB, 2031-04-01"),
    ]
    assert found.files[0].path == str(lists / "new.CSV")
    assert found.left_out == ""


def test_what_cannot_be_opened_is_counted_and_hidden_files_are_not_there(browser, lists):
    for name in ("photo.jpg", "notes.txt", ".hidden.xlsx", "~$open.xlsx", "old.xls", "free.ods"):
        put(lists, name)
    (lists / ".git").mkdir()
    found = browser.folder(str(lists))
    assert found.folders == ()
    assert sorted(entry.name for entry in found.files) == ["free.ods", "old.xls"]
    assert found.left_out == "2 other files are not shown: they are no spreadsheets and no plans."


def test_the_folder_above_up_to_the_top(browser, lists):
    found = browser.folder(str(lists))
    assert found.title == "lists"
    assert found.path == str(lists)
    steps = 0
    while found.up:
        found = browser.folder(found.up)
        steps += 1
    assert steps == len(lists.parts) - 1
    assert found.path == lists.anchor


def test_a_folder_that_is_gone_no_folder_or_not_ours_is_one_message(browser, lists, monkeypatch):
    file = put(lists, "list.xlsx")
    for path in (lists / "gone", file):
        with pytest.raises(FolderRefused) as refused:
            browser.folder(str(path))
        assert len(refused.value.lines) == 1
        assert str(path) in str(refused.value)
        assert "pick another folder" in str(refused.value)
    with pytest.raises(FolderRefused, match="cannot be read"):
        browser.folder("a\0b")


def test_a_folder_without_rights(browser, lists, monkeypatch):
    def refused(path):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(browsing.os, "scandir", refused)  # some users may look into everything
    with pytest.raises(FolderRefused, match="may not look into it; pick another folder"):
        browser.folder(str(lists))


def test_it_begins_where_it_was_last_and_elsewhere_when_that_is_gone(tmp_path, lists):
    inner = lists / "inner"
    inner.mkdir()
    home = tmp_path / "home"

    def browser():
        return Browser(home, lambda: TODAY, lambda: (("Downloads", tmp_path / "none"), ("Documents", lists)))

    first = browser().opened()
    assert first.path == str(lists)
    assert [(place.name, place.here) for place in first.places] == [("Downloads", False), ("Documents", True)]
    browser().folder(str(inner))
    assert browser().opened().path == str(inner)
    inner.rmdir()
    assert browser().opened().path == str(lists)
    (home / "folder.json").write_text("{", encoding="utf-8")
    assert browser().opened().path == str(lists)


def test_a_home_that_cannot_be_written_stops_nobody(tmp_path, lists):
    (tmp_path / "file").write_bytes(b"")
    found = Browser(tmp_path / "file" / "home", lambda: TODAY, lambda: ()).folder(str(lists))
    assert found.path == str(lists)


def test_a_link_that_leads_nowhere_and_a_name_that_cannot_be_shown(browser, lists):
    try:
        (lists / "gone.xlsx").symlink_to(lists / "nowhere")
        put(lists, "two\nlines.csv")
    except OSError:
        pytest.fail("this system makes no links or no such names")
    found = browser.folder(str(lists))
    assert [(entry.name, entry.detail.split(",")[0]) for entry in found.files] == [
        ("two\\nlines.csv", "spreadsheet"),
        ("gone.xlsx", "spreadsheet"),
    ]


def test_a_path_to_be_read_shows_its_end_and_nothing_that_cannot_be_shown(browser, lists):
    deep = lists / ("a" * 100) / ("b" * 60) / "end"
    deep.mkdir(parents=True)
    found = browser.folder(str(deep))
    assert found.path == str(deep)
    assert found.where == f"...{str(deep)[-120:]}"
    assert browser.folder(str(lists)).where == str(lists)[-120:]
    assert replace(found, path="/lists/\udcff").where.isprintable()


def test_ten_thousand_files_are_read_quickly(browser, lists):
    for number in range(10_000):
        (lists / f"{number}.{'xlsx' if number % 2 else 'jpg'}").touch()
    begin = time.perf_counter()
    found = browser.folder(str(lists))
    assert time.perf_counter() - begin < 2.0
    assert len(found.files) == 5000
    assert found.left_out.startswith("5000 other files")


def test_the_quick_places_are_folders_that_are_there(tmp_path, monkeypatch):
    monkeypatch.setenv("HOME", str(tmp_path))
    for name in ("XDG_DOWNLOAD_DIR", "XDG_DOCUMENTS_DIR", "XDG_DESKTOP_DIR", "XDG_CONFIG_HOME"):
        monkeypatch.delenv(name, raising=False)
    if sys.platform != "win32":
        (tmp_path / "Downloads").mkdir()
        found = dict(quick_places())
        assert found["Downloads"] == tmp_path / "Downloads"
        assert found["Home"] == tmp_path
        assert "Documents" not in found
    assert all(path.is_dir() for _, path in quick_places())


def test_what_is_plugged_in(tmp_path):
    for name in ("media/crew/LISTS", "media/crew/.hidden", "run/media/crew/STICK", "Volumes/Card"):
        (tmp_path / name).mkdir(parents=True)
    assert drives(tmp_path, "linux") == (
        ("LISTS", tmp_path / "media/crew/LISTS"),
        ("STICK", tmp_path / "run/media/crew/STICK"),
    )
    assert drives(tmp_path, "darwin") == (("Card", tmp_path / "Volumes/Card"),)
    assert drives(tmp_path / "none", "linux") == ()


@pytest.mark.parametrize(
    ("size_bytes", "words"),
    [(0, "1 kB"), (1499, "1 kB"), (24_400, "24 kB"), (999_499, "999 kB"), (1_000_000, "1.0 MB")],
)
@pytest.mark.closed_form
def test_sizes_in_words(size_bytes, words):
    assert size_words(size_bytes) == words
