"""Codes of items, the names of ports and lines, and the tags that carry them.

A tag is ``OWNER.CODE.C``, a cable's two are ``OWNER.CODE.A.C`` and ``OWNER.CODE.B.C``; a show tag
carries four characters of the plan's digest before the check character. The check character is that
of ISO/IEC 7064, MOD 37,36, over all that stands before it, dots and hyphens left out. A tag may
stand at the end of a link, for crews with a page of their own.
"""

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher
from itertools import accumulate
from typing import Literal

from checkapp.rig.errors import CheckappError, UnknownCode, WrongCheckCharacter, printable
from checkapp.tongue import tr

ALPHABET = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"
CODE_PATTERN = r"^[A-Z0-9]([A-Z0-9-]{0,8}[A-Z0-9])?$"
OWNER_PATTERN = r"^[A-Z0-9]{1,4}$"
DESK = "DESK"
ENDS = ("A", "B")
_PORT = re.compile(r"([A-Z0-9](?:[A-Z0-9-]{0,8}[A-Z0-9])?) (in|out) ([1-9][0-9]{0,3})", re.ASCII)
_LINE = re.compile(r"(in|out)\s*([1-9][0-9]{0,5})", re.ASCII | re.IGNORECASE)
_TYPED = re.compile(r"[A-Z0-9.\- ]{1,40}", re.ASCII | re.IGNORECASE)
_WRITTEN = re.compile(
    r"([A-Z0-9]{1,4})\.([A-Z0-9](?:[A-Z0-9-]{0,8}[A-Z0-9])?)(?:\.([AB]))?(?:\.([A-Z0-9]{4}))?\.([A-Z0-9])",
    re.ASCII | re.IGNORECASE,
)
_LINK = re.compile(r"(?:[A-Z][A-Z0-9+.-]*://[^/ ]*|WWW\.[^/ ]+(?=/))((?:/[^ ]*)?)", re.ASCII | re.IGNORECASE)
_MARK_LENGTH = 4
_LEADING_NOUGHTS = re.compile(r"(?<![0-9])0+(?=[0-9])")
_MOST_CANDIDATES = 3000
_NEAR = 0.6

Direction = Literal["in", "out"]


def check_character(text: str) -> str:
    """Return the check character of ``text`` (ISO/IEC 7064:2003, MOD 37,36, a hybrid system).

    Dots and hyphens are passed over. ValueError: a character outside ``0-9 A-Z``.
    """
    product = 36
    for character in squeezed(text):
        total = (product + ALPHABET.index(character)) % 36 or 36
        product = total * 2 % 37
    return ALPHABET[(37 - product) % 36]


def base36(number: int) -> str:
    """``number`` in base 36, capital letters. ValueError: below 0."""
    if number < 0:
        raise ValueError(f"{number} is below 0")
    digits = ""
    while True:
        number, digit = divmod(number, 36)
        digits = ALPHABET[digit] + digits
        if not number:
            return digits


def without_hyphens(code: str) -> str:
    """The code as it is compared: two codes that differ only by hyphens are the same."""
    return code.replace("-", "")


def squeezed(text: str) -> str:
    """A tag's text without dots and hyphens: what the check character is reckoned over."""
    return without_hyphens(text.replace(".", ""))


@dataclass(frozen=True, slots=True)
class Tag:
    """What one printed label carries: owner, code, a cable's end, a show tag's mark.

    End ``A`` is the one nearer the desk, ``B`` the one farther from it.
    """

    owner: str
    code: str
    end: str = ""
    mark: str = ""

    @property
    def check(self) -> str:
        """The check character."""
        return check_character(self.body)

    @property
    def text(self) -> str:
        """What is printed, held in the QR, scanned and typed."""
        return f"{self.body}.{self.check}"

    @property
    def item(self) -> str:
        """The owner and code alone: the item's name across rigs."""
        return f"{self.owner}.{self.code}"

    @property
    def body(self) -> str:
        """All that stands before the check character and its dot."""
        return ".".join(part for part in (self.owner, self.code, self.end, self.mark) if part)


@dataclass(frozen=True, slots=True)
class Written:
    """A tag as it was written, and the check character that was written with it, right or wrong."""

    tag: Tag
    check: str

    @property
    def fits(self) -> bool:
        """Whether the check character is the right one."""
        return self.check == self.tag.check


