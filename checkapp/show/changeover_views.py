"""What the changeover list shows: the work from one rig to the next, and the lines to check again."""

from __future__ import annotations

from dataclasses import dataclass

from checkapp.show.beginning import RigRow
from checkapp.show.views import LineRow, RigView
from checkapp.tongue import tr


@dataclass(frozen=True, slots=True)
class ChangeRow:
    """One thing that is done.

    ``title`` is what it is done to, ``fact`` what of it changes, ``was`` and ``becomes`` from what to what (empty where
    it is new or gone), ``at`` where on stage. ``item`` opens a card in the new rig; empty where that does not have it.
    """

    title: str
    fact: str
    was: str
    becomes: str
    at: str = ""
    item: str = ""

    @property
    def from_words(self) -> str:
        """Where it comes from, as said before what it goes to; nothing where it is new or gone."""
        return tr("from {was}", was=self.was) if self.was and self.becomes else ""

    @property
    def to_words(self) -> str:
        """Where it goes, and where on stage that is; where it is gone, where it was."""
        what = self.becomes or self.was
        words = tr("to {becomes}", becomes=what) if self.from_words else what
        return ", ".join(filter(None, (words, self.at)))


@dataclass(frozen=True, slots=True)
class ChangeGroup:
    """What is done in one go, under its heading; never empty."""

    title: str
    rows: tuple[ChangeRow, ...]


@dataclass(frozen=True, slots=True)
class ChangeoverView:
    """The changeover from one rig to another.

    ``again`` are the lines of the new rig that are checked again, each with why, or with its mark where the open check
    has one. ``check_words`` is what the button says that starts with these lines or goes on with them; it can be tapped
    when ``can_check``. ``rig`` is the new rig.
    """

    title: str
    headline: str
    cautions: tuple[str, ...]
    groups: tuple[ChangeGroup, ...]
    again: tuple[LineRow, ...]
    again_title: str
    check_words: str
    can_check: bool
    rig: RigView


@dataclass(frozen=True, slots=True)
class OldRigsView:
    """The rigs that can have stood before the open one, the likelier first; ``new`` is the open one's plan file."""

    title: str
    new: str
    rigs: tuple[RigRow, ...]
