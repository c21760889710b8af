"""What a scan or a typed code is to a rig, as set-up asks: an end of a cable, a place, hired gear, or none of it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from checkapp.rig.codes import Tag
from checkapp.rig.rig import Rig
from checkapp.scan.reading import read_hand_scan, read_scan
from checkapp.show.setup_views import Answer, ScanView

if TYPE_CHECKING:
    from checkapp.show.recording import Recorder


@dataclass(frozen=True, slots=True)
class Seen:
    """A scan as set-up takes it.

    ``name`` is the item, port, socket or line of the rig, empty for what is none; ``answer`` says then what it is.
    ``item`` is the item alone (empty for a line), ``end`` a cable's end as ``HP02 B``, ``open_end`` a cable without its
    end, ``box`` the box that is meant or that the port is on. ``foreign`` is a good tag of something the rig does not
    have. ``warning`` is said besides: the tag is from an older plan. ``unclear`` is a hand scanner's text that was not
    sure: the same once more settles some doubts.
    """

    answer: Answer
    name: str = ""
    item: str = ""
    end: str = ""
    open_end: bool = False
    box: str = ""
    foreign: Tag | None = None
    warning: str = ""
    unclear: str = ""


def see(rig: Rig, text: str, *, burst: bool = False, before: str = "") -> Seen:
    """What was scanned or typed, to this rig.

    ``burst``: it came from a hand scanner; ``before`` is then what was ``unclear`` of the scan before.
    """
    reading = read_hand_scan(text, rig, before) if burst else read_scan(text, rig)
    answer = Answer("look", reading.words, reading.more)
    if reading.kind == "unclear":
        return Seen(answer, unclear=text)
    if not reading.name:
        return Seen(answer, foreign=reading.tag if reading.kind == "foreign" else None)
    warning = f"{reading.words}. {reading.more}" if reading.kind == "older" else ""
    seen = Seen(answer, reading.name, reading.item, warning=warning)
    if reading.item in rig.cables:
        named = reading.name != reading.item
        return replace(seen, end=reading.name if named else "", open_end=not named)
    box = reading.name.split(" ")[0] if reading.kind == "port" else reading.item
    return replace(seen, box=box if box in rig.boxes else "")


def read_scanned(recorder: Recorder, seen: Seen) -> ScanView:
    """What was scanned or typed, to the rig as it runs, with its card."""
    from checkapp.show.card_lookup import find_card

    if not seen.name:
        return ScanView(seen.answer, None)
    seen = minded(recorder, seen)
    card = find_card(recorder.rig, seen.name, recorder.journal)
    return ScanView(Answer("look" if seen.warning else "next", f"{seen.name}, {card.title}", seen.warning), card)


def minded(recorder: Recorder, seen: Seen) -> Seen:
    """The same, with the warning that the item was taken out because of a fault."""
    from checkapp.show.fault_list import out_words

    out = out_words(recorder, seen.item) if seen.item else ""
    if not out:
        return seen
    return replace(seen, warning=f"{seen.warning.removesuffix('.')}. {out}" if seen.warning else out)
