"""The label stocks that there are, in words."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path
from typing import Final

from checkapp.rig.errors import printable
from checkapp.show.tag_views import ChoiceRow
from checkapp.tags.stock import DEFAULT_STOCK, Stock, StockRefused, read_stock
from checkapp.tongue import later, shown_word, tr

_KINDS: Final = {
    "sheet": later("sheet"),
    "roll": later("roll"),
    "flag": later("flags round cables"),
    "wrap": later("wraps round cables"),
}
_PAGES: Final = {(210.0, 297.0): "A4", (215.9, 279.4): "Letter"}


def stocks(folders: Sequence[Path]) -> dict[str, Stock]:
    """Every stock that can be read, by its name; that of an earlier folder counts. The usual one is the first."""
    paths = {path.stem: path for folder in reversed(folders) for path in folder.glob("*.toml")}
    found: dict[str, Stock] = {}
    for name in sorted(paths):
        with suppress(StockRefused):
            found[name] = read_stock(paths[name])
    return dict(sorted(found.items(), key=lambda one: _order(*one)))


def _order(name: str, stock: Stock) -> tuple[bool, int, str, float]:
    """The usual one, then kind by kind, page by page, the largest labels first."""
    page = _page(name, stock) if stock.paged else ""
    return name != DEFAULT_STOCK, list(_KINDS).index(stock.kind), page, -stock.width_mm * stock.height_mm


def stock_row(name: str, stock: Stock, chosen: str) -> ChoiceRow:
    """A stock as something to choose."""
    return ChoiceRow(name, stock_title(name, stock), stock_detail(stock), name == chosen)


def stock_title(name: str, stock: Stock) -> str:
    """What a stock is called: its kind, its page (by the stock's own name where that is no usual one), its labels."""
    kind = shown_word(_KINDS[stock.kind])
    if not stock.paged:
        size = {"width": f"{stock.width_mm:g}", "height": f"{stock.height_mm:g}"}
        return tr("{kind}, {width} x {height} mm", kind=kind, **size)
    page = _page(name, stock)
    return tr("{kind}, {page}, {across} x {down}", kind=kind, page=page, across=stock.across, down=stock.down)


def _page(name: str, stock: Stock) -> str:
    return _PAGES.get((stock.page_width_mm, stock.page_height_mm), printable(name, 40))


def stock_detail(stock: Stock) -> str:
    """How large its labels are and how they come."""
    size = {"width": f"{stock.width_mm:g}", "height": f"{stock.height_mm:g}"}
    if stock.paged:
        return tr("labels of {width} x {height} mm, {count} on a page", **size, count=len(stock.places))
    if stock.kind == "wrap":
        return tr("{width} mm along the cable, {height} mm round it, off a roll", **size)
    return tr("labels of {width} x {height} mm, one after another", **size)
