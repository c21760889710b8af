"""What must be known before work on a show: which one, where, when, who; for a check, what changed, or set-up."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

from checkapp.tongue import later, shown_word

if TYPE_CHECKING:
    from checkapp.show.views import CheckRow, RigView

CHECK: Final = "check"
SETUP: Final = "set-up"
CHANGED: Final = "changed"
_TITLES: Final = {
    CHECK: later("A check of {rig}"),
    SETUP: later("Set-up of {rig}"),
    CHANGED: later("A check of {rig}, changed lines first"),
}


@dataclass(frozen=True, slots=True)
class Asking:
    """What is asked, with what is likely filled in; ``work`` is `CHECK`, `SETUP` or `CHANGED`.

    ``going`` is the newest check that still takes marks, where a check is asked for: it may be gone on with instead.
    """

    work: str
    rig: str
    name: str
    date: str
    venue: str = ""
    by: str = ""
    going: CheckRow | None = None

    @property
    def title(self) -> str:
        """What it is for."""
        return shown_word(_TITLES[self.work]).format(rig=self.rig)


class Asked:
    """What was answered last for the open rig, so that nobody types it twice.

    A set-up is gone on with as it was begun; the check after it is of the same show. After a check the next show comes.
    What was typed and not used yet stays typed.
    """

    def __init__(self) -> None:
        self._by = ""
        self._setup: tuple[str, str, str] | None = None
        self._typed: dict[tuple[str, str], dict[str, str]] = {}

    def forget_show(self) -> None:
        """Another rig was opened."""
        self._setup = None

    def answered(self, work: str, name: str, venue: str, date: str, by: str) -> None:
        """Keep what was answered."""
        self._by = by
        self._setup = (name, venue, date) if work == SETUP else None

    def typed(self, shown: Asking, typed: Asking) -> None:
        """Keep what was typed over what was ``shown``, for when the same is asked again; initials for all that is."""
        kept = self._typed.setdefault((shown.work, shown.rig), {})
        for name in ("name", "venue", "date"):
            if getattr(typed, name) != getattr(shown, name):
                kept[name] = getattr(typed, name)
        self._by = typed.by

    def used(self) -> None:
        """The work has begun: the next is asked for afresh."""
        self._typed.clear()

    def asking(self, work: str, rig: RigView) -> Asking:
        """What to ask of somebody who is about to work on the rig."""
        going = next((check for check in rig.checks if work == CHECK and not check.signed_off), None)
        asking = Asking(work, rig.title, rig.suggested_show, rig.suggested_date, by=self._by, going=going)
        if self._setup is not None:
            name, venue, date = self._setup
            asking = replace(asking, name=name, venue=venue, date=date)
        kept = self._typed.get((work, rig.title), {})
        venue, date = kept.get("venue", asking.venue), kept.get("date", asking.date)
        return replace(asking, name=kept.get("name", asking.name), venue=venue, date=date)
