"""The words of the fault sheet: what an item is, what to look at first, what to try, what each outcome would mean."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import TYPE_CHECKING, Final

from checkapp.rig.model import Input
from checkapp.show.suspects_text import percent
from checkapp.tongue import later, shown_names, shown_word, tr
from checkapp.tongue.numbers import number

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
    "cable": later("cable"),
    "hop": later("hop cable"),
    "port": later("port"),
    "box": later("box"),
    "supply": later("supply"),
    "source": later("source"),
}
_LOOK_FIRST: Final[dict[str, str]] = {
    "silent": later("muted? half latched? in the right socket?"),
    "wrong line": later("plugged one off? two swapped? patched right at the desk?"),
    "hum": later("near mains or dimmers? a second earth?"),
    "crackle": later("a loose or dirty plug?"),
    "low": later("a pad in? the wrong level setting? half latched?"),
    "distorted": later("too hot? the wrong level setting?"),
    "noisy": later("gain too high at the desk?"),
    "polarity": later("the polarity switch at the desk?"),
}
"""What to look at first, the cheapest things. Common practice, no source."""


def called(item: Item) -> str:
    """An item with what it is: ``hop cable HP01``, ``port RIGHT in 3``, ``source in 9``, ``chain FRONT``."""
    word = later("desk strip") if item.kind == "desk" else _KINDS.get(item.kind, "")
    name = item.name.removeprefix("desk ") if item.kind == "desk" else item.name
    name = shown_names(name)
    return f"{shown_word(word)} {name}" if word and not item.name.startswith((f"{word} ", "load ")) else name


def spoken(line: Line) -> str:
    """A line as it is called out: ``9 Tom 2``, ``out 2 Wedge``."""
    return f"{line.number if isinstance(line, Input) else line.line} {line.name}"


def title_words(work: Work, item: str, line: Line, other: str) -> str:
    """What to do, in a few words."""
    if work == "swap":
        return tr("Swap {item} for a good one", item=item)
    if work == "bypass":
        return tr("Move {line} to {port}", line=spoken(line), port=other)
    if work == "listen":
        return tr("Listen to {line}", line=spoken(line))
    return tr("Reseat {item}", item=item) if work == "reseat" else tr("Mend {item}", item=item)


def outcome_words(work: Work, item: str, meaning: Meaning | None) -> str:
    """What each outcome of a test would mean."""
    if meaning is None:
        return ""
    words = []
    if meaning.ok:
        words.append(tr("If ok: {blamed}.", blamed=_blamed(meaning.ok, item if work == "swap" else "")))
    if meaning.faulty:
        blamed = _blamed(meaning.faulty, "")
        still = work != "listen"
        words.append(
            tr("If still faulty: {blamed}.", blamed=blamed) if still else tr("If faulty: {blamed}.", blamed=blamed)
        )
    return " ".join(words)


def _blamed(suspect: Suspect, swapped: str) -> str:
    name, chance = suspect.item.name, percent(suspect.probability)
    if swapped and name == swapped:
        return tr("it was {item}, {chance}", item=name, chance=chance)
    return tr("most likely {item}, {chance}", item=name, chance=chance)


def minutes_words(minutes: float) -> str:
    """How long something takes: ``20 s``, ``1.5 min``."""
    return f"{5 * round(12 * minutes)} s" if minutes < 0.9 else f"{number(minutes, 6)} min"


def look_first(symptoms: Collection[str | None], *, phantom: bool) -> str:
    """What to look at before anything is pulled, for what was heard on the faulty lines."""
    known = [shown_word(_LOOK_FIRST[one]) for one in _LOOK_FIRST if one in symptoms]
    if phantom and "silent" in symptoms:
        known.append(tr("phantom shown as on where the plan has it? Look, never switch it as a guess."))
    return tr("Look first: {words}", words=" ".join(known)) if known else ""


def work_words(rig: Rig, work: Work, item: str, kind: str) -> str:
    """What a repair means, and how much drops out with it."""
    words = {
        "reseat": tr("Both ends out and in again"),
        "swap": tr("A known good one in its place"),
        "mend": tr("Put right where it is, muted, by somebody with the tools; else swap it"),
        "bypass": tr("Its line to a free port"),
    }[work]
    if work == "reseat" and kind not in ("cable", "hop"):
        words = _reseat_words(rig, item, kind)
    lines = len(lines_of(rig, item))
    then = tr("{what}, then listen.", what=words)
    return f"{then} {tr('All {count} lines through it drop out.', count=lines)}" if lines > 1 else then


def _reseat_words(rig: Rig, item: str, kind: str) -> str:
    """What reseating means for what is no cable."""
    if is_passive(rig, item):
        return tr("Its multicore's plugs")
    known = {
        "source": tr("Is it on, is it plugged"),
        "desk": tr("Patch, gain, mute, pad"),
        "chain": tr("Its plug at the desk"),
        "box": tr("Its lamps, its link plugs"),
    }
    return known.get(kind, tr("Is it plugged"))


def is_passive(rig: Rig, item: str) -> bool:
    """Whether an item is a passive box."""
    return item in rig.boxes and rig.box_kind(rig.boxes[item]).passive


def lines_of(rig: Rig, item: str) -> Sequence[Line]:
    """The lines that run through an item."""
    return [line for line in rig.lines if any(step.name == item for step in rig.path(line.line))]
