"""The program's door: no words, or a plan alone, open the touch app; any other words are read as a command."""

import os
import sys
from pathlib import Path

from checkapp.rig.errors import CheckappError, printable

COMMANDS = (
    *("demo", "review", "tags", "scan", "card", "mark", "repair", "state", "suspects", "bench", "history"),
    *("journal", "plan"),
)


def main(words: list[str] | None = None) -> None:
    """Run the command that the words name (default: those of the command line), and leave with its exit status."""
    args = list(sys.argv[1:] if words is None else words)
    if args and not args[0].startswith("-") and args[0] not in COMMANDS:
        _refuse_misspelt(args[0])
        args = ["open-plan", *args]
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="backslashreplace")
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")  # to look for some among all packages takes a while
    try:
        _run(args)
    except CheckappError as error:
        sys.stderr.writelines(f"{line}\n" for line in error.lines)
        sys.exit(2)
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        sys.exit(1)


def _run(args: list[str]) -> None:
    """Open the app, or read the words; what reads them is loaded only then."""
    if not args or (args[0] == "open-plan" and len(args) == 2):
        from checkapp.touch.start import open_app

        open_app(*map(Path, args[1:]))
    else:
        from checkapp.cli_commands import app

        app(args, prog_name="checkapp")


def _refuse_misspelt(word: str) -> None:
    """End with status 2 when ``word`` looks like a command and is no file: it was meant as one."""
    if "." in word or Path(word).exists():
        return
    from difflib import get_close_matches

    near = get_close_matches(word, COMMANDS, n=1)
    if near:
        sys.stderr.write(f'no command and no plan "{printable(word, 40)}"; did you mean "{near[0]}"?\n')
        sys.exit(2)


if __name__ == "__main__":
    main()
