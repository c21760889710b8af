"""A test on the bench: logged, and compared with what the cable should have."""

from __future__ import annotations

import math
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Final, NamedTuple

from checkapp.journal import kinds
from checkapp.review.loop import Loop, loop_of
from checkapp.rig.errors import CheckappError
from checkapp.rig.planfile import load_plan
from checkapp.rig.whole_tag import whole_tag
from checkapp.show import clock
from checkapp.show.recording import Recorder, open_journal

if TYPE_CHECKING:
    from checkapp.rig.rig import Rig

_MEANS: Final = {
    "too high": "corroded, a bad joint, or longer than the plan says",
    "too low": "shorter than the plan says, or a short on the way",
}


class NothingMeasured(CheckappError):
    """Neither a resistance nor a verdict was given."""


class OhmsRefused(CheckappError):
    """A resistance that is none."""


class UnknownItem(CheckappError):
    """An item that no plan was named for and that is no whole tag."""


class Measured(NamedTuple):
    """Loop resistance in ohm, the verdict where somebody gave one, and the temperature in degrees Celsius."""

    ohms: float | None
    passed: bool | None
    at_c: float = 20.0


def bench(item: str, measured: Measured, plan: Path | None, by: str | None, journal: Path | None) -> Iterator[str]:
    """Log a test of an item and say how it stands; the entry's id comes first.

    Without a plan the item is named by its whole tag, and nothing is compared. Errors: `NothingMeasured`,
    `OhmsRefused`, `UnknownItem`, those of the plan and of the journal.
    """
    _must_tell(measured)
    rig = load_plan(plan) if plan is not None else None
    name = rig.resolve(item) if rig is not None else _by_tag(item)
    loop = _loop(rig, name, measured)
    passed = (
        measured.passed if measured.passed is not None else loop is None or loop.sort in ("as expected", "not known")
    )
    draft = kinds.bench(name, ohms=measured.ohms, passed=passed)
    with open_journal(journal) as opened:
        if rig is not None:
            yield Recorder(opened, rig).write(draft, None, by).id
        else:
            now, new = clock.now_ms(), clock.new_id()
            yield opened.append(
                draft.kind, now_ms=now, new_id=new, subject=draft.subject, by=by, detail=draft.detail
            ).id
    yield _words(name, measured, loop, passed=passed)


def _must_tell(measured: Measured) -> None:
    if measured.ohms is None and measured.passed is None:
        raise NothingMeasured("nothing to log: give --ohms, --pass or --fail")
    if measured.ohms is not None and not 0 <= measured.ohms < math.inf:
        raise OhmsRefused(f"{measured.ohms:g} is no resistance; give ohms of 0 or more")
    if not -60 < measured.at_c < 200:
        raise OhmsRefused(f"{measured.at_c:g} C is no temperature of a cable; give degrees Celsius")


def _by_tag(text: str) -> str:
    tag = whole_tag(text)
    if tag is None:
        raise UnknownItem(f"{text} is no whole tag; give one, as QN.LD03.A.5, or name the plan with --plan")
    return tag.item


def _loop(rig: Rig | None, name: str, measured: Measured) -> Loop | None:
    if rig is None or measured.ohms is None or name not in rig.cables:
        return None
    return loop_of(rig, name, measured.ohms, measured.at_c)


def _words(name: str, measured: Measured, loop: Loop | None, *, passed: bool) -> str:
    verdict = f"{name}: {'passed' if passed else 'failed'}"
    if measured.ohms is None:
        return verdict
    verdict += f", {measured.ohms:g} ohm"
    if loop is None or loop.expected_ohm is None:
        return f"{verdict}; what it should have is not known"
    range_words = f"{loop.low_ohm:.2g} to {loop.high_ohm:.2g} ohm at {measured.at_c:g} C"
    if loop.sort == "as expected":
        return f"{verdict}; as its length and core give: {range_words}"
    return f"{verdict}; {loop.sort}, {range_words} is right: {_MEANS[loop.sort]}"
