"""What each kind of entry says: the one place that knows the keys of the details.

For each kind there is a function that drafts an entry and one that reads it. Reading passes over keys it does not know,
and returns None for an entry that does not say what its kind must say.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from typing import TYPE_CHECKING, Literal, NamedTuple

from checkapp.journal.entry import read_detail

if TYPE_CHECKING:
    from checkapp.journal.entry import Entry
    from checkapp.rig.words import ItemKind, Symptom

RIG = "rig"
SHOW = "show"
CHECK = "check"
MARK = "mark"
REPAIR = "repair"
VOID = "void"
BENCH = "bench"

OPENED = "opened"
SIGNED_OFF = "signed off"

Verdict = Literal["ok", "faulty"]
Scope = Literal["line", "line and source"]
Action = Literal["reseat", "swap", "mend", "bypass"]
Path = tuple[tuple[str, str], ...]
"""What a line runs through, source to desk: names and kinds of items."""


class Draft(NamedTuple):
    """An entry's kind, subject and detail, ready to be appended."""

    kind: str
    subject: str | None
    detail: Mapping[str, object]


@dataclass(frozen=True, slots=True)
class RigUsed:
    """A rig as its plan had it: ``lines`` holds each line's path, source to desk, as names and kinds of items.

    ``digest`` is that of the plan (64 hex digits), ``version`` the crew's own number, ``file`` the plan's name.
    ``owners`` are those of items that are not the rig owner's, ``places`` where boxes stand, both by code.
    """

    digest: str
    owner: str
    version: int | None
    file: str | None
    lines: dict[str, Path]
    owners: Mapping[str, str] = field(default_factory=dict)
    places: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class ShowNamed:
    """A show's name, venue and date (ISO 8601)."""

    name: str
    venue: str | None
    date: str | None


@dataclass(frozen=True, slots=True)
class CheckStep:
    """A check was opened, or the checks named by their opening entries were signed off with those lines left open."""

    signed_off: bool
    checks: tuple[str, ...]
    left_open: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Mark:
    """The verdict on a line. ``plan`` is the plan's digest, ``check`` the id of the check's opening entry.

    ``item`` is what an old record blames or clears. ``over`` are the ids of the other tablets' latest marks of the
    line that were known when it was made; None where it does not tell.
    """

    line: str
    verdict: Verdict
    symptom: str | None
    note: str | None
    scope: str
    plan: str | None
    check: str | None
    item: str | None = None
    over: tuple[str, ...] | None = None


@dataclass(frozen=True, slots=True)
class Repair:
    """What was done about an item, what stands in for it now, and whether the fault was gone.

    ``owner`` is that of what was swapped in where it is not the rig's; ``lines`` are those that ran through the item;
    ``path`` is what the one line that was led round another port runs through from then on; ``listened`` are the lines
    that were listened to afterwards (empty: not told).
    """

    item: str
    action: str
    replacement: str | None
    cleared: bool
    owner: str | None = None
    lines: tuple[str, ...] = ()
    path: Path = ()
    listened: tuple[str, ...] = ()


def rig(
    *,
    digest: str,
    owner: str,
    version: int | None,
    file: str | None,
    lines: Mapping[str, Sequence[tuple[str, ItemKind]]],
    owners: Mapping[str, str] | None = None,
    places: Mapping[str, str] | None = None,
) -> Draft:
    """A rig with a new digest is used for the first time; arguments as in `RigUsed`."""
    paths = {line: [[name, kind] for name, kind in path] for line, path in lines.items()}
    detail = {"digest": digest, "owner": owner, "version": version, "file": file, "lines": paths}
    more = {"owners": dict(owners or {}), "places": dict(places or {})}
    return Draft(RIG, None, detail | {key: value for key, value in more.items() if value})


def show(name: str, *, venue: str | None = None, date: str | None = None) -> Draft:
    """A show is made, or its venue or date is changed; ``date`` in ISO 8601."""
    return Draft(SHOW, None, {"name": name, "venue": venue, "date": date})


def check_opened() -> Draft:
    """A check of the show begins."""
    return Draft(CHECK, None, {"state": OPENED})


def check_signed_off(checks: Iterable[str], left_open: Iterable[str]) -> Draft:
    """The checks, named by the ids of their opening entries, are done, with those lines left open."""
    detail = {"state": SIGNED_OFF, "checks": list(checks), "open": list(left_open)}
    return Draft(CHECK, None, detail)


def mark(
    line: str,
    verdict: Verdict,
    *,
    plan: str,
    check: str,
    symptom: Symptom | None = None,
    note: str | None = None,
    scope: Scope = "line",
) -> Draft:
    """A line passed or did not; arguments as in `Mark`."""
    detail = {
        "verdict": verdict,
        "symptom": symptom,
        "note": note,
        "scope": scope,
        "plan": plan,
        "check": check,
    }
    return Draft(MARK, line, detail)


def over(marked: Draft, marks: Iterable[str]) -> Draft:
    """The draft of a mark, with the ids of the other tablets' marks that it is made over."""
    return marked._replace(detail={**marked.detail, "over": list(marks)})


