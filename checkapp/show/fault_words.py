"""The words of the fault sheet: what an item is, what to look at first, what to try, what each outcome would mean."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import TYPE_CHECKING, Final

from checkapp.rig.model import Input
from checkapp.show.suspects_text import percent

if TYPE_CHECKING:
    from checkapp.diagnose.meaning import Meaning
    from checkapp.diagnose.posterior import Suspect
    from checkapp.rig.model import Item, Line
    from checkapp.rig.rig import Rig
    from checkapp.show.fault_views import Work

WORKS: Final[dict[str, tuple[Work, ...]]] = {
    "source": ("reseat", "swap", "mend"),
    "cable": ("reseat", "swap", "mend"),
    "hop": ("reseat", "swap", "mend"),
    "port": ("reseat", "bypass", "mend"),
    "box": ("reseat", "swap", "mend"),
    "chain": ("reseat", "mend"),
    "supply": ("reseat", "swap", "mend"),
    "desk": ("reseat", "mend"),
}
"""What can be done about an item, the quickest first. Common practice, no source."""

_KINDS: Final[dict[str, str]] = {
    "cable": "cable",
    "hop": "hop cable",
    "port": "port",
    "box": "box",
    "supply": "supply",
    "source": "source",
}
_LOOK_FIRST: Final[dict[str, str]] = {
    "silent": "muted? half latched? in the right socket?",
    "wrong line": "plugged one off? two swapped? patched right at the desk?",
    "hum": "near mains or dimmers? a second earth?",
    "crackle": "a loose or dirty plug?",
    "low": "a pad in? the wrong level setting? half latched?",
    "distorted": "too hot? the wrong level setting?",
    "noisy": "gain too high at the desk?",
    "polarity": "the polarity switch at the desk?",
}
"""What to look at first, the cheapest things. Common practice, no source."""


def called(item: Item) -> str:
    """An item with what it is: ``hop cable HP01``, ``port RIGHT in 3``, ``source in 9``, ``chain FRONT``."""
    word = "desk strip" if item.kind == "desk" else _KINDS.get(item.kind, "")
    name = item.name.removeprefix("desk ") if item.kind == "desk" else item.name
    return f"{word} {name}" if word and not name.startswith((f"{word} ", "load ")) else name


def spoken(line: Line) -> str:
    """A line as it is called out: ``9 Tom 2``, ``out 2 Wedge``."""
    return f"{line.number if isinstance(line, Input) else line.line} {line.name}"


def title_words(work: Work, item: str, line: Line, other: str) -> str:
    """What to do, in a few words."""
    if work == "swap":
        return f"Swap {item} for a good one"
    if work == "bypass":
        return f"Move {spoken(line)} to {other}"
    if work == "listen":
        return f"Listen to {spoken(line)}"
    return f"{work.capitalize()} {item}"


def outcome_words(work: Work, item: str, meaning: Meaning | None) -> str:
    """What each outcome of a test would mean."""
    if meaning is None:
        return ""
    ok = f"If ok: {_blamed(meaning.ok, item if work == 'swap' else '')}" if meaning.ok else ""
    still = "faulty" if work == "listen" else "still faulty"
    faulty = f"If {still}: {_blamed(meaning.faulty, '')}" if meaning.faulty else ""
    return " ".join(f"{words}." for words in (ok, faulty) if words)


def _blamed(suspect: Suspect, swapped: str) -> str:
    word = "it was" if swapped and suspect.item.name == swapped else "most likely"
    return f"{word} {suspect.item.name}, {percent(suspect.probability)}"


def minutes_words(minutes: float) -> str:
    """How long something takes: ``20 s``, ``1.5 min``."""
    return f"{5 * round(12 * minutes)} s" if minutes < 0.9 else f"{minutes:g} min"


def look_first(symptoms: Collection[str | None], *, phantom: bool) -> str:
    """What to look at before anything is pulled, for what was heard on the faulty lines."""
    known = [_LOOK_FIRST[one] for one in _LOOK_FIRST if one in symptoms]
    if phantom and "silent" in symptoms:
        known.append("phantom shown as on where the plan has it? Look, never switch it as a guess.")
    return f"Look first: {' '.join(known)}" if known else ""


def work_words(rig: Rig, work: Work, item: str, kind: str) -> str:
    """What a repair means, and how much drops out with it."""
    words = {
        "reseat": "Both ends out and in again",
        "swap": "A known good one in its place",
        "mend": "Put right where it is, muted, by who has the tools; else swap it",
        "bypass": "Its line to a free port",
    }[work]
    if work == "reseat" and kind not in ("cable", "hop"):
        known = {"source": "Is it on, is it plugged", "desk": "Patch, gain, mute, pad", "chain": "Its plug at the desk"}
        box = "Its multicore's plugs" if is_passive(rig, item) else "Its lamps, its link plugs" if kind == "box" else ""
        words = box or known.get(kind, "Is it plugged")
    lines = len(lines_of(rig, item))
    return f"{words}, then listen. {f'All {lines} lines through it drop out.' if lines > 1 else ''}".strip()


def is_passive(rig: Rig, item: str) -> bool:
    """Whether an item is a passive box."""
    return item in rig.boxes and rig.box_kind(rig.boxes[item]).passive


def lines_of(rig: Rig, item: str) -> Sequence[Line]:
    """The lines that run through an item."""
    return [line for line in rig.lines if any(step.name == item for step in rig.path(line.line))]
