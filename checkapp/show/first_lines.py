"""Which lines to check first, as a command tells it: how likely each is faulty, and what would stay unfound."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from checkapp.diagnose.likely import unfound
from checkapp.diagnose.next_test import minutes_of
from checkapp.review.summary import counted
from checkapp.show.checking_order import WORDS, Order, in_time, lines_in_order
from checkapp.show.suspects_text import percent
from checkapp.tongue import tr
from checkapp.tongue.numbers import number, with_sign

if TYPE_CHECKING:
    from checkapp.rig.rig import Rig

_COLUMNS: Final = 80
_LEAST: Final = 0.01


@dataclass(frozen=True, slots=True)
class Asked:
    """The order that was asked for, and the minutes that there are (None: no end)."""

    order: Order = "likely"
    minutes: float | None = None


@dataclass(frozen=True, slots=True)
class First:
    """The lines to check first, in their order, each with the chance that it would be marked faulty.

    ``open`` is how many lines are open in all; ``unfound_before`` the expected number of faulty ones among them, and
    ``unfound`` what is left of it once the first ones are checked.
    """

    asked: Asked
    lines: tuple[tuple[str, float], ...]
    open: int
    unfound: float
    unfound_before: float


def first_lines(rig: Rig, chances: Mapping[str, float], asked: Asked, changed: Collection[str] = frozenset()) -> First:
    """The first of the open lines, which are those of ``chances``; ``changed`` are open again because of a change.

    `MinutesRefused`: they are no time.
    """
    marked = {line.line for line in rig.lines if line.line not in chances}
    order = lines_in_order(rig, asked.order, marked, chances, first=changed)
    ordered = [name for name in order if name in chances]
    first = in_time(ordered, asked.minutes, minutes_of(rig.plan.diagnose).mark)
    lines = tuple((name, chances[name]) for name in first)
    return First(asked, lines, len(ordered), unfound(chances, set(first)), unfound(chances))


def document(found: First) -> dict[str, object]:
    """What the JSON document of the state says besides."""
    lines = [{"line": line, "probability": chance} for line, chance in found.lines]
    return {
        "order": found.asked.order,
        "minutes": found.asked.minutes,
        "first": lines,
        "unfound": found.unfound,
        "unfound_before": found.unfound_before,
    }


def text_of(rig: Rig, found: First, *, signed_off: bool) -> Iterator[str]:
    """The same in words, for a terminal of 80 columns."""
    if not found.open:
        yield "  no line is open"
        return
    yield f"  {'the next check' if signed_off else 'to check'} {WORDS[found.asked.order]}: {count_words(found)}"
    yield f"  {unfound_words(found)}"
    for name, chance in found.lines:
        line = rig.line(name)
        words = f"  {percent(chance):>9}  {name:<7} {line.name}, {line.port}"
        yield words if len(words) <= _COLUMNS else f"{words[: _COLUMNS - 3]}..."


def count_words(found: First) -> str:
    """How many lines there is time for: ``33 of 39 lines in 10 min``."""
    many = counted(found.open, "line")
    if len(found.lines) < found.open:
        many = tr("{value} of {lines}", value=len(found.lines), lines=many)
    if found.asked.minutes is None:
        return many
    return tr("{lines} in {minutes} min", lines=many, minutes=number(found.asked.minutes))


def unfound_words(found: First) -> str:
    """What would stay unfound: ``expected faulty lines left unfound: 0.3 of 0.9``."""
    left, before = _number(found.unfound), _number(found.unfound_before)
    return tr("expected faulty lines left unfound: {left} of {before}", left=left, before=before)


def _number(expected: float) -> str:
    """An expected number, to two digits; what is next to nothing in words."""
    if 0 < expected < _LEAST:
        return tr("under {least}", least=with_sign(f"{_LEAST:g}"))
    return with_sign(f"{expected:.1f}" if expected >= 1 else f"{expected:.2g}")
