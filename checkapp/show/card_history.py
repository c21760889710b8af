"""What the journal holds of an item: marks and repairs, what was placed, connected, swapped, moved or pulled."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from checkapp.journal import kinds, setup_kinds, taken_out
from checkapp.journal.changes import changes_of
from checkapp.journal.ran import Ran
from checkapp.journal.story import in_order, rigs_used, standing
from checkapp.tongue import shown_word, tr, trn
from checkapp.tongue.numbers import moment

if TYPE_CHECKING:
    from checkapp.journal.changes import RigChange
    from checkapp.journal.entry import Entry
    from checkapp.journal.kinds import Mark, Repair
    from checkapp.journal.setup_kinds import Connected
    from checkapp.journal.story import Entries
    from checkapp.show.card import Rows

HISTORY_KINDS = (
    kinds.RIG,
    kinds.MARK,
    kinds.REPAIR,
    kinds.VOID,
    setup_kinds.PLACED,
    setup_kinds.CONNECTED,
    setup_kinds.SWAP,
    setup_kinds.MOVE,
    setup_kinds.NOTE,
    taken_out.PULLED,
    taken_out.RETURNED,
)
_MOST_ROWS = 8


def history(journal: Entries, rig: str, name: str) -> Rows:
    """What was noted of an item or a line of a rig, both by name: when, in which show, what; no more than a card holds.

    A faulty mark is told of every item that its line ran through when it was marked.
    """
    story = standing(in_order(journal.entries(rig=rig, kind=HISTORY_KINDS)))
    changes = changes_of(story, rig)
    teller = _Teller(name, {digest: Ran(used.lines, changes) for digest, used in rigs_used(story, rig).items()})
    rows = _gathered([(entry, words) for entry in story for words in teller.words(entry)])
    return tuple((moment(entry.at), entry.show or "", words) for entry, words in reversed(rows[-_MOST_ROWS:]))


def _gathered(rows: Sequence[tuple[Entry, str | Connected]]) -> list[tuple[Entry, str]]:
    """The rows with the right connections of one show in one row, where the last of them was made."""
    right: dict[str | None, list[Connected]] = {}
    last: dict[str | None, Entry] = {}
    for entry, told in rows:
        if not isinstance(told, str):
            right.setdefault(entry.show, []).append(told)
            last[entry.show] = entry
    kept = [(entry, told) for entry, told in rows if isinstance(told, str)]
    for show, these in right.items():
        ends = list(dict.fromkeys(one.end for one in these))
        words = _connected_words(ends, these[-1].ports[0])
        kept.append((last[show], words))
    return sorted(kept, key=lambda row: row[0].order)


@dataclass(frozen=True, slots=True)
class _Teller:
    """Tells what entries say of one item or line; ``ran`` is what lines ran through, by plan."""

    name: str
    ran: Mapping[str, Ran]

    def words(self, entry: Entry) -> Iterator[str | Connected]:
        """What an entry says of it in words; a right connection as it is."""
        mark, repair = kinds.read_mark(entry), kinds.read_repair(entry)
        if mark is not None and self._concerned(mark, entry):
            yield _mark_words(mark)
        if repair is not None and any(self._is(name) for name in (repair.item, repair.replacement or "")):
            yield _repair_words(repair)
        if (setup_kinds.read_placed(entry) or "") == self.name:
            yield tr("{item} placed", item=self.name)
        connection = setup_kinds.read_connected(entry)
        if connection is not None and any(self._is(name) for name in (connection.end, *connection.ports)):
            wrong = tr("{end} found in {port}", end=connection.end, port=connection.ports[0])
            yield wrong if connection.verdict == "wrong" else connection
        swap, move = setup_kinds.read_swap(entry), setup_kinds.read_move(entry)
        if swap is not None and self.name in (swap.old, swap.new):
            yield tr("{new} in for {old}", new=swap.new, old=swap.old)
        if move is not None and (self.name == move.line or any(map(self._is, (move.from_port, move.to_port)))):
            yield tr("{line} moved from {old} to {new}", line=move.line, old=move.from_port, new=move.to_port)
        if entry.subject == self.name and entry.kind in (taken_out.PULLED, taken_out.RETURNED):
            yield tr("tagged and pulled") if entry.kind == taken_out.PULLED else tr("good again, and back")
        if entry.kind == setup_kinds.NOTE and entry.subject == self.name:
            yield kinds.text_of(entry.details.get("text")) or ""

    def _is(self, name: str) -> bool:
        """Whether that is the item, an end of it, or a port of it."""
        return name == self.name or name.startswith(f"{self.name} ")

    def _concerned(self, mark: Mark, entry: Entry) -> bool:
        if mark.line == self.name:
            return True
        if mark.verdict != "faulty":
            return False
        ran = self.ran.get(mark.plan or "")
        return ran is not None and any(name == self.name for name, _ in ran.path(mark.line, entry.order))


def _mark_words(mark: Mark) -> str:
    heard = ", ".join(word for word in (shown_word(mark.symptom or ""), mark.note) if word)
    return f"{mark.line} {shown_word(mark.verdict)}" + (f": {heard}" if heard else "")


def _repair_words(repair: Repair) -> str:
    done = {"item": repair.item, "action": shown_word(repair.action), "other": repair.replacement}
    if repair.replacement:
        if repair.cleared:
            return tr("{item} {action} with {other}, cleared", **done)
        return tr("{item} {action} with {other}, did not clear", **done)
    del done["other"]
    return tr("{item} {action}, cleared", **done) if repair.cleared else tr("{item} {action}, did not clear", **done)


def _connected_words(ends: Sequence[str], port: str) -> str:
    if len(ends) == 1:
        return tr("{end} connected, {port}", end=ends[-1], port=port)
    return trn("{count} end connected", "{count} ends connected", len(ends))


def instead_of(made: Sequence[RigChange], name: str) -> str:
    """What an item took the place of, or what took its; where a line was before, or what left a port."""
    for change in reversed(made):
        words = _changed(change, name)
        if words:
            return tr("{what} since {show}", what=words, show=change.show) if change.show else words
    return ""


def _changed(change: RigChange, name: str) -> str:
    what = change.what
    if isinstance(what, setup_kinds.Swapped):
        if name == what.new:
            return tr("in place of {item}", item=what.old)
        return tr("{item} is in its place", item=what.new) if name == what.old else ""
    if name in (what.line, what.to_port):
        if name == what.line:
            return tr("moved from {port}", port=what.from_port)
        return tr("{line}, moved here from {port}", line=what.line, port=what.from_port)
    return tr("{line} moved away to {port}", line=what.line, port=what.to_port) if name == what.from_port else ""
