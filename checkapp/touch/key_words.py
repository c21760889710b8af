"""The keys in words: what is written on each, and what it does."""

from __future__ import annotations

from checkapp.tongue import tr
from checkapp.touch.keys import ESCAPE, WALK_KEYS


def key_words() -> tuple[tuple[str, str], ...]:
    """The keys that a keyboard, a presenter's remote or a hand scanner may send, and what they do, in the order of use.

    Keys that do the same stand together.
    """
    does, names = _does(), _names()
    walk: dict[str, list[str]] = {}
    for key, action in WALK_KEYS.items():
        walk.setdefault(action, []).append(names.get(key, chr(key).upper() if 32 < key < 127 else str(key)))
    rows = [(", ".join(keys), does.get(action, action)) for action, keys in walk.items()]
    return (
        *rows,
        (tr("a number, Enter"), tr("on the walk: go to the line of that number; O for an output")),
        (tr("1 to 8"), tr("what was heard on a faulty line, in the order of the screen")),
        (tr("plus, minus"), tr("the picture larger, smaller")),
        (tr("Ctrl and 1 to 7"), tr("to the places of the strip, in its order")),
        (names[ESCAPE], tr("back to where you came from; from the walk at the second time")),
        (tr("a hand scanner"), tr("a tag, on any screen")),
    )


def _does() -> dict[str, str]:
    return {
        "ok": tr("ok"),
        "faulty": tr("faulty"),
        "undo": tr("take the last mark back"),
        "back": tr("the line before"),
        "forward": tr("the next line"),
        "skip": tr("leave the line open and go on"),
    }


def _names() -> dict[int, str]:
    return {
        ESCAPE: tr("Escape"),
        32: tr("space"),
        276: tr("left"),
        46: tr("full stop"),
        273: tr("up"),
        280: tr("page up"),
        275: tr("right"),
        274: tr("down"),
        281: tr("page down"),
    }
