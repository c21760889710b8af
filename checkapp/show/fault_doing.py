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
from checkapp.tongue import later, shown_names, shown_word, tr
from checkapp.tongue.numbers import either

if TYPE_CHECKING:
    from checkapp.rig.model import Line
    from checkapp.rig.rig import Rig
    from checkapp.rig.words import ItemKind
    from checkapp.show.fault_views import Work

_UNPLUG: Final[dict[str, str]] = {
    "source": later("Check that {item} is on and plugged; unplug it and plug it in again."),
    "cable": later("Unplug both ends of {item} and plug them in again until they latch."),
    "hop": later("Unplug both ends of {item} and plug them in again until they latch."),
    "port": later("Unplug {item} and plug it in again until it latches."),
    "box": later("Look at the lamps of {item}; unplug both its link plugs and plug them in again. Leave the mains in."),
    "chain": later("Unplug {item} at the desk and plug it in again."),
    "supply": later("Have the breaker and the plugs of {item} looked at."),
    "desk": later("Look at what {item} is patched to, its gain, its mute and its pad."),
}
_ANYTHING: Final = later("Unplug {item} and plug it in again.")
_MOST_SPARES: Final = 3


def steps_of(rig: Rig, work: Work, item: str, kind: ItemKind | None, line: Line, other: str) -> tuple[str, ...]:
    """What to do, one thing after another; last the line is listened to."""
    if work == "listen":
        return _listening(line)
    first = _mute_words(rig, item, line, work)
    last = tr("Unmute {line} alone and listen, with the PA muted.", line=spoken(line))
    if work == "bypass":
        plug = tr("the plug of {cable}", cable=line.cable) if line.cable else tr("the plug")
        patch = tr("At the desk, patch {line} to {port}.", line=spoken(line), port=other)
        return (
            first,
            tr("Pull {plug} out of {old} and put it into {new}.", plug=plug, old=line.port, new=other),
            patch,
            last,
        )
    if work == "swap":
        return (
            first,
            tr("Unplug {item} and lay it aside.", item=f"{item}{_ends(rig, item)}"),
            _put_in(rig, item, other),
            last,
        )
    if work == "mend":
        return (first, tr("Put {item} right: only with the right tools and the right person.", item=item), last)
    if is_passive(rig, item):
        return (first, tr("Unplug the multicore of {item} and plug it in again until it latches.", item=item), last)
    return (first, shown_word(_UNPLUG.get(kind or "", _ANYTHING)).format(item=shown_names(item)), last)


def _listening(line: Line) -> tuple[str, ...]:
    if isinstance(line, Input):
        return (
            tr("Have somebody speak or play at {line}, or tap it.", line=spoken(line)),
            tr("With the PA muted, listen to {line} alone, in the headphones.", line=spoken(line)),
        )
    warn = tr("Warn who stands at {line}.", line=spoken(line))
    return warn, tr("Send to {line} alone, low first, and listen there.", line=spoken(line))


def _mute_words(rig: Rig, item: str, line: Line, work: Work) -> str:
    """What is muted first: the one line, or all that run through the item."""
    lines = lines_of(rig, item) if work != "bypass" else [line]
    if len(lines) <= 1:
        return tr("Mute {line} at the desk.", line=spoken(line))
    these = named(rig, [one.line for one in lines])
    return tr("Mute all {count} lines through {item}: {lines}.", count=len(lines), item=item, lines=these)


def _ends(rig: Rig, item: str) -> str:
    """Where the ends of a cable are: ``, A at LEFT in 5, B at DROP``; of a fan with many ends nothing."""
    ends = [one for one in connections(rig) if one.cable == item] if item in rig.cables else []
    return (
        "".join(", " + tr("{end} at {socket}", end=one.end, socket=one.into) for one in ends) if len(ends) == 2 else ""
    )


def _put_in(rig: Rig, item: str, other: str) -> str:
    if other:
        return tr("Put {item} in its place.", item=other)
    cable = rig.cables.get(item)
    spares = [one.code for one in free_cables(rig) if cable and one.spare and one.kind == cable.kind]
    if not spares:
        return tr("Put a known good one in its place, and scan it.")
    known = either(spares[:_MOST_SPARES])
    return tr("Put a known good one in its place, for example {spares}, and scan it.", spares=known)


def caution_for(rig: Rig, work: Work, item: str, kind: ItemKind | None, line: Line) -> str:
    """What to mind: mains, phantom power and on which lines, or that the line is muted before anything is plugged."""
    if work == "listen":
        return ""
    lines = [line, *(lines_of(rig, item) if work != "bypass" else [])]
    own_supply = kind == "box" and item in rig.boxes and rig.boxes[item].supply
    mains = shown_word(MAINS) if kind == "supply" or own_supply else ""
    return " ".join(words for words in (mains, _phantom(rig, lines) or shown_word(MUTE)) if words)


def _phantom(rig: Rig, lines: Sequence[Line]) -> str:
    on = {one.line for one in lines if isinstance(one, Input) and one.phantom}
    if not on:
        return ""
    by_plan = tr("By the plan it is on for {lines}.", lines=named(rig, on))
    return f"{shown_word(PHANTOM)} {by_plan} {shown_word(NO_GUESS)}"
