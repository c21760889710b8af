"""What can be wrong with a spreadsheet that we were given."""

from checkapp.rig.errors import Fault, FileRefused
from checkapp.tongue import shown_word


class SheetRefused(FileRefused):
    """A file that is no spreadsheet that can be read, or one that is made to do harm."""


def refused(name: str, wrong: str, right: str, line: int = 0) -> SheetRefused:
    """The error for file ``name``: what is wrong and what would be right; ``line`` 0 speaks of the whole file."""
    return SheetRefused([Fault(name, line, "", "", "", shown_word(wrong), shown_word(right))])
