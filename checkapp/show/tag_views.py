"""What the tags screens show."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True, slots=True)
class TagsView:
    """What is to be printed, and a page of it.

    ``summary`` says how many tags on how many pages, ``items`` what was picked, ``says`` which words they carry.
    ``start`` is empty on a roll. ``picture`` is page ``page`` as a PNG ``width_px`` wide and ``height_px`` high, empty
    when there is none: ``caution`` tells why, or what is left out. ``print_word`` is empty where the system has no
    print command; ``print_note`` then says what to do. ``message`` is what came of the last save or print.
    """

    summary: str
    items: str
    stock: str
    stock_detail: str
    start: str
    says: str
    says_detail: str
    folder: str
    page: int
    pages: int
    page_words: str
    picture: bytes
    width_px: int
    height_px: int
    can_print: bool
    caution: str = ""
    print_word: str = ""
    print_note: str = ""
    message: str = ""


@dataclass(frozen=True, slots=True)
class PickRow:
    """Something that can be tagged: its code, what it is, whether it is picked."""

    code: str
    detail: str
    picked: bool


@dataclass(frozen=True, slots=True)
class PickGroup:
    """Things of one kind at one place; ``picked`` of them are picked. ``key`` names the group."""

    key: str
    title: str
    picked: int
    rows: tuple[PickRow, ...]


@dataclass(frozen=True, slots=True)
class PickKind:
    """A kind of thing as a word, and whether all of it is picked."""

    kind: str
    word: str
    picked: bool


@dataclass(frozen=True, slots=True)
class PickView:
    """What is picked of all that can be tagged."""

    summary: str
    kinds: tuple[PickKind, ...]
    groups: tuple[PickGroup, ...]


@dataclass(frozen=True, slots=True)
class ChoiceRow:
    """Something to choose: its key, what it is called, what there is to know of it, whether it is chosen."""

    key: str
    title: str
    detail: str
    chosen: bool


@dataclass(frozen=True, slots=True)
class ChoiceView:
    """Several of which one is chosen; ``note`` says what for."""

    of: Literal["stock", "folder"]
    title: str
    note: str
    rows: tuple[ChoiceRow, ...]


@dataclass(frozen=True, slots=True)
class StartView:
    """The first sheet as a grid of ``across`` by ``down`` labels: ``start`` is the first that is printed on, from 1.

    ``cells`` are the codes that come onto the labels, row by row; empty on those that are gone or stay white.
    """

    summary: str
    across: int
    down: int
    start: int
    cells: tuple[str, ...]
