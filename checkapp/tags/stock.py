"""Label stock: the sheets and rolls that a crew prints on, one TOML file each, in millimetres."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Literal

from pydantic import Field

from checkapp.rig.codes import nearest
from checkapp.rig.errors import CheckappError, FileRefused, PlanRefused, printable
from checkapp.rig.model import Table
from checkapp.rig.shape import check_entry
from checkapp.rig.sheet import read_sheet
from checkapp.tags.lasting import TagKind

StockKind = Literal["sheet", "roll", "flag", "wrap"]
DEFAULT_STOCK = "sheet-a4"
"""What is printed on when no stock is named."""

WRAP_OVERLAP_MM = 1.0
"""A wrap is at least so much longer than the way round its cable: it sticks to its own beginning."""
_TOLERANCE_MM = 1e-6
_LARGEST_MM = 2000.0

Millimetres = Annotated[float, Field(gt=0, le=_LARGEST_MM)]
Distance = Annotated[float, Field(ge=0, le=_LARGEST_MM)]
Labels = Annotated[int, Field(ge=1, le=200)]


class StockRefused(FileRefused):
    """A label stock file that cannot be used."""


class UnknownStock(CheckappError):
    """A label stock that no folder has."""


@dataclass(frozen=True, slots=True)
class Place:
    """Where a label stands: its left and top edge, in mm from the page's left and top edge."""

    left_mm: float
    top_mm: float


class Stock(Table):
    """``[stock]``: one kind of label; all lengths in mm, page seen upright.

    A roll is one label a page and needs neither page size, margins, counts nor pitches. A pitch is
    the distance from one label's edge to the next one's same edge. A flag folds round a cable across
    its longer side and sticks to itself; a wrap goes round a cable with its height. Both come on
    sheets, where a page size is given, or on a roll.
    """

    kind: StockKind
    width_mm: Millimetres = Field(description="of one label")
    height_mm: Millimetres = Field(description="of one label")
    corner_mm: Distance = Field(0.0, description="radius of a label's corners")
    printer_dpi: Annotated[int, Field(ge=100, le=4800)] = Field(description="printer's dots an inch")
    jacket_mm: Millimetres | None = Field(None, description="a flag's or wrap's cable, where the plan gives none")
    written_page_width_mm: Millimetres | None = Field(None, alias="page_width_mm")
    written_page_height_mm: Millimetres | None = Field(None, alias="page_height_mm")
    left_margin_mm: Distance = Field(0.0, description="page's left edge to the first label")
    top_margin_mm: Distance = Field(0.0, description="page's top edge to the first label")
    across: Labels = 1
    down: Labels = 1
    written_horizontal_pitch_mm: Millimetres | None = Field(None, alias="horizontal_pitch_mm")
    written_vertical_pitch_mm: Millimetres | None = Field(None, alias="vertical_pitch_mm")

    @property
    def paged(self) -> bool:
        """Whether its labels stand on pages, not one by one on a roll."""
        return self.kind == "sheet" or any(
            size is not None for size in (self.written_page_width_mm, self.written_page_height_mm)
        )

    def takes(self, kind: TagKind) -> bool:
        """Whether a tag of such a thing can be printed on it: a wrap is for cables alone."""
        return self.kind != "wrap" or kind == "cable"

    @property
    def round_cables(self) -> bool:
        """Whether its labels go round a cable."""
        return self.kind in ("flag", "wrap")

    @property
    def page_width_mm(self) -> float:
        """Width of a page; a roll's page is its label."""
        return self.written_page_width_mm or self.width_mm

    @property
    def page_height_mm(self) -> float:
        """Height of a page; a roll's page is its label."""
        return self.written_page_height_mm or self.height_mm

    @property
    def horizontal_pitch_mm(self) -> float:
        """From one label's left edge to the next one's; the label's width when not given."""
        return self.written_horizontal_pitch_mm or self.width_mm

    @property
    def vertical_pitch_mm(self) -> float:
        """From one label's top edge to the next one's; the label's height when not given."""
        return self.written_vertical_pitch_mm or self.height_mm

    @property
    def dot_mm(self) -> float:
        """The side of one dot of the printer."""
        return 25.4 / self.printer_dpi

    @property
    def room_across(self) -> tuple[float, float]:
        """White left and right of all labels of a page, in mm."""
        labels_mm = (self.across - 1) * self.horizontal_pitch_mm + self.width_mm
        return self.left_margin_mm, self.page_width_mm - self.left_margin_mm - labels_mm

    @property
    def room_down(self) -> tuple[float, float]:
        """White above and below all labels of a page, in mm."""
        labels_mm = (self.down - 1) * self.vertical_pitch_mm + self.height_mm
        return self.top_margin_mm, self.page_height_mm - self.top_margin_mm - labels_mm

    @property
    def places(self) -> tuple[Place, ...]:
        """Where the labels of a page stand, row by row from the top left."""
        return tuple(
            Place(
                self.left_margin_mm + column * self.horizontal_pitch_mm,
                self.top_margin_mm + row * self.vertical_pitch_mm,
            )
            for row in range(self.down)
            for column in range(self.across)
        )


