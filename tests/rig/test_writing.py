"""Files are replaced as a whole, with the rights of the old one, or not touched."""

import pytest

from checkapp.rig.writing import FileNotWritten, replace_file


def test_a_file_is_written_and_replaced_with_its_rights(tmp_path):
    out = tmp_path / "x.txt"
    replace_file(out, b"one")
    assert out.read_bytes() == b"one"
    out.chmod(0o640)
    replace_file(out, b"two")
    assert out.read_bytes() == b"two"
    assert out.stat().st_mode & 0o777 == 0o640
    assert [path.name for path in tmp_path.iterdir()] == ["x.txt"]


@pytest.mark.parametrize("where", ["none/x.txt", "file/x.txt", "folder", "a\0b.txt", "x" * 300])
def test_what_cannot_be_written_leaves_nothing_behind(tmp_path, where):
    (tmp_path / "file").write_text("not a folder")
    (tmp_path / "folder").mkdir()
    with pytest.raises(FileNotWritten, match="cannot be written") as refused:
        replace_file(tmp_path / where, b"new")
    assert str(refused.value).isprintable()
    assert "None" not in str(refused.value)
    assert sorted(path.name for path in tmp_path.iterdir()) == ["file", "folder"]