def repair(
    item: str,
    action: Action,
    *,
    cleared: bool,
    replacement: str | None = None,
    owner: str | None = None,
    lines: Sequence[str] = (),
    path: Iterable[tuple[str, str]] = (),
) -> Draft:
    """Something was done about an item; ``replacement`` was swapped in or leads round it, the rest as in `Repair`."""
    detail: dict[str, object] = {"action": action, "with": replacement, "cleared": cleared}
    more = {"owner": owner, "lines": list(lines), "path": [list(step) for step in path]}
    return Draft(REPAIR, item, detail | {key: value for key, value in more.items() if value})


def bench(item: str, *, ohms: float | None, passed: bool) -> Draft:
    """An item was tested on the bench: its loop resistance where it was measured, and whether it is good."""
    return Draft(BENCH, item, {"ohms": ohms, "pass": passed})


def listened(repaired: Draft, lines: Iterable[str]) -> Draft:
    """The draft of a repair, with the lines that were listened to after it."""
    return repaired._replace(detail={**repaired.detail, "listened": list(lines)})


def void(entry_id: str) -> Draft:
    """An entry is undone. Undoing a void brings back what it undid."""
    return Draft(VOID, entry_id, {})


def read_rig(entry: Entry) -> RigUsed | None:
    """The rig that ``entry`` describes. A path that cannot be read is left out."""
    if entry.kind != RIG:
        return None
    detail = entry.details
    digest = text_of(detail.get("digest"))
    if digest is None:
        return None
    version = detail.get("version")
    lines = detail.get("lines")
    paths = {
        line: path
        for line, written in (lines.items() if isinstance(lines, dict) else ())
        if (path := path_of(written)) is not None
    }
    return RigUsed(
        digest,
        text_of(detail.get("owner")) or "",
        version if isinstance(version, int) else None,
        text_of(detail.get("file")),
        paths,
        _words_of(detail.get("owners")),
        _words_of(detail.get("places")),
    )


def read_show(entry: Entry) -> ShowNamed | None:
    """The show that ``entry`` names."""
    if entry.kind != SHOW:
        return None
    detail = entry.details
    name = text_of(detail.get("name")) or entry.show
    if name is None:
        return None
    return ShowNamed(name, text_of(detail.get("venue")), text_of(detail.get("date")))


def read_check(entry: Entry) -> CheckStep | None:
    """The step of a check that ``entry`` tells of."""
    if entry.kind != CHECK:
        return None
    detail = entry.details
    state = detail.get("state")
    if state not in (OPENED, SIGNED_OFF):
        return None
    return CheckStep(state == SIGNED_OFF, texts_of(detail.get("checks")), texts_of(detail.get("open")))


def read_mark(entry: Entry) -> Mark | None:
    """The mark that ``entry`` makes."""
    if entry.kind != MARK or entry.subject is None:
        return None
    said = _said(entry.detail)
    return said and Mark(
        entry.subject,
        said.verdict,
        said.symptom,
        said.note,
        said.scope,
        said.plan,
        said.check,
        said.item,
        said.over,
    )


@lru_cache(maxsize=256)
def _said(detail: str | None) -> Mark | None:
    """The mark that a detail makes, on no line: most marks of a check say the very same."""
    return mark_of("", read_detail(detail))


def mark_of(line: str, detail: Mapping[str, object]) -> Mark | None:
    """The mark that a detail makes on a line."""
    verdict = detail.get("verdict")
    if verdict != "ok" and verdict != "faulty":
        return None
    return Mark(
        line=line,
        verdict="ok" if verdict == "ok" else "faulty",
        symptom=text_of(detail.get("symptom")),
        note=text_of(detail.get("note")),
        scope=text_of(detail.get("scope")) or "line",
        plan=text_of(detail.get("plan")),
        check=text_of(detail.get("check")),
        item=text_of(detail.get("item")),
        over=texts_of(detail["over"]) if "over" in detail else None,
    )


def read_repair(entry: Entry) -> Repair | None:
    """The repair that ``entry`` tells of."""
    if entry.kind != REPAIR or entry.subject is None:
        return None
    detail = entry.details
    action = text_of(detail.get("action"))
    if action is None:
        return None
    cleared = detail.get("cleared") is True
    return Repair(
        entry.subject,
        action,
        text_of(detail.get("with")),
        cleared,
        text_of(detail.get("owner")),
        texts_of(detail.get("lines")),
        path_of(detail.get("path")) or (),
        texts_of(detail.get("listened")),
    )


def text_of(value: object) -> str | None:
    """A text as it can be shown: half a character, which JSON can hold, becomes a question mark."""
    if not isinstance(value, str):
        return None
    return value if value.isascii() else value.encode(errors="replace").decode()


def texts_of(value: object) -> tuple[str, ...]:
    """The texts of a list, what else is in it left out; empty for what is no list."""
    found = map(text_of, value if isinstance(value, list) else ())
    return tuple(text for text in found if text is not None)


def _words_of(value: object) -> dict[str, str]:
    """The texts of an object by their keys, what else is in it left out."""
    found = value.items() if isinstance(value, dict) else ()
    return {key: text for key, word in found if (text := text_of(word)) is not None}


def path_of(value: object) -> Path | None:
    """A path as names and kinds of items; None when it is not written so throughout."""
    if not isinstance(value, list):
        return None
    items = [tuple(item) for item in value if isinstance(item, list)]
    good = [(item[0], item[1]) for item in items if len(item) == 2 and _both_text(item)]
    return tuple(good) if len(good) == len(value) else None


def _both_text(item: tuple[object, ...]) -> bool:
    return all(isinstance(part, str) for part in item)
