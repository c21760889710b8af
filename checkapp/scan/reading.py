"""What was scanned or typed, to a rig: an item, a port, a line, hired gear, yesterday's tag, or none of these.

Whatever the text is, the answer is plain words; nothing of it is run, opened or used as a path.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final, Literal

from checkapp.rig.codes import (
    DESK,
    Tag,
    link_tail,
    read_line,
    read_port,
    read_tags,
    squeezed,
    without_hyphens,
    written_tag,
)
from checkapp.rig.errors import CheckappError, UnknownCode, WrongCheckCharacter, printable
from checkapp.rig.rig import Rig
from checkapp.scan.burst import BurstReader, readings, tails
from checkapp.tongue import tr, trn

Kind = Literal["item", "older", "foreign", "port", "line", "desk", "check", "unknown", "web", "strange", "unclear"]
"""What a reading is.

``item``: something of this rig. ``older``: likewise, from a show tag of an older plan. ``foreign``: a good tag of
something that this rig does not have. ``port``, ``line``, ``desk``: typed in words. ``check``: a wrong check character.
``unknown``: it could be a code, and the rig has none such. ``web``: a web address. ``strange``: nothing that is on a
tag. ``unclear``: a hand scanner's keys came in such a way that it is not sure which tag it was.
"""
_MOST_SHOWN: Final = 60
_LONGEST: Final = 400
_TYPED: Final = re.compile(r"[A-Z0-9.\- ]{1,40}", re.ASCII | re.IGNORECASE)
_PLAIN: Final = re.compile(r"[!-~](?:[ -~]*[!-~])?", re.ASCII)
_SOCKET: Final = re.compile(r"([A-Z0-9-]{1,10}) link (in|out)", re.ASCII | re.IGNORECASE)
_MARK_LENGTH: Final = 4


@dataclass(frozen=True, slots=True)
class Reading:
    """What a text is to a rig.

    ``text`` is what was read, safe to show, cut. ``words`` say what it is, ``more`` what to do or what else there is to
    know. ``name`` is the rig's name for it, a cable's with its end where that is known (``HP01 A``), a port, a socket
    or a line; ``item`` the item as `Rig.resolve` names it. Both are empty where the rig has no such thing. ``tag`` is
    the tag that was read or typed, with its mark; None where an item was only named.
    """

    text: str
    kind: Kind
    words: str
    more: str = ""
    name: str = ""
    item: str = ""
    tag: Tag | None = None


def read_scan(text: str, rig: Rig) -> Reading:
    """What was read by the camera, or typed: everything that a person may type is taken."""
    words = text.strip() if len(text) <= _LONGEST else ""
    if not _PLAIN.fullmatch(words):
        return strange(text)
    words = " ".join(words.split())
    tail = link_tail(words)
    if tail is not None:
        found = _whole(tail, rig)
        return replace(found, text=shown(text)) if found else _web(text)
    found = _named(words, rig) or _whole(words, rig) or _typed(words, rig)
    return replace(found, text=shown(text))


def read_hand_scan(text: str, rig: Rig, before: str = "") -> Reading:
    """What a hand scanner sent as keys: a whole tag, alone or at the end of a link, and nothing less.

    Keys that came through the wrong keyboard, that were dropped or repeated are put right where it is sure which tag
    was sent. ``before`` is the text of the scan before it if that was ``unclear``: some doubts are settled by what
    comes twice.
    """
    found = BurstReader(rig.tags, rig.mark).read(text, before)
    if found.foreign is not None:
        return replace(of_foreign(found.foreign, rig), text=shown(text))
    if found.tag is not None and found.sure:
        return replace(of_tag(found.tag, rig), text=shown(text))
    if found.tag is None and any(link_tail(meant) is not None for meant in readings(text.strip())):
        return _web(text)
    if not tails(text):
        return strange(text)
    again = tr("Scan it again, or type the code.")
    if found.tag:
        near = tr("Perhaps {item}.", item=of_tag(found.tag, rig).name)
    else:
        near = tr('It reads "{text}".', text=shown(text))
    return Reading(shown(text), "unclear", tr("Not read clearly"), f"{near} {again}")


def shown(text: str) -> str:
    """The text on one line, without control and direction marks, cut: harmless where it is shown."""
    return printable(text.strip()[: 2 * _MOST_SHOWN], _MOST_SHOWN)


def strange(text: str) -> Reading:
    """The answer to what can be on no tag."""
    if not text.strip():
        return Reading("", "strange", tr("Nothing was read"), tr("Scan again, or type the code."))
    length = trn("{count} character.", "{count} characters.", len(text)) + " " if len(text) > _MOST_SHOWN else ""
    return Reading(shown(text), "strange", tr("That is no tag"), length + tr("Scan a tag, or type its code."))


def _web(text: str) -> Reading:
    more = tr("It was not opened. Scan a tag, or type its code.")
    return Reading(shown(text), "web", tr("That is a web address, not a tag"), more)


# -- names: ports, lines and items without a tag


def _named(words: str, rig: Rig) -> Reading | None:
    """What is named in words; None when it may be a tag or a code."""
    if words.upper() == DESK:
        return Reading(words, "desk", tr("The desk"), name=DESK)
    socket = _SOCKET.fullmatch(words)
    if socket:
        return _socket(words, socket[1].upper(), socket[2].lower(), rig)
    head, _, tail = words.partition(" ")
    port, line = read_port(f"{head.upper()} {tail.lower()}"), read_line(words)
    if port is None and (line is None or words.upper() in rig.items):
        return None
    try:
        if line:
            name = rig.line(words).line
            return Reading(words, "line", name, name=name)
        item = rig.resolve(words)
    except UnknownCode as error:
        return Reading(words, "unknown", *_said(error))
    kind, name = rig.items[item], f"{DESK}{item[len(DESK) :]}" if rig.items[item] == "desk" else item
    return Reading(words, "port" if kind in ("port", "desk") else "item", name, name=name, item=item)


def _socket(words: str, code: str, way: str, rig: Rig) -> Reading:
    name, box = f"{code} link {way}", rig.boxes.get(code)
    if box is None or rig.box_kind(box).passive:
        passive = box is not None
        more = (
            tr("{box} is passive: it has no link sockets.", box=code)
            if passive
            else tr("The rig has no box {box}.", box=code)
        )
        return Reading(words, "unknown", tr("No socket {socket}", socket=name), more)
    return Reading(words, "port", name, name=name)


# -- whole tags, whichever rig they are of


def _whole(text: str, rig: Rig) -> Reading | None:
    """What a whole tag with its dots is; None for what is none."""
    written = written_tag(text)
    if written is None:
        return None
    if not written.fits:
        typed = _typed(text, rig)
        wrong = tr('"{text}": the check character does not fit', text=shown(text))
        return replace(typed, kind="check", words=wrong) if typed.kind == "unknown" else typed
    known = known_tag(written.tag, rig.tags)
    return of_tag(replace(known, mark=written.tag.mark), rig) if known else of_foreign(written.tag, rig)


def known_tag(tag: Tag, tags: Sequence[Tag]) -> Tag | None:
    """The lasting tag of the rig for the same thing and end, whatever the mark; hyphens may be left out."""
    body = without_hyphens(replace(tag, mark="").body)
    return next((one for one in tags if without_hyphens(one.body) == body), None)


def of_tag(tag: Tag, rig: Rig) -> Reading:
    """The reading of a tag of the rig; with a mark, of a show tag."""
    item = f"chain {tag.code}" if tag.code in rig.chains else tag.code
    name = f"{tag.code} {tag.end}" if tag.end else item
    if tag.mark in ("", rig.mark):
        return Reading(tag.text, "item", name, "", name, item, tag)
    more = tr("Go by the screen, not by that label, and take it off: an old label misleads.")
    return Reading(tag.text, "older", tr("{item}; its label is from an older plan", item=name), more, name, item, tag)


def of_foreign(tag: Tag, rig: Rig) -> Reading:
    """The reading of a good tag of something that the rig does not have."""
    words = tr("{item} of {owner} is not in this rig", item=tag.code, owner=tag.owner)
    if any(one.item == tag.item for one in rig.tags):
        never = tr("{tag} is on no label of {item}", tag=tag.text, item=tag.code)
        return Reading(tag.text, "unknown", never, tr("Scan its label again."))
    ours = tag.owner == rig.owner
    more = tr("It is ours, but this plan has no use for it.") if ours else tr("{owner} owns it.", owner=tag.owner)
    return Reading(tag.text, "foreign", words, more, tag=tag)


# -- typed codes


def _typed(words: str, rig: Rig) -> Reading:
    """What a person may type: any spelling of a code, a tag or an item of the rig."""
    if not _TYPED.fullmatch(words):
        return strange(words)
    try:
        item = rig.resolve(words)
    except WrongCheckCharacter as error:
        return Reading(words, "check", *_said(error))
    except UnknownCode as error:
        return Reading(words, "unknown", *_said(error))
    tags = () if item.upper() == words.upper() else read_tags(words, rig.tags)
    if len(tags) == 1:
        return of_tag(replace(tags[0], mark=_mark_in(words, tags[0])), rig)
    return Reading(words, "item", item, name=item, item=item)


def _mark_in(words: str, tag: Tag) -> str:
    """The mark of a show tag of the tag's item that was typed, dots or not, owner or not; empty for other spellings."""
    key = squeezed(words.upper().replace(" ", ""))
    spelt = squeezed(replace(tag, mark=key[-_MARK_LENGTH - 1 : -1]).text)
    return key[-_MARK_LENGTH - 1 : -1] if key in (spelt, spelt[len(tag.owner) :]) else ""


def _said(error: CheckappError) -> tuple[str, str]:
    """What is wrong and what would be right, which an error's message parts with a semicolon."""
    wrong, _, right = str(error).partition("; ")
    dot = "" if not right or right.endswith("?") else "."
    return wrong[:1].upper() + wrong[1:], f"{right[:1].upper()}{right[1:]}{dot}"
