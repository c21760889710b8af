"""The words of the fault sheet: what an item is, what to try, how it is done, what each outcome would mean."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Final

from checkapp.rig.model import Input
from checkapp.show.card_words import phantom_of
from checkapp.show.cautions import MAINS, MUTE
from checkapp.show.suspects_text import percent

if TYPE_CHECKING:
    from checkapp.diagnose.meaning import Meaning
    from checkapp.diagnose.posterior import Suspect
    from checkapp.rig.model import Item, Line
    from checkapp.rig.rig import Rig
    from checkapp.rig.words import ItemKind
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
_UNPLUG: Final[dict[str, str]] = {
    "source": "Check that {item} is on and plugged; unplug it and plug it in again.",
    "cable": "Unplug both ends of {item} and plug them in again until they latch.",
    "hop": "Unplug both ends of {item} and plug them in again until they latch. All that runs over it drops out.",
    "port": "Unplug {item} and plug it in again until it latches.",
    "box": "Check the lamps of {item} and both its link plugs; switch it off and on. All that runs over it drops out.",
    "chain": "Unplug {item} at the desk and plug it in again. All that runs over it drops out.",
    "supply": "Have the breaker and the plugs of {item} looked at.",
    "desk": "Look at what {item} is patched to, its gain, its mute and its pad.",
}


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
    word = "it is" if swapped and suspect.item.name == swapped else "then"
    return f"{word} {suspect.item.name}, {percent(suspect.probability)}"


def steps_of(rig: Rig, work: Work, item: str, kind: ItemKind | None, line: Line, other: str) -> tuple[str, ...]:
    """What to do, one thing after another; last the line is listened to."""
    listen = f"Listen to {spoken(line)}, alone."
    if work == "listen":
        return (f"Have somebody speak, play or scratch {spoken(line)} at the stage.", listen)
    through = _mute_words(rig, item, line, work)
    if work == "bypass":
        cable = f"the plug of {line.cable}" if line.cable else "the plug"
        patch = f"At the desk, patch {spoken(line)} to {other}."
        return (through, f"Pull {cable} out of {line.port} and put it into {other}.", patch, listen)
    if work == "swap":
        took = f"Take {item} out and lay it aside." if kind != "source" else f"Unplug {item} and lay it aside."
        return (through, took, f"Put a known good one in the place of {item} and scan it.", listen)
    if work == "mend":
        return (through, f"Mend {item}: only with the right tools and the right person.", listen)
    return (through, _UNPLUG.get(kind or "", "Unplug {item} and plug it in again.").format(item=item), listen)


def _mute_words(rig: Rig, item: str, line: Line, work: Work) -> str:
    """What is muted first: the one line, or all that run through the item."""
    names = lines_of(rig, item) if work != "bypass" else [line]
    return f"Mute {spoken(line)} at the desk." if len(names) <= 1 else f"Mute all {len(names)} lines through {item}."


def caution_for(rig: Rig, work: Work, item: str, kind: ItemKind | None, line: Line) -> str:
    """What to mind: mains, phantom power, or that the line is muted before anything is plugged."""
    if work == "listen":
        return ""
    lines = [line, *(lines_of(rig, item) if work != "bypass" else [])]
    own_supply = kind == "box" and item in rig.boxes and rig.boxes[item].supply
    mains = MAINS if kind == "supply" or own_supply else ""
    phantom = phantom_of(lines)
    never = "Phantom power is never switched as a guess." if phantom else ""
    return " ".join(words for words in (mains, phantom or MUTE, never) if words)


def lines_of(rig: Rig, item: str) -> Sequence[Line]:
    """The lines that run through an item."""
    return [line for line in rig.lines if any(step.name == item for step in rig.path(line.line))]
