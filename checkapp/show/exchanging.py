"""A spare swapped in, a line moved to a free port: each one action of two scans, asked back only where need be."""

from __future__ import annotations

from collections.abc import Callable

from checkapp.journal import kinds
from checkapp.rig.change import CannotChange, OtherPort, changed
from checkapp.rig.codes import Port, Tag, known_port, read_port
from checkapp.rig.model import Input
from checkapp.rig.occupied import free_ports, ports_used
from checkapp.rig.rig import Rig
from checkapp.rig.swapped import differences, swapped
from checkapp.show.cautions import MAINS, PHANTOM
from checkapp.show.reviewing import reviewed
from checkapp.show.running import move_draft, swap_draft
from checkapp.show.seen import Seen
from checkapp.show.setup_views import Answer, Mode
from checkapp.tongue import later, shown_word, tr, trn

_OTHER = later("Scan another, or cancel.")


class Exchange:
    """A swap or a move under way.

    ``prompt`` says what to scan next; ``asks`` is what a button offers to go on with, empty when a scan is awaited;
    ``looked_at`` is the item that was scanned last; ``over`` tells that it is done and in the log. ``mind`` says what
    is known against an item that is to go in, empty for nothing.
    """

    def __init__(
        self,
        mode: Mode,
        rig: Callable[[], Rig],
        write: Callable[[kinds.Draft], object],
        mind: Callable[[str], str] = lambda _item: "",
    ) -> None:
        self.mode: Mode = mode
        self.asks, self.looked_at, self.over = "", "", False
        self._rig, self._write, self._mind = rig, write, mind
        self._first = ""
        self._go_on: Callable[[], Answer] | None = None

    @property
    def prompt(self) -> str:
        """What to scan or type next."""
        if self.mode == "swap":
            return tr("Scan what goes in for {item}.", item=self._first) if self._first else tr("Scan what comes out.")
        if self._first:
            return tr("Scan the box that {line} goes to, or type the free port.", line=self._first)
        return tr("Scan the cable of the line that changes its port, or type the line or its port.")

    def take(self, seen: Seen) -> Answer:
        """A scan, or what was typed."""
        self._go_on, self.asks = None, ""
        self.looked_at = seen.end or seen.box or seen.name
        if self.mode == "swap":
            return self._goes_in(seen) if self._first else self._comes_out(seen)
        return self._goes_to(seen) if self._first else self._moves(seen)

    def confirm(self) -> Answer:
        """Do what is asked."""
        going_on, self._go_on, self.asks = self._go_on, None, ""
        return going_on() if going_on is not None else Answer("next", self.prompt)

    # -- a swap

    def _comes_out(self, seen: Seen) -> Answer:
        rig, item = self._rig(), seen.item
        if not seen.name:
            return seen.answer
        if not any(item in table for table in (rig.cables, rig.boxes, rig.sources, rig.supplies)):
            return Answer(
                "faulty",
                tr("{item} cannot be swapped", item=seen.name),
                tr("Scan a cable, a box, a source or a supply."),
            )
        self._first = item
        return Answer("next", tr("{item} comes out", item=item), seen.warning or tr("Scan the one that goes in."))

    def _goes_in(self, seen: Seen) -> Answer:
        rig, old = self._rig(), self._first
        new = seen.item or (seen.foreign.code if seen.foreign else "")
        if not new:
            refused = tr("{new} cannot go in for {old}", new=seen.name, old=old)
            return seen.answer if not seen.name else Answer("faulty", refused, shown_word(_OTHER))
        owner = seen.foreign.owner if seen.foreign else None
        try:
            swapped(rig, old, new, owner)
        except CannotChange as error:
            return Answer("faulty", str(error), shown_word(_OTHER))
        self._go_on = lambda: self._swap(old, new, owner)
        doubts = _unknown(seen.foreign, old) if seen.foreign else differences(rig, old, new)
        doubts = (*doubts, *filter(None, (self._mind(new),)))
        if not doubts:
            return self.confirm()
        self.asks = tr("swap {item} in", item=new)
        return Answer("look", tr("{new} for {old}: look first", new=new, old=old), ". ".join(doubts))

    def _swap(self, old: str, new: str, owner: str | None) -> Answer:
        mains = old in self._rig().supplies or (old in self._rig().boxes and self._rig().boxes[old].supply)
        self._write(swap_draft(self._rig(), old, new, owner))
        self.over, self.looked_at = True, new
        more = tr("Plug it as its card says. Tag {item} and pull it.", item=old)
        more += f" {shown_word(MAINS)}" if mains else ""
        return Answer("ok", tr("{new} is in for {old}", new=new, old=old), more)

    # -- a move

    def _moves(self, seen: Seen) -> Answer:
        if not seen.name:
            return seen.answer
        lines = self._rig().lines
        named = [line for line in lines if seen.name in (line.line, line.port)]
        named = named or [line for line in lines if seen.item in (line.cable, getattr(line, "source", None))]
        if len(named) != 1:
            if not named:
                none = tr("{item} carries no line", item=seen.name)
                return Answer("look", none, tr("Scan its cable, or type the line."))
            many = trn("{item} carries {count} line", "{item} carries {count} lines", len(named), item=seen.name)
            return Answer("look", many, tr("Type the line, for example in 7."))
        self._first = named[0].line
        more = tr("It is on {port}. Scan the box that it goes to, or type the free port.", port=named[0].port)
        return Answer("next", tr("{line}: to which port?", line=f"{named[0].line} {named[0].name}"), more)

    def _goes_to(self, seen: Seen) -> Answer:
        port = read_port(seen.name)
        if port is not None:
            return self._try_move(port, at_once=True)
        if seen.box:
            free = self._first_free(seen.box)
            if free is None:
                return Answer(
                    "faulty",
                    tr("{box} has no free port for {line}", box=seen.box, line=self._first),
                    shown_word(_OTHER),
                )
            return self._try_move(free, at_once=False)
        refused = tr("{line} cannot go to {item}", line=self._first, item=seen.name)
        return seen.answer if not seen.name else Answer("faulty", refused, shown_word(_OTHER))

    def _first_free(self, box: str) -> Port | None:
        rig = self._rig()
        direction = known_port(rig.line(self._first).port).direction
        return next(free_ports(rig, rig.boxes[box], direction, ports_used(rig)), None)

    def _try_move(self, port: Port, *, at_once: bool) -> Answer:
        rig, line = self._rig(), self._first
        try:
            after = changed(rig, [OtherPort(line, str(port))])
        except CannotChange as error:
            return Answer("faulty", str(error), shown_word(_OTHER))
        doubts = _new_stops(rig, after, line)
        self._go_on = lambda: self._move(line, rig.line(line).port, str(port))
        if at_once and not doubts:
            return self.confirm()
        self.asks = tr("put it on {port}", port=port)
        if doubts:
            return Answer("look", tr("{line} to {port}: look first", line=line, port=port), " ".join(doubts))
        return Answer(
            "next", tr("{line} to {port}, which is free", line=line, port=port), tr("Or type another port of it.")
        )

    def _move(self, line: str, old: str, new: str) -> Answer:
        self._write(move_draft(self._rig(), line, new))
        entry = self._rig().line(line)
        self.over, self.looked_at = True, line
        caution = f" {shown_word(PHANTOM)}" if isinstance(entry, Input) and entry.phantom else ""
        more = tr("Mute the channel, then re-plug from {port}.", port=old) + caution
        return Answer("ok", tr("{line} is on {port} now", line=f"{line} {entry.name}", port=new), more)


def _unknown(tag: Tag, old: str) -> tuple[str, ...]:
    taken = tr("it is taken as the same kind and length as {item}", item=old)
    return (tr("The plan does not know {item}", item=tag.item), taken)


def _new_stops(before: Rig, after: Rig, line: str) -> list[str]:
    """What the review would say of the line then and does not say now."""
    known = {(found.rule, found.where) for found in reviewed(before).findings}
    found = [one for one in reviewed(after).findings if one.level == "stop" and one.where == line]
    return [one.message for one in found if (one.rule, one.where) not in known]
