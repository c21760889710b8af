"""The rows of the tags screens as plain dicts."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from checkapp.tongue import tr

if TYPE_CHECKING:
    from checkapp.show.tag_views import ChoiceRow, PickGroup, PickRow, TagsView
    from checkapp.touch.listing import RowDict


def group(of: PickGroup, tapped: Callable[[], None]) -> RowDict:
    """All things of a kind at a place, over its things."""
    count = len(of.rows)
    word = tr("{picked} of {count}", picked=of.picked, count=count)
    return _pick(of.title, "", word, of.picked == count, tapped, whole=True)


def thing(row: PickRow, tapped: Callable[[], None]) -> RowDict:
    """A thing that is picked or left out."""
    word = tr("picked") if row.picked else tr("left out")
    return _pick(row.code, row.detail, word, row.picked, tapped)


def option(row: ChoiceRow, tapped: Callable[[], None]) -> RowDict:
    """One of several of which one is chosen."""
    return _pick(row.title, row.detail, tr("chosen") if row.chosen else tr("take"), row.chosen, tapped)


def page(view: TagsView) -> RowDict:
    """A page of labels as it will be printed."""
    return {"kind": "ListedPage", "picture": view.picture, "wide": view.width_px, "high": view.height_px}


def _pick(
    title: str, detail: str, word: str, picked: bool, tapped: Callable[[], None], *, whole: bool = False
) -> RowDict:
    known = {"title": title, "detail": detail, "word": word, "picked": picked, "whole": whole, "tapped": tapped}
    return {"kind": "ListedPick", **known}
