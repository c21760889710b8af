"""Tags in words: how many, of what, where a sheet starts."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import TYPE_CHECKING, Final

from checkapp.rig.connections import shown_place
from checkapp.show.tag_items import KINDS, TagGroup, TagItem
from checkapp.show.tag_views import PickGroup, PickKind, PickRow, PickView
from checkapp.tongue import later, shown_word, tr, trn

if TYPE_CHECKING:
    from checkapp.tags.lasting import TagKind
    from checkapp.tags.stock import Stock

_MANY: Final[dict[TagKind, str]] = {
    "box": later("boxes"),
    "cable": later("cables"),
    "chain": later("chains"),
    "supply": later("supplies"),
    "source": later("sources"),
}
_TITLES: Final[dict[TagKind, str]] = {
    "box": later("Boxes"),
    "cable": later("Cables"),
    "chain": later("Chains"),
    "supply": later("Supplies"),
    "source": later("Sources"),
}


def kind_title(kind: TagKind) -> str:
    """Several of a kind, within a sentence."""
    return shown_word(_MANY[kind])


def counted_tags(count: int) -> str:
    """``1 tag``, ``84 tags``."""
    return trn("{count} tag", "{count} tags", count)


def pages_words(count: int) -> str:
    """``1 page``, ``4 pages``."""
    return trn("{count} page", "{count} pages", count)


def start_words(stock: Stock, start: int) -> str:
    """Which label of the first page comes first, counted from 1."""
    row, column = divmod(start - 1, stock.across)
    if start == 1:
        return tr("a whole sheet")
    return tr("row {row}, label {column}", row=row + 1, column=column + 1)


def pick_view(groups: Sequence[TagGroup], left_out: Collection[str]) -> PickView:
    """What is picked of all that can be tagged."""
    items = [item for group in groups for item in group.items]
    picked = [item for item in items if item.code not in left_out]
    tags = counted_tags(sum(item.tags for item in picked))
    summary = tr("{picked} of {count} picked, {tags}", picked=len(picked), count=len(items), tags=tags)
    kinds = [kind for kind in KINDS if any(item.kind == kind for item in items)]
    of_kind = {kind: not any(item.kind == kind and item.code in left_out for item in items) for kind in kinds}
    return PickView(
        summary=summary,
        kinds=tuple(PickKind(kind, kind_title(kind), of_kind[kind]) for kind in kinds),
        groups=tuple(_group(group, left_out) for group in groups),
    )


def _group(group: TagGroup, left_out: Collection[str]) -> PickGroup:
    rows = tuple(PickRow(item.code, _detail(group, item), item.code not in left_out) for item in group.items)
    return PickGroup(group.key, _title(group), sum(row.picked for row in rows), rows)


def _title(group: TagGroup) -> str:
    kind = shown_word(_TITLES[group.kind])
    if group.place:
        return tr("{kind}, {place}", kind=kind, place=shown_place(group.place))
    return tr("Cables, not in use") if group.kind == "cable" else kind


def _detail(group: TagGroup, item: TagItem) -> str:
    place = shown_place(item.place) if item.place != group.place else ""
    return ", ".join(filter(None, (item.what, place, tr("both ends") if item.tags > 1 else "")))
