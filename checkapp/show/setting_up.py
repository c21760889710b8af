"""Set-up at work: what a scan, a typed code or a tap does, and what is said to it.

A box that was scanned stays the place against which ends are checked until another is scanned; an end that was scanned
first waits for its box. Both are let go after two minutes, for nobody remembers then what was meant.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from checkapp.journal import kinds, setup_kinds
from checkapp.journal.setup_state import SetupState, read_setup_state
from checkapp.rig.codes import DESK
from checkapp.rig.connections import Connection, connections
from checkapp.rig.rig import Rig
from checkapp.show import setup_rows
from checkapp.show.cautions import MAINS
from checkapp.show.exchanging import Exchange
from checkapp.show.fault_list import out_words
from checkapp.show.recording import Recorder, find_show
from checkapp.show.seen import Seen, minded, see
from checkapp.show.setup_checking import check_end, into_words, place_words
from checkapp.show.setup_rows import Standing
from checkapp.show.setup_views import Answer, Mode, SetUpView
from checkapp.tongue import shown_word, tr
from checkapp.tongue.numbers import day

if TYPE_CHECKING:
    from checkapp.show.card import Card

HELD_MS = 120_000
"""How long a scan waits for the other half of its pair."""
_MOST_WAYS = 2
_ALONE = ("in ", "out ", "source ", "load ")
"""Where one cable goes in: what is scanned after it is no longer meant for there, but a fan's other ways may be."""


@dataclass(frozen=True, slots=True)
class _Held:
    """What was scanned and may pair with the next scan: the place, the end, whether the end came first, when.

    ``used`` tells that an end was checked against the place already: whoever scans the far end of a line's cable next
    has gone there.
    """

    here: str = ""
    end: str = ""
    first: bool = False
    used: bool = False
    at_ms: int = 0


