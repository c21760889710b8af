"""Files are replaced as a whole, with the rights of the old one, or not touched."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from checkapp.rig.writing import FileNotWritten, replace_file, replace_files


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


def test_files_that_belong_together_are_all_replaced(tmp_path):
    (tmp_path / "a").write_text("old")
    (tmp_path / "a").chmod(0o640)
    replace_files({tmp_path / "a": b"one", tmp_path / "b": b"two"})
    assert {path.name: path.read_bytes() for path in tmp_path.iterdir()} == {"a": b"one", "b": b"two"}
    assert (tmp_path / "a").stat().st_mode & 0o777 == 0o640


@pytest.mark.parametrize("where", ["none/x.txt", "folder"])
def test_where_one_cannot_be_written_none_is_replaced(tmp_path, where):
    (tmp_path / "folder").mkdir()
    (tmp_path / "a").write_text("old")
    with pytest.raises(FileNotWritten, match=where):
        replace_files({tmp_path / "a": b"one", tmp_path / "b": b"two", tmp_path / where: b"three"})
    assert sorted(path.name for path in tmp_path.iterdir()) == ["a", "folder"]
    assert (tmp_path / "a").read_text() == "old"


def test_where_one_cannot_be_put_in_its_place_all_are_as_they_were(tmp_path, monkeypatch):
    """As where another program holds a file open and the system does not let it be replaced."""
    (tmp_path / "a").write_text("old")
    really = Path.replace

    def replace(self, target):
        if Path(target).name == "held":
            raise PermissionError(13, "Permission denied")
        return really(self, target)

    monkeypatch.setattr(Path, "replace", replace)
    with pytest.raises(FileNotWritten, match=r"held.*Permission denied"):
        replace_files({tmp_path / "a": b"one", tmp_path / "b": b"two", tmp_path / "held": b"three"})
    assert {path.name: path.read_bytes() for path in tmp_path.iterdir()} == {"a": b"old"}


def test_on_a_full_disk_the_old_ones_stay(tmp_path):
    """A real limit on the size of a file, in a process of its own: the second file does not fit."""
    (tmp_path / "a").write_text("old")
    program = (
        "import resource, signal, sys; from pathlib import Path\n"
        "from checkapp.rig.writing import FileNotWritten, replace_files\n"
        "signal.signal(signal.SIGXFSZ, signal.SIG_IGN)\n"
        "resource.setrlimit(resource.RLIMIT_FSIZE, (4096, 4096))\n"
        "try: replace_files({Path('a'): b'new', Path('b'): b'x' * 9999})\n"
        "except FileNotWritten as error: print(error)\n"
    )
    environment = os.environ | {"PYTHONPATH": str(Path(__file__).parents[2])}
    done = subprocess.run(
        [sys.executable, "-c", program], cwd=tmp_path, env=environment, capture_output=True, text=True, check=True
    )
    assert done.stdout.startswith("b: cannot be written")
    assert {path.name: path.read_bytes() for path in tmp_path.iterdir()} == {"a": b"old"}
