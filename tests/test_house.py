"""The rules of the house: style, types, who may import whom, size of rooms."""

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
BIN = Path(sys.executable).parent


def run(*words):
    done = subprocess.run(words, cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr


def test_style():
    run(sys.executable, "-m", "ruff", "check", ".")


def test_layout():
    run(sys.executable, "-m", "ruff", "format", "--check", ".")


def test_types():
    run(sys.executable, "-m", "mypy")


def test_who_imports_whom():
    run(str(BIN / "lint-imports"))


def test_top_level_holds_what_it_should_and_nothing_else():
    names = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=True).stdout.split("\n")
    top = {name.split("/")[0] for name in names if name and not name.startswith(".")}
    assert top == {"README.md", "DEVELOPERS.md", "pyproject.toml", "checkapp", "plans", "tests", "labels"}


@pytest.mark.parametrize("path", sorted((ROOT / "checkapp").rglob("*.py")), ids=lambda path: path.stem)
def test_rooms_stay_small(path):
    assert len(path.read_text(encoding="utf-8").splitlines()) <= 420


HEAVY = {"scipy", "matplotlib", "cv2", "reportlab", "kivy", "sqlalchemy", "alembic", "numpy", "PIL", "qrcode"}


@pytest.mark.parametrize(
    "words",
    [
        ["--version"],
        ["review", "plans/demo.toml", "--json"],
        ["plan", "schema"],
        ["plan", "diff", "plans/demo.toml", "plans/small.toml"],
        ["plan", "new", "--inputs", "24"],
    ],
    ids=lambda words: words[0],
)
def test_quick_commands_load_nothing_heavy(words):
    program = (
        "import sys, io, contextlib\n"
        "from checkapp.cli import main\n"
        "with contextlib.redirect_stdout(io.StringIO()), contextlib.suppress(SystemExit):\n"
        f"    main({words!r})\n"
        f"print(sorted({HEAVY!r} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", program], cwd=ROOT, capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