class SetUp:
    """The set-up of one show on one tablet. Every move that changes something is on the disk before it returns."""

    def __init__(self, recorder: Recorder, show: str, by: str) -> None:
        self.recorder, self.show, self.by = recorder, show, by
        self._held = _Held()
        self._answer: Answer | None = None
        self._card = self._unclear = ""
        self._exchange: Exchange | None = None
        self._planned: tuple[Rig, tuple[Connection, ...]] | None = None

    # -- scans

    def scan(self, text: str, *, burst: bool = False) -> SetUpView:
        """A scan, or what was typed in its place."""
        seen = minded(self.recorder, see(self.rig, text, burst=burst, before=self._unclear))
        self._unclear = seen.unclear
        if self._exchange is not None:
            self._answer = self._exchange.take(seen)
            self._after_exchange()
        elif not seen.name:
            self._answer = seen.answer
        elif seen.open_end:
            self._card = seen.name
            more = tr("Scan the end itself, or type {cable} A or {cable} B.", cable=seen.name)
            self._answer = Answer("look", tr("{cable} has two ends", cable=seen.name), more)
        elif seen.end:
            self._scan_end(seen)
        else:
            self._scan_place(seen)
        return self.view()

    def _scan_end(self, seen: Seen) -> None:
        held = self._fresh()
        self._card = seen.end
        own = [one for one in self._standing().planned if one.subject == seen.end]
        far = bool(own) and seen.end.endswith("B") and bool(own[0].lines)
        gone = held.used and far and not _takes_one(self.rig, held.here)
        if held.here and not gone:
            self._check(seen.end, held.here, seen.warning)
            return
        self._hold(_Held(end=seen.end, first=True))
        if own:
            goes = tr("{end} goes {into}", end=seen.end, into=_ways(own))
            self._answer = Answer("next", goes, seen.warning or _how_to_check(own[0].at))
        else:
            more = tr("Scan a box to be sure, or swap it in for another.")
            self._answer = Answer("look", tr("{end} goes nowhere by the plan", end=seen.end), seen.warning or more)

    def _scan_place(self, seen: Seen) -> None:
        there, held = seen.name, self._fresh()
        said = self._place(seen.box) if seen.box else ""
        self._card = seen.box or there
        if held.end and (held.first or self._fits(held.end, there)):
            self._check(held.end, there, seen.warning)
            return
        self._hold(_Held(here=there))
        self._answer = _power(self.rig, held.here, there) or _arrived(self.rig, there, said, seen.warning)

    def _fits(self, end: str, there: str) -> bool:
        return any(one.subject == end and one.goes(there) for one in self._standing().planned)

    def _check(self, end: str, there: str, warning: str) -> None:
        standing = self._standing()
        checked = check_end(standing.rig, standing.planned, end, there, standing.done)
        self._connect(checked.end, checked.ports, "right" if checked.right else "wrong")
        alone = checked.right and _takes_one(standing.rig, there)
        self._hold(_Held("" if alone else there, "" if checked.right and not alone else end, used=True))
        more = " ".join(filter(None, (checked.answer.more, warning)))
        short = " ".join(filter(None, (checked.answer.short, warning))) if checked.answer.short else ""
        self._answer = Answer(checked.answer.status, checked.answer.words, more, short)

    # -- by hand

    def tick(self, end: str, port: str) -> SetUpView:
        """Say by hand that an end is in its port, or that something is set on a box (``end`` is the box then)."""
        if end in self.rig.boxes:
            self._write(setup_kinds.set_on(end, port, self.rig.boxes[end].settings.get(port, "")))
            self._answer = Answer("ok", tr("{box}: {setting} is set", box=end, setting=port))
            return self.view()
        for one in self._standing().planned:
            if one.subject == end and port in one.ports:
                self._connect(end, one.ports, "ticked")
                self._answer = Answer("ok", f"{end} {into_words(one)}", tr("Ticked by hand."))
        return self.view()

    def untick(self, end: str, port: str) -> SetUpView:
        """Take back what was said or scanned of an end and its port, or of a setting, whoever did."""
        state = self._state()
        facts = state.settings.get(end, {}) if end in self.rig.boxes else state.connected.get(end, {})
        found = [made for at, made in facts.items() if at == port or made.verdict == "wrong"]
        self._void(entry_id for made in found for entry_id in made.entry_ids)
        self._answer = Answer("open", tr("{end}: open again", end=end))
        return self.view()

    def place(self, item: str) -> SetUpView:
        """Say by hand that a box stands where it belongs."""
        self._answer = Answer("ok", self._place(item) or tr("{item} is placed already", item=item))
        return self.view()

    def unplace(self, item: str) -> SetUpView:
        """Say that a box does not stand there yet."""
        made = self._state().placed.get(item)
        self._void(made.entry_ids if made else ())
        self._answer = Answer("open", tr("{item}: not placed", item=item))
        return self.view()

    def undo(self) -> SetUpView:
        """Take back the latest thing that this tablet logged in the set-up of this show.

        Whoever does is still at the box that was scanned, unless it is that which is taken back.
        """
        target, here = self._state().undo_target(self.recorder.journal.device), self._fresh().here
        self._hold(_Held(here=here if target is None or target.what != here else ""))
        if target is None:
            self._answer = Answer("open", tr("Nothing to take back"))
        else:
            self._write(kinds.void(target.entry_id))
            self._answer = Answer("open", tr("Taken back: {what}", what=target.words))
        return self.view()

    # -- swap and move

    def mode(self, mode: Mode) -> SetUpView:
        """Begin a swap or the move of a line; ``check`` gives it up."""
        self._exchange = None if mode == "check" else Exchange(mode, lambda: self.rig, self._write, self._mind)
        self._answer, self._held = None, _Held()
        return self.view()

    def _mind(self, item: str) -> str:
        """What is known against an item that is to go in."""
        return out_words(self.recorder, item)

    def confirm(self) -> SetUpView:
        """Go on with what the view asks to confirm."""
        if self._exchange is not None:
            self._answer = self._exchange.confirm()
            self._after_exchange()
        else:
            for one in self._without_tag():
                self._connect(one.subject, one.ports, "ticked")
                self._answer = Answer("ok", f"{one.subject} {into_words(one)}", tr("Ticked by hand."))
            self._held = _Held()
        return self.view()

    def _after_exchange(self) -> None:
        if self._exchange is not None:
            self._card = self._exchange.looked_at or self._card
            if self._exchange.over:
                self._exchange = None

    # -- the view

    @property
    def rig(self) -> Rig:
        """The rig as it runs."""
        return self.recorder.running()

    def view(self) -> SetUpView:
        """Everything as it stands now."""
        standing, held, exchange = self._standing(), self._fresh(), self._exchange
        places = setup_rows.places_of(standing)
        row = setup_rows.next_row(places, held.here)
        placed, boxes, connected, ends = setup_rows.counts(standing)
        return SetUpView(
            title=self.rig.name,
            show_title=self._show_title(),
            boxes_placed=placed,
            boxes=boxes,
            ends_connected=connected,
            ends=ends,
            to_set=sum(len(standing.unset(box)) for box in self.rig.boxes.values()),
            progress=setup_rows.progress_words(standing),
            here=_held_words(held),
            answer=self._answer,
            to_do=setup_rows.to_do_words(standing, row),
            next_row=row,
            places=places,
            can_undo=standing.state.undo_target(self.recorder.journal.device) is not None,
            mode=exchange.mode if exchange else "check",
            prompt=exchange.prompt if exchange else "",
            confirm=exchange.asks if exchange else tr("it is plugged in") if self._without_tag() else "",
            card=self._card_view(),
            card_first=bool(held.here) and not held.used,
        )

    def _card_view(self) -> Card | None:
        from checkapp.show.card_lookup import find_card

        if not self._card:
            return None
        return find_card(self.recorder.rig, self._card, self.recorder.journal, self.show)

    def _show_title(self) -> str:
        show = find_show(self.recorder.shows(), self.show)
        known = (show.name, show.venue, day(show.date or "")) if show else (self.show,)
        return ", ".join(dict.fromkeys(word for word in known if word))

    def _without_tag(self) -> list[Connection]:
        """What the end that waits goes into where nothing can be scanned."""
        held = self._fresh()
        tagless = ("source ", "load ", DESK)
        if not held.first:
            return []
        return [one for one in self._standing().planned if one.subject == held.end and one.at.startswith(tagless)]

    def _standing(self) -> Standing:
        rig = self.rig
        if self._planned is None or self._planned[0] is not rig:
            self._planned = (rig, connections(rig))
        return Standing(rig, self._planned[1], self._state(), self.recorder.unsaved())

    def _state(self) -> SetupState:
        return read_setup_state(self.recorder.journal, self.recorder.rig.name, self.show)

    # -- what is held and what is written

    def _fresh(self) -> _Held:
        old = self.recorder.now_ms() - self._held.at_ms > HELD_MS
        return _Held() if old else self._held

    def _hold(self, held: _Held) -> None:
        self._held = replace(held, at_ms=self.recorder.now_ms())

    def _place(self, item: str) -> str:
        """Log that a box is placed, once; what to say of it, empty when it was placed before."""
        if item in self._state().placed:
            return ""
        self._write(setup_kinds.placed(item))
        place = self.rig.boxes[item].place
        done = tr("{item} placed", item=item)
        return f"{done}, {place}" if place else done

    def _connect(self, end: str, ports: tuple[str, ...], verdict: setup_kinds.Verdict) -> None:
        """Log a connection, unless that is what the log says last."""
        made = self._state().connected.get(end, {})
        same = all(port in made and made[port].verdict == verdict for port in ports)
        if not same or any(one.verdict == "wrong" for one in made.values()):
            self._write(setup_kinds.connected(end, ports, verdict))

    def _void(self, entry_ids: Iterable[str]) -> None:
        for entry_id in dict.fromkeys(entry_ids):
            self._write(kinds.void(entry_id))

    def _write(self, draft: kinds.Draft) -> None:
        self.recorder.write(draft, self.show, self.by or None)


