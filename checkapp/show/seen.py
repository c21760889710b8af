"""What a scan or a typed code is to a rig, as set-up asks: an end of a cable, a place, hired gear, or none of it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from checkapp.rig.codes import Tag, read_line, read_port, read_tags
from checkapp.rig.errors import CheckappError
from checkapp.rig.rig import Rig
from checkapp.rig.whole_tag import whole_tag
from checkapp.show.setup_views import Answer, ScanView

if TYPE_CHECKING:
    from checkapp.show.recording import Recorder


@dataclass(frozen=True, slots=True)
class Seen:
    """A scan as set-up takes it.

    ``name`` is the item, port, socket or line of the rig, empty for what is none; ``answer`` says then what it is.
    ``item`` is the item alone (empty for a line), ``end`` a cable's end as ``HP02 B``, ``open_end`` a cable without its
    end, ``box`` the box that is meant or that the port is on. ``foreign`` is a good tag of something the rig does not
    have. ``warning`` is said besides: the tag is from an older plan.
    """

    name: str = ""
    item: str = ""
    end: str = ""
    open_end: bool = False
    box: str = ""
    foreign: Tag | None = None
    warning: str = ""
    answer: Answer = Answer("look", "That was nothing", "Scan again, or type the code.")


def see(rig: Rig, text: str, *, burst: bool = False) -> Seen:
    """What was scanned or typed, to this rig."""
    line = read_line(text)
    if line:
        try:
            return Seen(rig.line(text).line)
        except CheckappError as error:
            return Seen(answer=Answer("look", str(error)))
    try:
        name = rig.resolve(text)
    except CheckappError as error:
        return Seen(foreign=whole_tag(text), answer=Answer("look", str(error)))
    seen = Seen(name, name)
    if name in rig.cables:
        tags = read_tags(text, rig.tags)
        if len(tags) == 2:
            return replace(seen, open_end=True)
        return replace(seen, name=f"{name} {tags[0].end}", end=f"{name} {tags[0].end}")
    strip = read_port(name.replace("desk ", "DESK ", 1))
    if name.startswith("desk ") and strip is not None:
        return Seen(str(strip))
    port = read_port(name)
    box = port.code if port else name
    return replace(seen, box=box if box in rig.boxes else "")


def read_scanned(recorder: Recorder, text: str, *, burst: bool = False) -> ScanView:
    """What was scanned or typed, to the rig as it runs, with its card."""
    from checkapp.show.card_lookup import find_card

    seen = see(recorder.running(), text, burst=burst)
    if not seen.name:
        return ScanView(seen.answer, None)
    card = find_card(recorder.rig, seen.name, recorder.journal)
    return ScanView(Answer("look" if seen.warning else "next", f"{seen.name}, {card.title}", seen.warning), card)