def written_tag(text: str) -> Written | None:
    """A whole tag with its dots and its check character, in any case, of whichever owner and rig; None for all else."""
    found = _WRITTEN.fullmatch(text)
    if not found:
        return None
    owner, code, end, mark, check = (part.upper() for part in found.groups(""))
    if code == DESK:
        return None
    return Written(Tag(owner, code, end, mark), check)


def link_tail(text: str) -> str | None:
    """The last part of a web address, where a tag may stand; None when ``text`` is no web address."""
    found = _LINK.fullmatch(text)
    return found[1].rstrip("/").rpartition("/")[2] if found else None


@dataclass(frozen=True, slots=True, order=True)
class Port:
    """One connector: the box's code or ``DESK``, the direction, the number from 1."""

    code: str
    direction: Direction
    number: int

    def __str__(self) -> str:
        return f"{self.code} {self.direction} {self.number}"

    def plus(self, more: int) -> "Port":
        """The port ``more`` places further on the same box."""
        return Port(self.code, self.direction, self.number + more)


def read_port(text: str) -> Port | None:
    """``SB1 in 3`` or ``DESK out 2`` as a port; None when it is not written so."""
    found = _PORT.fullmatch(text)
    if not found:
        return None
    return Port(found[1], "in" if found[2] == "in" else "out", int(found[3]))


def known_port(text: str) -> Port:
    """A port of a checked plan. ValueError: it is no port."""
    port = read_port(text)
    if port is None:
        raise ValueError(text)
    return port


def read_line(text: str) -> str | None:
    """``in 7``, ``IN7`` or ``out 2`` as the line's name ``in 7``; None when it is no line."""
    found = _LINE.fullmatch(text.strip())
    return f"{found[1].lower()} {found[2]}" if found else None


def nearest(word: str, known: Iterable[str], most: int = 1) -> list[str]:
    """The names of ``known`` that look most like ``word``, best first, in any case.

    Numbers are compared without leading noughts, so that ``XL9`` is nearest to ``XL09``; of names
    that are equally near the earlier one goes first. Empty when none is near or there are too many
    to try.
    """
    names = list(dict.fromkeys(known))
    if len(names) > _MOST_CANDIDATES or len(word) > 80:
        return []
    likeness = SequenceMatcher(b=_plain(word), autojunk=False)
    scores: dict[str, float] = {}
    for name in names:
        likeness.set_seq1(_plain(name))
        if likeness.real_quick_ratio() >= _NEAR and likeness.quick_ratio() >= _NEAR:
            scores[name] = likeness.ratio()
    near = [name for name, score in scores.items() if score >= _NEAR]
    return sorted(near, key=scores.__getitem__, reverse=True)[:most]


def _plain(name: str) -> str:
    return _LEADING_NOUGHTS.sub("", name.casefold())


def did_you_mean(what: str, word: str, known: Iterable[str]) -> tuple[str, str]:
    """What is wrong and what would be right, for a ``word`` that is no known ``what``."""
    names = list(dict.fromkeys(known))
    near = nearest(word, names)
    wrong = tr('no {wanted} "{name}"', wanted=what, name=printable(word, 60))
    if near:
        mean = tr('did you mean "{name}"?', name=near[0])
        return f"{wrong}, {mean}", tr('write "{name}" or add that {wanted}', name=near[0], wanted=what)
    if not names:
        return wrong, tr("add that {wanted}: the plan has none", wanted=what)
    shown = ", ".join(names[:4])
    if len(names) > 4:
        return wrong, tr("the plan has {names} and more", names=shown)
    return wrong, tr("the plan has {names}", names=shown)


def read_tag(typed: str, tags: Sequence[Tag]) -> Tag:
    """The tag of the rig that a person typed or scanned.

    As `read_tags`, and end A of a cable that is named without its end.
    """
    return read_tags(typed, tags)[0]


def read_tags(typed: str, tags: Sequence[Tag]) -> tuple[Tag, ...]:
    """All tags of the rig that a person typed or scanned stands for.

    Any case, dots (or blanks for them) and hyphens optional, with or without owner and check
    character, as long as one item alone fits; a cable named without its end stands for both ends.
    Where the same letters can be read in two ways, dots that were typed decide; then a whole tag
    with its check character or a whole code, as printed large on the tag, goes before a code run
    together with its owner or end. A show tag, of whichever plan, stands for its item's tag. A link
    is taken when its last part is a whole tag, and never for less.

    Errors: `WrongCheckCharacter` when all but the check character fits, `UnknownCode` when nothing
    does or several items do. Both name the nearest of the rig.
    """
    tail = link_tail(typed.strip())
    parts = _typed_parts(typed if tail is None else tail)
    if tail is not None:
        _check_link(typed.strip(), tail, parts, tags)
    key = "".join(parts)
    fits = [fit for tag in tags if without_hyphens(tag.code) in key for fit in _fits(tag, parts)]
    if not fits:
        raise _refused(typed, parts, tags)
    best = min(rank for rank, _ in fits)
    found = tuple(dict.fromkeys(tag for rank, tag in fits if rank == best))
    items = dict.fromkeys(tag.item for tag in found)
    if len(items) == 1:
        return found
    shown = printable(typed, 60)
    raise UnknownCode(f'"{shown}" fits {", ".join(items)}; type the whole tag with its dots')


