"""The body of a card: its sections as tables, its findings and its history, in as many columns as there is room for."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from kivy.clock import Clock
from kivy.lang import Builder
from kivy.properties import NumericProperty, ObjectProperty, StringProperty
from kivy.uix.label import Label
from kivy.uix.widget import Widget

from checkapp.touch.listing import LEVEL_MARKS
from checkapp.touch.measure import height_of, width_of
from checkapp.touch.theme import theme
from checkapp.touch.widgets.card_layout import Block, Cell, Type, one_column, section, two_columns
from checkapp.touch.widgets.mark import StatusMark

if TYPE_CHECKING:
    from checkapp.show.card import Card
    from checkapp.show.views import FindingRow

_TWO_COLUMNS: Final = 120.0
"""From this width on, in the one measure, sections stand in two columns."""


class CardText(Label):
    """Words of a card, as high as they are; ``style`` as in the layout, ``from_top`` is where their top is."""

    style = StringProperty("plain")
    from_top = NumericProperty(0.0)


class CardBody(Widget):
    """Everything on a card below its cautions, as high as it needs to be; ``high`` is that height."""

    card = ObjectProperty(None, allownone=True)
    high = NumericProperty(0.0)

    def __init__(self, **kwargs: Any) -> None:
        self._block = Block((), 0.0)
        super().__init__(**kwargs)
        relay = Clock.create_trigger(self._lay, -1)
        for name in ("width", "card"):
            self.fbind(name, relay)
        place = Clock.create_trigger(self._place, -1)
        for name in ("pos", "height"):
            self.fbind(name, place)
        self._relay = relay
        theme.bind(body_px=self._restyle, unit=self._restyle)

    def _restyle(self, *_: object) -> None:
        self._relay()

    def _lay(self, *_: object) -> None:
        if self.card is None or self.width < theme.target:
            return
        unit = float(theme.unit)
        kind = Type(float(theme.code_px), float(theme.body_px), unit, width_of, _height_of)
        if self.width >= _TWO_COLUMNS * unit:
            self._block = two_columns(partial(_blocks, self.card, kind), self.width, 4 * unit, 2 * unit)
        else:
            self._block = one_column(_blocks(self.card, kind, self.width), 2 * unit)
        self.clear_widgets()
        for cell in self._block.cells:
            mark = cell.style in LEVEL_MARKS and not cell.text
            self.add_widget(StatusMark(status=LEVEL_MARKS[cell.style], size_hint=(None, None)) if mark else _text(cell))
        self.high = self._block.height
        self._place()

    def _place(self, *_: object) -> None:
        for cell, widget in zip(self._block.cells, reversed(self.children), strict=True):
            widget.width, widget.x = cell.width, self.x + cell.left
            if isinstance(widget, CardText):
                widget.from_top = self.top - cell.top
            else:
                widget.height, widget.top = cell.height, self.top - cell.top


def _height_of(text: str, size_px: float, width_px: float, bold: bool) -> float:
    """With some slack, for letters are placed on whole pixels."""
    return height_of(text, size_px, 0.98 * width_px - 1.0, bold)


def _text(cell: Cell) -> CardText:
    return CardText(text=cell.text, style=cell.style, size_hint=(None, None))


def _blocks(card: Card, kind: Type, width: float) -> list[Block]:
    blocks = [section(one.title, one.rows, width, kind) for one in card.sections]
    if card.findings:
        blocks.append(_findings(card.findings, width, kind))
    if card.history:
        blocks.append(section("before", card.history, width, kind))
    return blocks


def _findings(findings: tuple[FindingRow, ...], width: float, kind: Type) -> Block:
    head = section("findings", (), width, kind)
    cells, top = list(head.cells), head.height
    left = 4 * kind.unit
    for row in findings:
        cells.append(Cell("", 0.0, top, 3 * kind.unit, 3 * kind.unit, row.level))
        for text, style in (
            (f"{row.level}  {row.where}", row.level),
            (row.message, "plain"),
            (row.remedy, "quiet"),
        ):
            high = kind.height_of(text, kind.body_px, width - left, False)
            if text:
                cells.append(Cell(text, left, top, width - left, high, style))
            top += high
        top += kind.unit
    return Block(tuple(cells), top)


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
