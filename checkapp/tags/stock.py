"""Label stock: the sheets and rolls that a crew prints on, one TOML file each, in millimetres."""

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

StockKind = Literal["sheet", "roll"]
DEFAULT_STOCK = "sheet-a4"
"""What is printed on when no stock is named."""

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
    """``[stock]``: one kind of label sheet or roll; all lengths in mm, page seen upright.

    A roll is one label a page and needs neither page size, margins, counts nor pitches. A pitch is
    the distance from one label's edge to the next one's same edge.
    """

    kind: StockKind
    width_mm: Millimetres = Field(description="of one label")
    height_mm: Millimetres = Field(description="of one label")
    corner_mm: Distance = Field(0.0, description="radius of a label's corners")
    printer_dpi: Annotated[int, Field(ge=100, le=4800)] = Field(description="printer's dots an inch")
    written_page_width_mm: Millimetres | None = Field(None, alias="page_width_mm")
    written_page_height_mm: Millimetres | None = Field(None, alias="page_height_mm")
    left_margin_mm: Distance = Field(0.0, description="page's left edge to the first label")
    top_margin_mm: Distance = Field(0.0, description="page's top edge to the first label")
    across: Labels = 1
    down: Labels = 1
    written_horizontal_pitch_mm: Millimetres | None = Field(None, alias="horizontal_pitch_mm")
    written_vertical_pitch_mm: Millimetres | None = Field(None, alias="vertical_pitch_mm")

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
    if stock.kind == "roll":
        yield from _roll(stock)
    else:
        yield from _sheet(stock)
    if stock.corner_mm > min(stock.width_mm, stock.height_mm) / 2:
        most = min(stock.width_mm, stock.height_mm) / 2
        yield "corner_mm", f"is {stock.corner_mm:g}", f"at most half the label's short side, {most:g}"


def _roll(stock: Stock) -> Iterator[Found]:
    only = {"page_width_mm": stock.width_mm, "page_height_mm": stock.height_mm}
    only |= {"left_margin_mm": 0.0, "top_margin_mm": 0.0, "across": 1, "down": 1}
    only |= {"horizontal_pitch_mm": stock.width_mm, "vertical_pitch_mm": stock.height_mm}
    for field, right in only.items():
        value = getattr(stock, field)
        if abs(value - right) > _TOLERANCE_MM:
            yield field, f"is {value:g}", f"a roll has one label a page: leave {field} out"


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