def jacket_of(jacket_mm: float | None, stock: Stock) -> float:
    """The diameter of the jacket to reckon with: the plan's, or where it gives none the stock's.

    ValueError: neither has one; a stock that goes round cables always has.
    """
    found = jacket_mm or stock.jacket_mm
    if found is None:
        raise ValueError("a stock that goes round no cable")
    return found


def read_stock(path: Path) -> Stock:
    """Read one stock file. `StockRefused` holds every fault that was found, with file and line."""
    try:
        sheet = read_sheet(path, str(path))
    except PlanRefused as refused:
        raise StockRefused(refused.faults) from None
    for name in sheet.data:
        if name != "stock":
            sheet.say((name,), "", "does not belong in a stock file", "it holds [stock] alone")
    if "stock" not in sheet.data:
        sheet.say(("stock",), "", "is missing", "begin the file with [stock]")
    stock = check_entry(Stock, sheet.data.get("stock", {}), sheet, ("stock",), "")
    if not sheet.faults and stock is not None:
        for field, wrong, right in _geometry(stock):
            sheet.say(("stock", field), "", wrong, right, field)
    if sheet.faults or stock is None:
        raise StockRefused(sheet.faults)
    return stock


def find_stock(name: str, folders: Sequence[Path]) -> Stock:
    """The stock of that name: the first folder that has ``NAME.toml`` counts.

    Errors: `UnknownStock` when none has it, naming those that there are; `StockRefused`.
    """
    known = {path.stem: path for folder in reversed(folders) for path in sorted(folder.glob("*.toml"))}
    if name not in known:
        near = nearest(name, known)
        hint = f'did you mean "{near[0]}"?' if near else f"there are {', '.join(sorted(known))}"
        raise UnknownStock(f'no label stock "{printable(name, 60)}"; {hint if known else "none is there"}')
    return read_stock(known[name])


Found = tuple[str, str, str]


def _geometry(stock: Stock) -> Iterator[Found]:
    yield from _sheet(stock) if stock.paged and stock.kind != "roll" else _roll(stock)
    yield from _cable(stock)
    if stock.corner_mm > min(stock.width_mm, stock.height_mm) / 2:
        most = min(stock.width_mm, stock.height_mm) / 2
        yield "corner_mm", f"is {stock.corner_mm:g}", f"at most half the label's short side, {most:g}"


def _cable(stock: Stock) -> Iterator[Found]:
    """Whether the label goes round the cable that the stock names."""
    if not stock.round_cables:
        if stock.jacket_mm is not None:
            yield "jacket_mm", f"does not belong to a {stock.kind}", "leave jacket_mm out"
        return
    if stock.jacket_mm is None:
        yield "jacket_mm", "is missing", "add jacket_mm: the cable's diameter where the plan gives none"
        return
    room_mm = stock.height_mm - WRAP_OVERLAP_MM if stock.kind == "wrap" else max(stock.width_mm, stock.height_mm)
    round_mm = math.pi * stock.jacket_mm
    if round_mm > room_mm + _TOLERANCE_MM:
        wrong = f"is {stock.jacket_mm:g}, so the way round the cable is {round_mm:.1f} mm"
        side = "height" if stock.kind == "wrap" else "longer side"
        yield "jacket_mm", wrong, f"the label's {side} takes at most {max(0.0, room_mm):g} mm"


def _roll(stock: Stock) -> Iterator[Found]:
    only = {"page_width_mm": stock.width_mm, "page_height_mm": stock.height_mm}
    only |= {"left_margin_mm": 0.0, "top_margin_mm": 0.0, "across": 1, "down": 1}
    only |= {"horizontal_pitch_mm": stock.width_mm, "vertical_pitch_mm": stock.height_mm}
    or_sheet = ", or add the page's size" if stock.round_cables else ""
    for field, right in only.items():
        value = getattr(stock, field)
        if abs(value - right) > _TOLERANCE_MM:
            yield field, f"is {value:g}", f"a roll has one label a page: leave {field} out{or_sheet}"


def _sheet(stock: Stock) -> Iterator[Found]:
    sides = (
        ("width_mm", "across", "horizontal_pitch_mm", "left_margin_mm", "page_width_mm"),
        ("height_mm", "down", "vertical_pitch_mm", "top_margin_mm", "page_height_mm"),
    )
    for size_field, count_field, pitch_field, margin_field, page_field in sides:
        if getattr(stock, f"written_{page_field}") is None:
            yield page_field, "is missing", f"add {page_field}: a sheet's page has a size of its own"
            continue
        size, count, pitch = (getattr(stock, name) for name in (size_field, count_field, pitch_field))
        if count > 1 and pitch < size - _TOLERANCE_MM:
            wrong = f"is {pitch:g}, so labels {size:g} mm long overlap"
            yield pitch_field, wrong, f"at least {size:g}, measured from edge to same edge"
        margin, page = getattr(stock, margin_field), getattr(stock, page_field)
        end = margin + (count - 1) * pitch + size
        if end > page + _TOLERANCE_MM:
            wrong = f"is {count}, so the last label ends at {end:g} mm of a page of {page:g}"
            yield count_field, wrong, f"check {margin_field}, {pitch_field}, {size_field}"
