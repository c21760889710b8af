"""Tags in a picture or a video: what was read, and what each is in a rig."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final, Literal

from checkapp.review.summary import counted
from checkapp.rig.codes import Tag, link_tail, written_tag
from checkapp.rig.errors import printable
from checkapp.rig.planfile import load_plan
from checkapp.rig.rig import Rig

if TYPE_CHECKING:
    from checkapp.scan.bent import Corners
    from checkapp.scan.codes import Sighting

TAGS: Final = frozenset({"tag", "item", "older", "foreign"})
"""The kinds of what was read that are tags, ``tag`` being one told without a plan; see `checkapp.scan.reading`."""
_MOST_SHOWN: Final = 60


@dataclass(frozen=True, slots=True)
class CodeRead:
    """One code that was read, and what it is.

    ``text`` is what it holds, whatever that is; ``shown`` the same, safe to print. ``tag`` is the tag it carries,
    ``name`` the rig's name for it (``HP01 A``) and ``item`` the item, all empty where there is none. ``words`` say what
    it is, ``more`` what to do. ``corners`` are pixels of the picture; ``at_s`` is when it was first seen in a video, in
    seconds from its beginning, None in a picture.
    """

    text: str
    shown: str
    kind: str
    tag: str
    name: str
    item: str
    words: str
    more: str
    corners: Corners
    at_s: float | None

    @property
    def is_tag(self) -> bool:
        """Whether it is a tag, of whatever rig."""
        return self.kind in TAGS


@dataclass(frozen=True, slots=True)
class Scanned:
    """All that was read from a file; ``rig`` is the name of the rig it was held against, empty for none."""

    file: str
    medium: Literal["picture", "video"]
    rig: str
    codes: tuple[CodeRead, ...]

    @property
    def tags(self) -> tuple[CodeRead, ...]:
        """The tags among the codes."""
        return tuple(code for code in self.codes if code.is_tag)

    @property
    def others(self) -> tuple[CodeRead, ...]:
        """The codes that are no tags."""
        return tuple(code for code in self.codes if not code.is_tag)


def scan_file(path: Path, plan: Path | None = None) -> Scanned:
    """Read the codes in a picture or a video file, each text once; with a plan say what each is in its rig.

    Errors: those of the plan, `NoPicture`, `PictureRefused`, `VideoRefused`, `NoOpenCv`.
    """
    from checkapp.scan.picture import NoPicture, read_picture
    from checkapp.scan.video import is_video

    rig = load_plan(plan) if plan is not None else None
    name = rig.name if rig else ""
    try:
        codes = tuple(_code_read(one, None, rig) for one in read_picture(path))
    except NoPicture:
        if not is_video(path):
            raise
        codes = tuple(_code_read(one, at_s, rig) for one, at_s in _read_video(path))
        return Scanned(str(path), "video", name, codes)
    return Scanned(str(path), "picture", name, codes)


def _read_video(path: Path) -> list[tuple[Sighting, float]]:
    """Each text of a video with when it was first seen."""
    from checkapp.scan.video import looks

    found: dict[str, tuple[Sighting, float]] = {}
    with _progress() as bar:
        for look in looks(path):
            for one in look.found:
                found.setdefault(one.text, (one, look.at_s))
            bar(look.done)
    return list(found.values())


def _code_read(seen: Sighting, at_s: float | None, rig: Rig | None) -> CodeRead:
    known = _by_itself(seen.text) if rig is None else _in_rig(seen.text, rig)
    return CodeRead(seen.text, printable(seen.text.strip(), _MOST_SHOWN), *known, seen.corners, at_s)


Known = tuple[str, str, str, str, str, str]


def _in_rig(text: str, rig: Rig) -> Known:
    """Kind, tag, name, item, words and what to do."""
    from checkapp.scan.reading import read_scan
    from checkapp.show.card_making import card_of

    reading = read_scan(text, rig)
    tag = reading.tag.text if reading.tag else ""
    title = card_of(rig, reading.item, reading.tag.end if reading.tag else "").title if reading.item else ""
    words = f"{reading.words}, {title}" if title else reading.words
    return reading.kind, tag, reading.name, reading.item, words, reading.more


def _by_itself(text: str) -> Known:
    """The same of a code of which no rig is known: whether it is a tag at all."""
    words = text.strip()
    tail = link_tail(words)
    written = written_tag(words if tail is None else tail)
    if written is None:
        kind, said = ("strange", "no tag") if tail is None else ("web", "a web address, no tag; it was not opened")
        return kind, "", "", "", said, ""
    if not written.fits:
        return "check", "", "", "", "the check character does not fit", "Scan the tag again, or type its code."
    return "tag", written.tag.text, "", "", _told(written.tag), ""


def _told(tag: Tag) -> str:
    return f"{tag.code} {tag.end} of {tag.owner}" if tag.end else f"{tag.code} of {tag.owner}"


def status(found: Scanned) -> int:
    """The exit status: 0, or 1 when no tag was read."""
    return 0 if found.tags else 1


def document(found: Scanned) -> dict[str, Any]:
    """All that was read as one JSON document; what is not known is null."""
    return {
        "file": found.file,
        "medium": found.medium,
        "rig": found.rig or None,
        "tags": [_entry(code) for code in found.tags],
        "others": [_entry(code) for code in found.others],
    }


def _entry(code: CodeRead) -> dict[str, Any]:
    entry = {key: None if value == "" else value for key, value in asdict(code).items()}
    return {**entry, "corners": [list(corner) for corner in code.corners]}


def lines_of(found: Scanned) -> Iterator[str]:
    """What was read, a line each, safe to print: the tags first, and how many at the end."""
    for code in (*found.tags, *found.others):
        when = f"{code.at_s:6.1f} s  " if code.at_s is not None else ""
        more = f" {code.more}" if code.more else ""
        yield printable(f"{when}{code.shown or '(nothing)'}  {code.words}{'.' if more else ''}{more}")
    yield f"{printable(found.file)}, {found.medium}: {_count(found)}"


def _count(found: Scanned) -> str:
    if found.tags:
        return counted(len(found.tags), "tag")
    if found.others:
        return f"no tag was read, {counted(len(found.others), 'other code')}"
    return "no tag was read. Go closer, hold still, keep the whole code in the picture."


@contextmanager
def _progress() -> Iterator[Callable[[float], None]]:
    """A bar on standard error while a video is looked at, where that is a terminal; it is told the part done."""
    if not sys.stderr.isatty():
        yield lambda _done: None
        return
    from rich.console import Console
    from rich.progress import Progress

    with Progress(console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task("Video", total=1.0)
        yield lambda done: bar.update(task, completed=done)
