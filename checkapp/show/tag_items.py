"""What of a rig can be tagged, in groups: by kind, and within a kind by the place on stage."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from checkapp.rig.connections import DESK_PLACE, connections
from checkapp.rig.paths import source_of
from checkapp.rig.rig import Rig
from checkapp.tags.lasting import TagKind, kind_words

if TYPE_CHECKING:
    from checkapp.rig.connections import Connection

KINDS: Final[tuple[TagKind, ...]] = ("box", "cable", "chain", "supply", "source")
"""In the order in which they are printed."""
_BY_PLACE: Final = ("cable", "source")


@dataclass(frozen=True, slots=True)
class TagItem:
    """One thing that can be tagged. ``tags`` is how many labels it gets: a cable has one for each end."""

    code: str
    kind: TagKind
    what: str
    place: str
    tags: int


@dataclass(frozen=True, slots=True)
class TagGroup:
    """Things of one kind at one place; ``place`` is empty where the plan tells none."""

    kind: TagKind
    place: str
    items: tuple[TagItem, ...]

    @property
    def key(self) -> str:
        """What names the group."""
        return f"{self.kind} {self.place}"

    @property
    def codes(self) -> tuple[str, ...]:
        """The codes of its things."""
        return tuple(item.code for item in self.items)


def tag_groups(rig: Rig) -> tuple[TagGroup, ...]:
    """Everything of the rig that gets a tag; kinds in printing order, places and things in the order of the plan.

    Of boxes, chains and supplies there are few: each kind is one group. What has no place comes last of its kind.
    """
    groups: dict[tuple[TagKind, str], list[TagItem]] = {}
    for item in tag_items(rig):
        groups.setdefault((item.kind, item.place if item.kind in _BY_PLACE else ""), []).append(item)
    ordered = sorted(groups.items(), key=lambda found: (KINDS.index(found[0][0]), not found[0][1]))
    return tuple(TagGroup(kind, place, tuple(items)) for (kind, place), items in ordered)


def tag_items(rig: Rig) -> tuple[TagItem, ...]:
    """The things of a rig that get a tag, in printing order."""
    places = _places(rig)
    tables: tuple[tuple[TagKind, Iterable[str]], ...] = (
        ("box", rig.boxes),
        ("cable", rig.cables),
        ("chain", rig.chains),
        ("supply", rig.supplies),
        ("source", rig.sources),
    )
    return tuple(
        TagItem(code, kind, kind_words(rig, code), places.get((kind, code), ""), 2 if kind == "cable" else 1)
        for kind, codes in tables
        for code in codes
    )


def _places(rig: Rig) -> dict[tuple[str, str], str]:
    """Where things are on stage; a cable is where its far end goes, a source where its line is plugged."""
    found: dict[tuple[str, str], str] = {("box", box.code): box.place or "" for box in rig.boxes.values()}
    for one in _far_ends_last(connections(rig)):
        found["cable", one.cable] = one.place
    for line in rig.lines:
        if line.zone:
            found.setdefault(("source", source_of(line).name), line.zone)
    for chain in rig.chains.values():
        found["chain", chain.code] = chain.desk or DESK_PLACE
    for box in rig.boxes.values():
        if box.supply and box.place:
            found.setdefault(("supply", box.supply), box.place)
    return found


def _far_ends_last(all_ends: Collection[Connection]) -> list[Connection]:
    return sorted(all_ends, key=lambda one: one.end)
