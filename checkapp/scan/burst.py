"""Which tag a hand scanner sent, from the keys that came of it: through the wrong keyboard, some dropped or repeated.

A scanner's keys are taken for a tag only if no other tag of the rig is likely to have given them:

- They are a tag in whole, its check character included, as they are or through one known keyboard; dots may be missing.
  Then no other tag may lead to them, through any keyboard, by three dropped or repeated keys or fewer.
- One or two keys were dropped or repeated, and the check character is there. Then no other tag may lead to them by that
  and three more, nor by that and one more mistake of any sort.

So three dropped or repeated keys never lead to a wrong tag, and neither do two mistakes of any sort unless they spell
another tag of the rig in whole. In doubt another scan is asked for. A tag in whole that has such a neighbour in the rig
is taken when it comes twice.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from typing import Final

from checkapp.rig.codes import ALPHABET, Tag, Written, without_hyphens, written_tag
from checkapp.scan.garbled import can_give, key_errors, once, within
from checkapp.scan.keyboards import KEYBOARDS

MOST_KEY_ERRORS: Final = 2
"""How many dropped and repeated keys are put right."""
MARGIN: Final = 3
"""How many dropped and repeated keys more every other tag must be away."""
LONGEST: Final = 400
_BACK: Final = tuple(back for keyboard in KEYBOARDS for back in keyboard.backs())
_CAPITALS: Final = {ord(small): small.upper() for small in "abcdefghijklmnopqrstuvwxyz"}
_KEYS: Final = ALPHABET + "-"
_TAG_CHARACTERS: Final = frozenset(_KEYS + ".")
_MOST_TAIL: Final = 40

Thing = tuple[str, str, str]
"""Owner, code without hyphens, and end: what the lasting tag and every show tag of it have in common."""


@dataclass(frozen=True, slots=True)
class Understood:
    """What a burst came to.

    ``tag``: the tag of the rig that it is, if ``sure``; else the one that it may be, None when it may be several or
    none. ``foreign``: a good tag of something that the rig does not have.
    """

    tag: Tag | None = None
    sure: bool = False
    foreign: Tag | None = None


@dataclass(frozen=True, slots=True)
class _Spelt:
    """One tag as a scanner sends it, without its dots, and which characters are in it, as bits."""

    letters: str
    bits: int
    tag: Tag
    thing: Thing


@dataclass(frozen=True, slots=True)
class _Way:
    """A tag that may have been sent, the reading of the burst that it led to, and by how many key errors."""

    spelt: _Spelt
    tail: str
    errors: int

    @property
    def checked(self) -> bool:
        """Whether the check character is there, as far as the last key tells."""
        return self.tail[-1] == self.spelt.letters[-1]

    @property
    def printed(self) -> bool:
        """Whether the dots stand as on the label."""
        return self.tail == self.spelt.tag.text


def readings(text: str) -> tuple[str, ...]:
    """What the scanner may have meant, in capitals: the text as it is, then through each known keyboard."""
    meant = (text.translate(_CAPITALS), *(text.translate(back) for back in _BACK))
    return tuple(dict.fromkeys(meant))


def tails(text: str) -> tuple[str, ...]:
    """Of each reading the part that may be a tag, which of a link is the last one; others are left out."""
    if len(text) > LONGEST:
        return ()
    last = dict.fromkeys(meant.rpartition("/")[2] for meant in readings(text.strip()))
    return tuple(tail for tail in last if 0 < len(tail) <= _MOST_TAIL and _TAG_CHARACTERS.issuperset(tail))


def whole_tags(text: str) -> tuple[Tag, ...]:
    """The whole tags with dots and the right check character that the text is, through whichever keyboard."""
    written = [written_tag(tail) for tail in tails(text)]
    return tuple(dict.fromkeys(found.tag for found in written if found is not None and found.fits))


class BurstReader:
    """Reads bursts against the lasting tags of one rig; ``mark`` is what today's show tags carry, empty for none."""

    def __init__(self, tags: Iterable[Tag], mark: str = "") -> None:
        self._tags = tuple(tags)
        self._marks = ("", mark) if mark else ("",)
        self._spelt = [spelt for mark in self._marks for spelt in self._spelling(mark)]
        self._things = frozenset(spelt.thing for spelt in self._spelt)

    def _spelling(self, mark: str) -> Iterator[_Spelt]:
        for lasting in self._tags:
            tag = replace(lasting, mark=mark)
            letters = _letters(tag.text)
            yield _Spelt(letters, _bits(letters), tag, _thing(tag))

    def read(self, text: str, before: str = "") -> Understood:
        """What a burst is; ``before`` is the burst before it if that was not sure."""
        meant, whole = tails(text), whole_tags(text)
        older = {tag.mark for tag in whole} - set(self._marks)
        known = [*self._spelt, *(spelt for mark in sorted(older) for spelt in self._spelling(mark))]
        ways = _nearest(way for tail in meant for way in _ways(known, tail))
        foreign = [tag for tag in whole if _thing(tag) not in self._things]
        exact = any(way.errors == 0 for way in ways)
        if foreign and (not exact or written_tag(_as_it_is(text)) == Written(foreign[0], foreign[0].check)):
            return Understood(foreign=None if exact or len(foreign) > 1 else foreign[0])
        if len({way.spelt.thing for way in ways}) > 1:
            return _of_several(ways, text == before)
        return _of_one(ways[0], meant, known) if ways else Understood()


