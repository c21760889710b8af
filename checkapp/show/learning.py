"""What the journal has taught so far, for the suspects of a rig: their chances, and how often each item failed."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from checkapp.diagnose.chances import Chances, chances_of
from checkapp.journal.journal import Journal
from checkapp.rig.codes import read_port

if TYPE_CHECKING:
    from pathlib import Path

    from checkapp.history.lives import Life
    from checkapp.rig.rig import Rig


@dataclass(frozen=True, slots=True)
class Learned:
    """The chances to reckon with; ``lives`` of the rig's items, by the name that the rig has for them."""

    chances: Chances
    lives: Mapping[str, Life] = field(default_factory=dict)

    def words(self, item: str) -> str:
        """How often an item failed, in words; empty where nothing is known of it."""
        from checkapp.history.learned import history_words

        return history_words(self.lives[item]) if item in self.lives else ""


def learn(rig: Rig, journal: Path, show: str, *, asked: bool = True) -> Learned:
    """What the journal at a path teaches of the items of a rig as it runs; not by what was heard at that ``show``.

    What was heard at the show itself is the evidence, and does not count a second time. Nothing is read where it
    is not ``asked`` for or the plan says ``learn = false``: the plan's chances count then.

    Errors: those of reading the journal.
    """
    settings = rig.plan.diagnose
    if not asked or not settings.learn:
        return Learned(chances_of(settings))
    from checkapp.history.learned import learned, without
    from checkapp.history.tally import tallies

    with Journal.read(journal) as opened:
        found = without(*tallies(opened, show), show)
    names = names_of(rig, (item.name for line in rig.lines for item in rig.path(line.line)))
    lives = {life.item: life for life in found.lives}
    known = {item: lives[name] for item, name in names.items() if name in lives}
    return Learned(learned(found, names, settings), known)


def names_of(rig: Rig, items: Iterable[str]) -> dict[str, str]:
    """The names by owner and code of items as the rig calls them."""
    owners = {tag.code: tag.owner for tag in rig.tags}
    found = {}
    for item in items:
        port = read_port(item)
        owner = owners.get(port.code if port else item, rig.owner)
        found[item] = item if "." in item else f"{owner}.{item}"
    return found