def _check_link(link: str, tail: str, parts: list[str], tags: Sequence[Tag]) -> None:
    written = written_tag(tail)
    if written is None:
        raise UnknownCode(f'"{printable(link, 60)}" is a web address, not a tag')
    if not written.fits:
        raise _refused(link, parts, tags)


def _typed_parts(typed: str) -> list[str]:
    """What was typed as parts between dots or spaces, in capitals; empty when it can be no tag."""
    if not _TYPED.fullmatch(typed.strip()):
        return []
    return without_hyphens(typed.upper()).replace(".", " ").split()


def _fits(tag: Tag, parts: list[str]) -> Iterator[tuple[int, Tag]]:
    """How well the tag fits what was typed, 0 best: dots may be left out, not put elsewhere."""
    key = "".join(parts)
    for spelling, whole in (*_spellings(tag), *_show_spellings(tag, key)):
        if "".join(spelling) == key and _breaks(parts) <= _breaks(spelling):
            dotted = len(parts) > 1 and parts == spelling
            yield (0 if dotted else 1 if whole else 2), tag


def _breaks(parts: list[str]) -> set[int]:
    """After how many characters there is a dot."""
    return set(accumulate(len(part) for part in parts[:-1]))


def _spellings(tag: Tag) -> Iterator[tuple[list[str], bool]]:
    """The ways to write a tag, as parts; with each, whether it is a whole tag or a whole code."""
    code = without_hyphens(tag.code)
    for owner, rest in _bodies(tag):
        yield [*owner, code, *rest, tag.check], bool(owner)
        yield [*owner, code], not owner
        if tag.end:
            yield [*owner, code, tag.end], False


def _show_spellings(tag: Tag, key: str) -> Iterator[tuple[list[str], bool]]:
    """The ways to write a show tag of the tag's item, with the mark that was typed, if that was a show tag."""
    mark = key[-_MARK_LENGTH - 1 : -1]
    if tag.mark or len(key) < _MARK_LENGTH + 2:
        return
    shown = Tag(tag.owner, tag.code, tag.end, mark)
    for owner, rest in _bodies(shown):
        yield [*owner, without_hyphens(tag.code), *rest, shown.check], bool(owner)


def _bodies(tag: Tag) -> Iterator[tuple[list[str], list[str]]]:
    """What may stand before the code, and what must stand between it and the check character."""
    rest = [part for part in (tag.end, tag.mark) if part]
    yield [tag.owner], rest
    yield [], rest


def _refused(typed: str, parts: list[str], tags: Sequence[Tag]) -> CheckappError:
    shown = printable(typed, 60)
    fits = [tag for tag in tags if _fits_but_for_check(tag, parts)]
    words = {squeezed(word): (tag, word) for tag in tags for word in (tag.text, tag.code)}
    alike = [words[word] for word in nearest("".join(parts), words, 3)]
    names = {tag.item: tag.text for tag in fits}
    names |= {tag.item: word for tag, word in alike if tag.item not in names}
    near = tr("nearest: {names}", names=", ".join(names.values())) if names else tr("the rig has nothing like it")
    if fits:
        return WrongCheckCharacter(tr('"{text}": the check character does not fit', text=shown) + f"; {near}")
    return UnknownCode(tr('no item "{text}"', text=shown) + f"; {near}")


def _fits_but_for_check(tag: Tag, parts: list[str]) -> bool:
    if "".join(parts)[:-1] == squeezed(tag.body):
        return True
    if len(parts) < 2 or len(parts[-1]) != 1:
        return False
    code = without_hyphens(tag.code)
    bodies = [[*owner, code, *rest] for owner, rest in _bodies(tag)]
    if parts[:-1] in bodies:
        return True
    return not tag.mark and len(parts[-2]) == _MARK_LENGTH and parts[:-2] in bodies
