"""The rows of a list as plain dicts: which row class shows it, its words, and what a tap on it does."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from functools import partial
from typing import TYPE_CHECKING, Any, Final

from checkapp.tongue import later, shown_names, shown_word, tr

if TYPE_CHECKING:
    from checkapp.review.paper.parts import KeyRow
    from checkapp.show.changeover_views import ChangeRow
    from checkapp.show.fault_views import SuspectRow
    from checkapp.show.history_views import HistoryRow
    from checkapp.show.incoming_views import ReadLine
    from checkapp.show.setup_views import SetUpPlace, SetUpRow
    from checkapp.show.tablet_views import TabletRow
    from checkapp.show.views import CheckView, FindingRow, LineRow, RunItem

RowDict = dict[str, Any]
FOUND: Final = {"ok": later("ok"), "faulty": later("wrong"), "look": later("look")}
"""The words for how something of set-up stands; none for what is still to be done."""
MOST_MEASURED: Final = 300
"""In a list of more rows than that each is as high as the others: nobody waits for the height of thousands."""
LEVEL_MARKS: Final = {"stop": "faulty", "caution": "look", "note": "note"}


def heading(text: str) -> RowDict:
    """A heading over what follows."""
    return {"kind": "ListedHeading", "text": text}


def words(text: str) -> RowDict:
    """A sentence."""
    return {"kind": "ListedWords", "text": text}


def caution(text: str) -> RowDict:
    """A sentence that a triangle stands before."""
    return {"kind": "ListedCaution", "text": text}


def cautions(text: str, word: str, tapped: Callable[[], None]) -> RowDict:
    """Cautions that are folded to a line; ``word`` says what a tap does."""
    return {"kind": "ListedCautions", "text": text, "word": word, "tapped": tapped}


def choice(title: str, detail: str, word: str, tapped: Callable[[], None]) -> RowDict:
    """Something that can be opened; ``word`` says what a tap does."""
    return {"kind": "ListedChoice", "title": title, "detail": detail, "word": word, "tapped": tapped}


def file(title: str, detail: str, word: str, tapped: Callable[[], None]) -> RowDict:
    """As `choice`, in a list that may have thousands: on one line each, cut where there is no room."""
    return {"kind": "ListedFile", "title": title, "detail": detail, "word": word, "tapped": tapped}


def read(line: ReadLine, *, whole: bool = True) -> RowDict:
    """A row of a sheet and what it became; ``whole``: in as many lines as it takes, which has to be measured."""
    return {
        "kind": "ListedRead",
        "row": line.row,
        "title": line.title,
        "detail": line.detail,
        "note": line.note,
        "status": line.status,
        "whole": whole,
    }


def one_of(count: int) -> Callable[[str, str, str, Callable[[], None]], RowDict]:
    """The row for one of so many things that can be opened: in whole words as long as so many can be measured."""
    return choice if count <= MOST_MEASURED else file


def key(row: KeyRow) -> RowDict:
    """What a stroke of the picture means."""
    said = " ".join(word for word in (row.code, row.words) if word)
    return {"kind": "ListedKey", "style": row.style, "thick": row.width, "text": said}


def numbered(rows: Iterable[FindingRow]) -> list[RowDict]:
    """Findings with their numbers, which stand in the picture and on paper too."""
    return [finding(row, number) for number, row in enumerate(rows, 1)]


def finding(row: FindingRow, number: int = 0) -> RowDict:
    """A finding of the plan review, with its number if that is above 0."""
    return {
        "kind": "ListedFinding",
        "status": LEVEL_MARKS[row.level],
        "word": f"{number}  {shown_word(row.level)}" if number else shown_word(row.level),
        "where": shown_names(row.where),
        "message": row.message,
        "remedy": row.remedy,
    }


def said_of(status: str, said: str) -> str:
    """A mark in words: the status and what the mark says."""
    return ", ".join(word for word in (shown_word(status), said) if word)


def mark_words(status: str, said: str) -> str:
    """The mark of a line in words; one that is not saved yet says so by itself."""
    return said if status == "look" else said_of(status, said)


def line(row: LineRow, go_to: Callable[[str], None] | None, here: str = "") -> RowDict:
    """A line with its mark; ``here`` is the line that the walk stands at."""
    return {
        "kind": "ListedLine",
        "number": row.number,
        "name": row.name,
        "port": row.port,
        "zone": row.zone,
        "status": row.status,
        "said": mark_words(row.status, row.said),
        "here": row.line == here,
        "tapped": partial(go_to, row.line) if go_to else None,
    }


def lines_under(title: str, rows: Iterable[LineRow], go_to: Callable[[str], None] | None) -> list[RowDict]:
    """A heading with the number of its lines, and the lines; nothing when there are none."""
    listed = [line(row, go_to) for row in rows]
    return [heading(f"{title}: {len(listed)}"), *listed] if listed else []


def whole_check(check: CheckView, go_to: Callable[[str], None] | None) -> list[RowDict]:
    """A check as a whole: how it stands, then what is faulty, what is open, what is ok."""
    return [
        words(check.detail if check.signed_off else check.counts),
        *lines_under(tr("Not saved yet"), check.waiting, go_to),
        *lines_under(tr("Two marks disagree"), check.disputed, go_to),
        *lines_under(tr("Faulty"), check.faulty, go_to),
        *lines_under(tr("Open"), check.open, go_to),
        *lines_under(tr("Ok"), check.ok, go_to),
    ]


def to_pull(check: CheckView, tapped: Callable[[], None]) -> list[RowDict]:
    """What is still to be tagged and pulled, which leads to the list of faults; nothing when nothing is."""
    return [choice(tr("Load-out"), check.pull, tr("see"), tapped)] if check.pull else []


def notice(status: str, words: str, more: str, tapped: Callable[[], None] | None, firm: bool = True) -> RowDict:
    """Something that must be seen, as large as the list allows; what is ``firm`` has the thicker frame."""
    return {"kind": "ListedNotice", "status": status, "words": words, "more": more, "firm": firm, "tapped": tapped}


def suspect(row: SuspectRow, tapped: Callable[[SuspectRow], None] | None) -> RowDict:
    """Something that may be to blame."""
    return {
        "kind": "ListedSuspect",
        "title": row.title,
        "percent": row.percent,
        "share": row.probability,
        "speaks_for": row.speaks_for,
        "speaks_against": row.speaks_against,
        "tapped": partial(tapped, row) if tapped else None,
        "word": tr("repair") if tapped else "",
    }


def life(row: HistoryRow, tapped: Callable[[], None]) -> RowDict:
    """An item of the history: its faults, how surely it is worse than its kind, what is advised."""
    return {
        "kind": "ListedSuspect",
        "title": row.title,
        "percent": row.faults,
        "share": row.bad,
        "speaks_for": row.reason,
        "speaks_against": row.trend,
        "tapped": tapped,
        "word": tr("life"),
    }


def run(items: Sequence[RunItem]) -> RowDict:
    """A line's path as it is drawn."""
    return {"kind": "ListedRun", "items": items}


