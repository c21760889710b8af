"""A file to the printer, through the system's own print command."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path
from typing import Final

from checkapp.rig.errors import CheckappError, printable
from checkapp.tongue import tr

_COMMANDS: Final = ("lp", "lpr")
_AS_LARGE: Final = ("-o", "print-scaling=none")
"""Labels must come out in their true size, not fitted to the page."""
_LIMIT_S: Final = 60.0


class NotPrinted(CheckappError):
    """The print command would not take the file."""


def print_command() -> str:
    """The system's own print command; empty where there is none."""
    if sys.platform == "win32":
        return "print"
    return next((found for found in map(shutil.which, _COMMANDS) if found), "")


def print_file(file: Path) -> str:
    """Give a file to the print command, which takes a copy of it; what the command said, in one line.

    On Windows the program that shows such files prints it, and goes on needing the file. `NotPrinted`: there is no
    command, or it would not take the file.
    """
    if sys.platform == "win32":
        return _hand_over(file)
    command = print_command()
    if not command:
        raise NotPrinted(tr("no print command on this machine; save the file and print it on another"))
    words = [command, *_AS_LARGE, str(file)]
    try:
        done = subprocess.run(words, stdin=subprocess.DEVNULL, capture_output=True, check=False, timeout=_LIMIT_S)
    except subprocess.TimeoutExpired:
        raise _not_printed(command, tr("no answer for {seconds} s", seconds=f"{_LIMIT_S:.0f}")) from None
    except OSError as error:
        raise _not_printed(command, error.strerror or str(error)) from None
    said = " ".join(done.stdout.decode(errors="replace").split())
    if done.returncode != 0:
        why = " ".join(done.stderr.decode(errors="replace").split()) or said
        raise _not_printed(command, why or tr("it ended with {status}", status=done.returncode))
    return printable(said, 200)


def _hand_over(file: Path) -> str:
    import os

    try:
        os.startfile(file, "print")  # type: ignore[attr-defined, unused-ignore]
    except OSError as error:
        raise _not_printed("print", error.strerror or str(error)) from None
    return ""


def _not_printed(command: str, why: str) -> NotPrinted:
    known = {"command": Path(command).name, "why": printable(why, 200)}
    return NotPrinted(tr("{command}: not printed: {why}; look at the printer, or save the file", **known))
