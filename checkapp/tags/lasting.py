"""What an asset tag says: what stays true of a thing as long as it lives, whatever the plan."""

from dataclasses import dataclass
from typing import Literal

from checkapp.rig.codes import Tag
from checkapp.rig.measures import length_of
from checkapp.rig.rig import Rig
from checkapp.tongue import later, shown_word, tr
from checkapp.tongue.numbers import number

TagKind = Literal["box", "cable", "chain", "supply", "source"]
Weight = Literal["strong", "plain", "small"]
ENDS_IN_WORDS = {"A": later("desk end"), "B": later("far end")}


@dataclass(frozen=True, slots=True)
class Said:
    """One line that a tag says below its code, and how it is set.

    An ``exact`` one, as ports are, is cut only between its parts, after a comma or semicolon, or left out: a piece of
    ``in 5 to 12`` would send a plug to the wrong socket. ``if_room`` marks what is printed only beside all the rest.
    """

    text: str
    weight: Weight = "plain"
    exact: bool = False
    if_room: bool = False


def lasting(rig: Rig, tag: Tag) -> tuple[Said, ...]:
    """Kind and length of the thing, which end this is, whose it is."""
    end = (Said(shown_word(ENDS_IN_WORDS[tag.end])),) if tag.end else ()
    return (Said(kind_words(rig, tag.code), "strong"), *end, Said(owner_words(tag)))


def owner_words(tag: Tag) -> str:
    """Whose it is: the mark that settles it at load-out."""
    return tr("owner {owner}", owner=tag.owner)


def kind_words(rig: Rig, code: str) -> str:
    """What a coded thing is, and for a cable how long, for a supply how strong."""
    if code in rig.boxes:
        return f"{tr('box')}, {rig.boxes[code].kind}"
    if code in rig.cables:
        return f"{rig.cables[code].kind}, {length_of(rig.cables[code])}"
    if code in rig.chains:
        return f"{tr('chain')}, {rig.chains[code].link}"
    if code in rig.supplies:
        supply = rig.supplies[code]
        return f"{tr('supply')}, {number(supply.volts)} V, {number(supply.breaker_amps)} A"
    kind = rig.sources[code].kind
    return f"{tr('source')}, {kind}" if kind else tr("source")
