"""How a test or a repair is done: what to mute, pull and plug, one thing after another, and what to mind."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Final

from checkapp.rig.connections import connections
from checkapp.rig.model import Input
from checkapp.rig.occupied import free_cables
from checkapp.show.cautions import MAINS, MUTE, NO_GUESS, PHANTOM
from checkapp.show.fault_words import is_passive, lines_of, spoken
from checkapp.show.suspect_words import named

if TYPE_CHECKING:
    from checkapp.rig.model import Line
    from checkapp.rig.rig import Rig
    from checkapp.rig.words import ItemKind
    from checkapp.show.fault_views import Work

_UNPLUG: Final[dict[str, str]] = {
    "source": "Check that {item} is on and plugged; unplug it and plug it in again.",
    "cable": "Unplug both ends of {item} and plug them in again until they latch.",
    "hop": "Unplug both ends of {item} and plug them in again until they latch.",
    "port": "Unplug {item} and plug it in again until it latches.",
    "box": "Look at the lamps of {item}; unplug both its link plugs and plug them in again. Leave the mains in.",
    "chain": "Unplug {item} at the desk and plug it in again.",
    "supply": "Have the breaker and the plugs of {item} looked at.",
    "desk": "Look at what {item} is patched to, its gain, its mute and its pad.",
}
_MOST_SPARES: Final = 3


def steps_of(rig: Rig, work: Work, item: str, kind: ItemKind | None, line: Line, other: str) -> tuple[str, ...]:
    """What to do, one thing after another; last the line is listened to."""
    if work == "listen":
        return _listening(line)
    first = _mute_words(rig, item, line, work)
    last = f"Unmute {spoken(line)} alone and listen, with the PA muted."
    if work == "bypass":
        plug = f"the plug of {line.cable}" if line.cable else "the plug"
        patch = f"At the desk, patch {spoken(line)} to {other}."
        return (first, f"Pull {plug} out of {line.port} and put it into {other}.", patch, last)
    if work == "swap":
        return (first, f"Unplug {item}{_ends(rig, item)} and lay it aside.", _put_in(rig, item, other), last)
    if work == "mend":
        return (first, f"Put {item} right: only with the right tools and the right person.", last)
    if is_passive(rig, item):
        return (first, f"Unplug the multicore of {item} and plug it in again until it latches.", last)
    return (first, _UNPLUG.get(kind or "", "Unplug {item} and plug it in again.").format(item=item), last)


def _listening(line: Line) -> tuple[str, ...]:
    if isinstance(line, Input):
        return (
            f"Have somebody speak or play at {spoken(line)}, or tap it.",
            f"With the PA muted, listen to {spoken(line)} alone, in the headphones.",
        )
    return (f"Warn who stands at {spoken(line)}.", f"Send to {spoken(line)} alone, low first, and listen there.")


def _mute_words(rig: Rig, item: str, line: Line, work: Work) -> str:
    """What is muted first: the one line, or all that run through the item."""
    lines = lines_of(rig, item) if work != "bypass" else [line]
    if len(lines) <= 1:
        return f"Mute {spoken(line)} at the desk."
    return f"Mute all {len(lines)} lines through {item}: {named(rig, [one.line for one in lines])}."


def _ends(rig: Rig, item: str) -> str:
    """Where the ends of a cable are: ``, A at LEFT in 5, B at DROP``; of a fan with many ends nothing."""
    ends = [one for one in connections(rig) if one.cable == item] if item in rig.cables else []
    return "".join(f", {one.end} at {one.into}" for one in ends) if len(ends) == 2 else ""


def _put_in(rig: Rig, item: str, other: str) -> str:
    if other:
        return f"Put {other} in its place."
    cable = rig.cables.get(item)
    spares = [one.code for one in free_cables(rig) if cable and one.spare and one.kind == cable.kind]
    known = f", for example {' or '.join(spares[:_MOST_SPARES])}" if spares else ""
    return f"Put a known good one in its place{known}, and scan it."


def caution_for(rig: Rig, work: Work, item: str, kind: ItemKind | None, line: Line) -> str:
    """What to mind: mains, phantom power and on which lines, or that the line is muted before anything is plugged."""
    if work == "listen":
        return ""
    lines = [line, *(lines_of(rig, item) if work != "bypass" else [])]
    own_supply = kind == "box" and item in rig.boxes and rig.boxes[item].supply
    mains = MAINS if kind == "supply" or own_supply else ""
    return " ".join(words for words in (mains, _phantom(rig, lines) or MUTE) if words)


def _phantom(rig: Rig, lines: Sequence[Line]) -> str:
    on = {one.line for one in lines if isinstance(one, Input) and one.phantom}
    if not on:
        return ""
    return f"{PHANTOM} By the plan it is on for {named(rig, on)}. {NO_GUESS}"