def _takes_one(rig: Rig, there: str) -> bool:
    """Whether one cable goes in there: a source, a load, a line."""
    return there in rig.sources or there.startswith(_ALONE)


def _held_words(held: _Held) -> str:
    if held.end and held.first:
        return tr("{end} in hand", end=held.end)
    return tr("At {place}", place=place_words(held.here)) if held.here else ""


def _how_to_check(at: str) -> str:
    if at.startswith(("source ", "load ")):
        return tr("It has no tag there: tick it when it is plugged.")
    return tr("Plug it in, then scan {item} to check.", item=at.removeprefix("chain "))


def _ways(own: list[Connection]) -> str:
    """Where an end goes; of many places the first ones."""
    words, rest = "; ".join(into_words(one) for one in own[:_MOST_WAYS]), len(own) - _MOST_WAYS
    return tr("{names} and {count} more", names=words, count=rest) if rest > 0 else words


def _arrived(rig: Rig, there: str, said: str, warning: str) -> Answer:
    more = tr("Now scan the ends that plug in here.")
    if there in rig.supplies:
        more = f"{tr('Scan the box that plugs into it.')} {shown_word(MAINS)}"
    return Answer("ok" if said else "next", said or tr("At {place}", place=place_words(there)), warning or more)


def _power(rig: Rig, one: str, other: str) -> Answer | None:
    """What is said to a box and a supply scanned one after the other."""
    for box, supply in ((one, other), (other, one)):
        if box in rig.boxes and supply in rig.supplies:
            own = rig.boxes[box].supply
            if own == supply:
                return Answer("ok", tr("Correct. {box} plugs into {supply}", box=box, supply=supply), shown_word(MAINS))
            planned = tr("It plugs into {supply}.", supply=own) if own else tr("The plan gives it no mains.")
            wrong = tr("Wrong. {box} does not plug into {supply}", box=box, supply=supply)
            return Answer("faulty", wrong, f"{planned} {shown_word(MAINS)}")
    return None
