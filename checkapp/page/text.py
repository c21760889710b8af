"""Words in a given width: cut with an ellipsis, or wrapped. What measures them is handed in."""

from collections.abc import Callable, Iterator

from checkapp.rig.errors import printable

ELLIPSIS = "…"
Measure = Callable[[str, bool], float]
"""Width of a text in parts of its size; the second argument says whether it is bold."""


def cut(text: str, most: float, width_of: Callable[[str], float]) -> str:
    """``text``, or as much of its beginning with an ellipsis as is at most ``most`` wide."""
    if width_of(text) <= most:
        return text
    for end in range(len(text) - 1, 0, -1):
        short = text[:end].rstrip() + ELLIPSIS
        if width_of(short) <= most:
            return short
    return ELLIPSIS


def wrap(text: str, most: float, width_of: Callable[[str], float], lines: int = 0) -> tuple[str, ...]:
    """``text`` on lines of at most ``most``, broken between words; a word that is longer is broken within.

    With ``lines`` above 0 it takes no more lines than that, and the last one is cut.
    """
    found: list[str] = []
    rest = " ".join(printable(text, 4000).split())
    for line in _lines(rest, most, width_of):
        if lines and len(found) == lines - 1:
            found.append(cut(rest, most, width_of))
            break
        found.append(line)
        rest = rest[len(line) :].lstrip()
    return tuple(found)


def _lines(text: str, most: float, width_of: Callable[[str], float]) -> Iterator[str]:
    while text:
        end = _fitting(text, most, width_of)
        if end < len(text):
            blank = text.rfind(" ", 1, end + 1)
            end = blank if blank > 0 else end
        yield text[:end]
        text = text[end:].lstrip()


def _fitting(text: str, most: float, width_of: Callable[[str], float]) -> int:
    """How many characters from the beginning fit, at least one."""
    low, high = 1, len(text)
    while low < high:
        middle = (low + high + 1) // 2
        if width_of(text[:middle]) <= most:
            low = middle
        else:
            high = middle - 1
    return low
