"""What each outcome of a test would mean: who would be to blame the most, and how surely."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, NamedTuple

from checkapp.diagnose.outlook import Listening, Outlook, outlook_of
from checkapp.diagnose.posterior import Suspect
from checkapp.diagnose.private import hearing_of

if TYPE_CHECKING:
    from checkapp.diagnose.chances import Chances
    from checkapp.diagnose.evidence import Heard, Path
    from checkapp.diagnose.private import Hearing


class Meaning(NamedTuple):
    """The likeliest suspect after a test, of the items in question, if the line is ok then and if it is faulty.

    None where that outcome cannot be, or where nothing is in question. The symptom is left open.
    """

    ok: Suspect | None
    faulty: Suspect | None


def meanings(
    paths: Mapping[str, Path],
    heard: Sequence[Heard],
    chances: Chances | Hearing,
    tests: Sequence[Listening],
) -> tuple[Meaning, ...]:
    """What the outcomes of each of these tests would mean; errors as for the suspects."""
    outlook = outlook_of(paths, heard, hearing_of(chances), [test.path for test in tests])
    return tuple(Meaning(*_outcomes(outlook, test)) for test in tests)


def _outcomes(outlook: Outlook, test: Listening) -> Iterator[Suspect | None]:
    after = {then.heard[-1].verdict: then for _, then in outlook.after(test)}
    for verdict in ("ok", "faulty"):
        then = after.get(verdict)
        yield _likeliest(then) if then is not None else None


def _likeliest(outlook: Outlook) -> Suspect | None:
    found = [Suspect(item, outlook.chances[item]) for item in outlook.asked]
    return max(found, key=lambda one: (one.probability, one.item.name), default=None)
