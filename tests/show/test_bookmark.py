import pytest

from checkapp.show.bookmark import Bookmark, read_bookmark, write_bookmark

MARK = Bookmark("plan.toml", "Night ü", "abc", "JD", "in 7")


def test_what_was_written_is_read(tmp_path):
    write_bookmark(tmp_path / "new", MARK)
    assert read_bookmark(tmp_path / "new") == MARK
    assert [path.name for path in (tmp_path / "new").iterdir()] == ["bookmark.json"]


@pytest.mark.parametrize("text", ["", "{", "[]", "3", '{"plan": "x"}', "\0", '{"plan": "' + "x" * 100])
def test_what_cannot_be_read_is_none(tmp_path, text):
    (tmp_path / "bookmark.json").write_text(text)
    assert read_bookmark(tmp_path) is None
