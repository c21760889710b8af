import random
from dataclasses import replace

import pytest

from checkapp.show.bookmark import Bookmark, BookmarkKeeper, read_bookmark

MARK = Bookmark("plan.toml", "Night ü", "abc", "JD", "in 7")


def test_what_was_written_is_read(tmp_path):
    BookmarkKeeper(tmp_path / "new").keep(MARK)
    assert read_bookmark(tmp_path / "new") == MARK
    assert sorted(path.name for path in (tmp_path / "new").iterdir()) == ["bookmark.json", "bookmark.line"]


@pytest.mark.parametrize("text", ["", "{", "[]", "3", '{"plan": "x"}', "\0", '{"plan": "' + "x" * 100])
def test_what_cannot_be_read_is_none(tmp_path, text):
    (tmp_path / "bookmark.json").write_text(text)
    assert read_bookmark(tmp_path) is None


@pytest.mark.parametrize("seed", range(4))
def test_what_was_kept_last_is_read_whoever_kept_it(tmp_path, seed):
    """Lines most often, now and then another check or order, another program, or an app that is started anew."""
    chance, marks = random.Random(seed), [MARK, replace(MARK, check="def"), replace(MARK, first=("in 3", "in 4"))]
    here, there, mark = BookmarkKeeper(tmp_path), BookmarkKeeper(tmp_path), MARK
    for number in range(150):
        what = chance.random()
        if what < 0.1:
            mark = chance.choice(marks)
        mark = replace(mark, line=f"in {chance.randrange(1, 999_999)}")
        (there if 0.1 < what < 0.2 else here).keep(mark)
        if 0.2 < what < 0.25:
            here = BookmarkKeeper(tmp_path)
        assert read_bookmark(tmp_path) == mark, number


def test_with_another_line_only_the_line_is_written(tmp_path):
    keeper = BookmarkKeeper(tmp_path)
    keeper.keep(MARK)
    whole = tmp_path / "bookmark.json"
    before = whole.stat()
    for line in ("in 8", "out 999999", "in 9", ""):
        keeper.keep(replace(MARK, line=line))
        assert read_bookmark(tmp_path) == replace(MARK, line=line)
    BookmarkKeeper(tmp_path).keep(replace(MARK, line="in 10"))
    assert (whole.stat().st_ino, whole.stat().st_mtime_ns) == (before.st_ino, before.st_mtime_ns)
    assert read_bookmark(tmp_path) == replace(MARK, line="in 10")


@pytest.mark.parametrize("torn", [b"", b"\0" * 128, b"\xff" * 128, b"in 12", b"0" * 64 + b" in 12"])
def test_a_line_that_cannot_be_read_or_is_another_s_leaves_the_bookmark(tmp_path, torn):
    BookmarkKeeper(tmp_path).keep(MARK)
    (tmp_path / "bookmark.line").write_bytes(torn)
    assert read_bookmark(tmp_path) == MARK


def test_where_nothing_can_be_written_the_walk_goes_on_and_later_it_is_kept(tmp_path):
    home = tmp_path / "home"
    home.write_text("no folder")
    keeper = BookmarkKeeper(home)
    keeper.keep(MARK)
    assert read_bookmark(home) is None
    home.unlink()
    keeper.keep(MARK)
    assert read_bookmark(home) == MARK
    for path in home.iterdir():
        path.unlink()
    keeper.keep(replace(MARK, line="in 8"))
    assert read_bookmark(home) == replace(MARK, line="in 8")