def _ways(known: list[_Spelt], tail: str) -> Iterator[_Way]:
    """The tags that dropped and repeated keys can have turned into the reading."""
    letters = _letters(tail)
    bits, seen, most = _bits(letters), once(letters), MOST_KEY_ERRORS + MARGIN
    for spelt in known:
        if not bits & ~spelt.bits and abs(len(spelt.letters) - len(letters)) <= most and can_give(spelt.letters, seen):
            errors = key_errors(spelt.letters, letters)
            if letters and errors is not None and errors <= most:
                yield _Way(spelt, tail, errors)


def _nearest(ways: Iterable[_Way]) -> list[_Way]:
    """Those ways that count beside the best, which comes first."""
    found = sorted(ways, key=lambda way: way.errors)
    return [way for way in found if way.errors <= found[0].errors + MARGIN]


def _of_one(way: _Way, meant: tuple[str, ...], known: list[_Spelt]) -> Understood:
    """When one thing alone can have given the burst by dropped and repeated keys."""
    if way.errors == 0:
        return Understood(way.spelt.tag, sure=True)
    if way.errors > MOST_KEY_ERRORS or not way.checked:
        return Understood()
    others = [spelt for spelt in known if spelt.thing != way.spelt.thing]
    near = any(_near(others, _letters(tail), way.errors + 1) for tail in meant)
    return Understood(way.spelt.tag, sure=not near)


def _of_several(ways: list[_Way], again: bool) -> Understood:
    """When several things can have given the burst: sure if it came twice as one of them has it printed.

    Not even then if keys that always come once only, or always twice, make the one of the other.
    """
    exact = [way for way in ways if way.errors == 0]
    best = exact if len({way.spelt.thing for way in exact}) == 1 else [way for way in exact if way.printed]
    if len({way.spelt.thing for way in best}) != 1:
        return Understood()
    way, ran = best[0], once(best[0].spelt.letters)
    stuck = any(other.errors and once(other.spelt.letters) == ran for other in ways)
    return Understood(way.spelt.tag, sure=again and way.printed and not stuck)


def _as_it_is(text: str) -> str:
    """The part that may be a tag of the text as it is."""
    return text.strip().translate(_CAPITALS).rpartition("/")[2]


def _thing(tag: Tag) -> Thing:
    return tag.owner, without_hyphens(tag.code), tag.end


def _letters(tail: str) -> str:
    return tail.replace(".", "")


def _bits(letters: str) -> int:
    bits = 0
    for letter in letters:
        bits |= 1 << _KEYS.index(letter)
    return bits


def _near(others: list[_Spelt], letters: str, most: int) -> bool:
    """Whether at most ``most`` mistakes of any sort lead from one of the tags to ``letters``."""
    bits = _bits(letters)
    return any(
        (bits & ~spelt.bits).bit_count() <= most
        and (spelt.bits & ~bits).bit_count() <= most
        and within(spelt.letters, letters, most)
        for spelt in others
    )


def read_burst(text: str, tags: Iterable[Tag], before: str = "") -> Tag | None:
    """The tag of the rig that a burst is for sure; None when it is none or another scan is needed.

    ``tags`` are the lasting tags of the rig; a show tag comes back with its mark. ``before`` is the burst before this
    one, if that was not sure: a burst that comes twice in the same letters settles some doubts.
    """
    found = BurstReader(tags).read(text, before)
    return found.tag if found.sure else None
