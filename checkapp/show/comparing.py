"""Two plans compared by a command: the work that lies between them, and which lines are checked again."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from itertools import chain
from pathlib import Path
from typing import TYPE_CHECKING

from checkapp.changeover.again import Again, changed_lines, lines_again
from checkapp.changeover.difference import Change, Step, in_the_way, work
from checkapp.changeover.words import reason_words, row
from checkapp.review.wording import listed
from checkapp.rig.model import Box, Input
from checkapp.rig.planfile import load_plan
from checkapp.show.card_words import spans
from checkapp.show.cautions import MAINS, MUTE, NO_GUESS, PHANTOM
from checkapp.tongue import shown_word, tr

if TYPE_CHECKING:
    from checkapp.rig.model import Line
    from checkapp.rig.rig import Rig

__all__ = ["Compared", "cautions", "changed_lines", "compare_plans", "compared", "document"]


@dataclass(frozen=True)
class Compared:
    """Two rigs and what lies between them.

    ``work`` has every step, in the order of the work; ``again`` the lines to check, in the order of the new plan.
    ``blocking`` are the old plan's lines that are unplugged first, for another line gets their port.
    """

    old: Rig
    new: Rig
    work: Mapping[Step, tuple[Change, ...]]
    blocking: tuple[Line, ...]
    again: tuple[Again, ...]

    @property
    def same(self) -> bool:
        """Whether the two plans say the same in every field."""
        return not any(self.work.values())

    @cached_property
    def gone(self) -> tuple[Line, ...]:
        """The lines of the old plan that the new one does not have."""
        lines = {change.old_name for change in self.work["unplug"] if change.table in ("input", "output")}
        return tuple(line for line in self.old.lines if line.line in lines)


def compare_plans(old: Path, new: Path) -> Compared:
    """Compare two plan files. Errors: `PlanRefused`."""
    return compared(load_plan(old), load_plan(new))


def compared(old: Rig, new: Rig) -> Compared:
    """Compare two rigs."""
    return Compared(old, new, work(old, new), in_the_way(old, new), lines_again(old, new))


def cautions(found: Compared) -> tuple[str, ...]:
    """What to mind before the first plug is pulled: phantom power and on which lines, muting, mains."""
    return tuple(_cautions(found))


def document(found: Compared) -> dict[str, object]:
    """The JSON document of a comparison.

    ``old``, ``new``: ``file``, ``rig``, ``version`` (or null), ``mark`` (the four characters on show tags).
    ``same``: true when nothing is different. ``cautions``: texts. ``unplug_first``: the old plan's lines that leave a
    port which another line gets: ``line``, ``name``, ``port``.

    ``steps``: the work in its order, each with ``step`` (``unplug``, ``power``, ``hops``, ``lines``, ``desk``,
    ``stock``, ``paper``) and ``changes``. A change has ``table`` and ``field`` as in the plan file (``field`` is "" for
    a whole entry), ``old_name`` and ``new_name`` (what the entry is called in either plan, null where it is new or
    gone), ``old`` and ``new`` (values; entries as tables of the fields that say something) and ``words``.

    ``check_again``: the lines to check, in the order of the new plan: ``line``, ``was`` (its name in the old plan, null
    when new), ``name``, ``port``, and ``reasons``, each with ``what``, ``old``, ``new`` (see
    `checkapp.changeover.again.Reason`) and ``words``.
    """
    return {
        "old": _rig(found.old),
        "new": _rig(found.new),
        "same": found.same,
        "cautions": list(cautions(found)),
        "unplug_first": [{"line": one.line, "name": one.name, "port": one.port} for one in found.blocking],
        "steps": [
            {"step": step, "changes": [_change(found, change) for change in changes]}
            for step, changes in found.work.items()
        ],
        "check_again": [_again(one) for one in found.again],
    }


def span_words(lines: Iterable[Line]) -> str:
    """Lines as ``in 1 to 4, in 7 and out 2``."""
    return listed(list(spans(list(lines))))


def _rig(rig: Rig) -> dict[str, object]:
    return {"file": rig.file, "rig": rig.name, "version": rig.version, "mark": rig.mark}


def _change(found: Compared, change: Change) -> dict[str, object]:
    return {
        "table": change.table,
        "field": change.field,
        "old_name": change.old_name,
        "new_name": change.new_name,
        "old": _plain(change.old),
        "new": _plain(change.new),
        "words": row(found.old, found.new, change).sentence,
    }


def _plain(value: object) -> object:
    """A value as JSON writes it; an entry as a table of the fields that it gives."""
    from pydantic_core import to_jsonable_python

    return to_jsonable_python(value, by_alias=True, exclude_none=True)


def _again(one: Again) -> dict[str, object]:
    return {
        "line": one.line.line,
        "was": one.old.line if one.old else None,
        "name": one.line.name,
        "port": one.line.port,
        "reasons": [reason._asdict() | {"words": reason_words(reason)} for reason in one.reasons],
    }


def _cautions(found: Compared) -> Iterator[str]:
    plugged = any(found.work[step] for step in ("unplug", "hops", "lines"))
    before = _with_phantom([*found.gone, *(one.old for one in found.again if one.old)])
    after = _with_phantom(one.line for one in found.again)
    if before or after:
        yield " ".join([shown_word(PHANTOM), *_phantom(found, before, after), shown_word(NO_GUESS)])
    elif plugged:
        yield shown_word(MUTE)
    if any(_on_mains(change) for change in chain.from_iterable(found.work.values())):
        yield shown_word(MAINS)


def _phantom(found: Compared, before: set[str], after: set[str]) -> Iterator[str]:
    if before:
        on = span_words(line for line in found.old.lines if line.line in before)
        yield tr("By the old plan it is on for {lines}: off before they are unplugged.", lines=on)
    if after:
        on = span_words(line for line in found.new.lines if line.line in after)
        yield tr("By the new plan it is on for {lines}.", lines=on)


def _with_phantom(lines: Iterable[Line]) -> set[str]:
    return {line.line for line in lines if isinstance(line, Input) and line.phantom}


def _on_mains(change: Change) -> bool:
    """Whether a hand goes to mains for it: a supply, or a box that gets, leaves or brings its own."""
    entries = (change.old, change.new)
    with_supply = any(isinstance(entry, Box) and entry.supply is not None for entry in entries)
    return with_supply or (change.step == "power" and change.table in ("supply", "box"))