def place(of: SetUpPlace) -> RowDict:
    """A place on stage over what is to do there, and how much of it is done."""
    return {"kind": "ListedPlace", "name": of.name, "done": of.done, "total": of.total}


def task(row: SetUpRow, is_next: bool, tapped: Callable[[], None], ticked: Callable[[], None]) -> RowDict:
    """Something to do in set-up; ``ticked`` says that it is done, or takes that back."""
    return {
        "kind": "ListedTask",
        "title": row.title,
        "detail": row.detail,
        "status": row.status,
        "said": mark_words(row.status, row.said)
        if row.status == "look"
        else said_of(FOUND.get(row.status, ""), row.said),
        "is_next": is_next,
        "tapped": tapped,
        "ticked": ticked,
    }


def tablet(row: TabletRow, tapped: Callable[[], None]) -> RowDict:
    """A tablet, which can be given a name."""
    return {
        "kind": "ListedTablet",
        "title": row.name,
        "detail": "\n".join(filter(None, (row.who, row.done, row.last, row.has))),
        "mine": row.mine,
        "word": tr("rename"),
        "tapped": tapped,
    }


def change(row: ChangeRow, tapped: Callable[[], None] | None) -> RowDict:
    """Something to do in a changeover."""
    return {
        "kind": "ListedChange",
        "title": row.title,
        "fact": row.fact,
        "from_words": row.from_words,
        "to_words": row.to_words,
        "tapped": tapped,
    }
