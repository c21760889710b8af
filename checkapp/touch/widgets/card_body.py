"""A card as widgets: its head, and its body with plates, strokes, tapes, the run and words."""

from __future__ import annotations

from pathlib import Path
from typing import Any, Final

from kivy.clock import Clock
from kivy.graphics import Color, Rectangle
from kivy.lang import Builder
from kivy.properties import BooleanProperty, NumericProperty, ObjectProperty, StringProperty
from kivy.uix.label import Label
from kivy.uix.widget import Widget

from checkapp.touch.listing import LEVEL_MARKS
from checkapp.touch.measure import height_of, line_height, width_of
from checkapp.touch.theme import theme
from checkapp.touch.widgets import run_fit
from checkapp.touch.widgets.card_compose import Page
from checkapp.touch.widgets.card_layout import Block, Cell, Shape, Type
from checkapp.touch.widgets.card_lead import head
from checkapp.touch.widgets.fills import Fills, frame_of
from checkapp.touch.widgets.mark import StatusMark
from checkapp.touch.widgets.run import Run
from checkapp.touch.widgets.tape import Tape

_MOST_RUN_ROWS: Final = 2


class CardText(Label):
    """Words of a card, as high as they are; ``style`` as in the layout.

    ``from_top`` is where their place begins; ``midway`` how far down its middle is, where they stand in the middle.
    """

    style = StringProperty("plain")
    from_top = NumericProperty(0.0)
    midway = NumericProperty(0.0)

    @staticmethod
    def tint_of(style: str, _name: str) -> Any:
        """The colour of a style, a status or a level."""
        if style in ("plain", "quiet", "open"):
            return theme.quiet if style == "quiet" else theme.text
        return theme.of(LEVEL_MARKS.get(style, style))


class CardTape(Tape):
    """The tape of a line on a card, in the size that the layout gives it; the rest as for `CardText`."""

    from_top = NumericProperty(0.0)
    midway = NumericProperty(0.0)


class Laid(Widget):
    """Shows a card, or a part of it, as it was laid out; ``high`` is the height that it needs.

    Its type keeps below ``below_px``, the size of what is said over it; 0: nothing is.
    """

    card = ObjectProperty(None, allownone=True)
    below_px = NumericProperty(0.0)
    room = NumericProperty(0.0)
    high = NumericProperty(0.0)
    stale = False

    def __init__(self, **kwargs: Any) -> None:
        self._block = Block((), 0.0)
        self._shows: object = None
        self._placed: list[tuple[Widget, Cell | Shape]] = []
        super().__init__(**kwargs)
        relay = Clock.create_trigger(self._lay, -1)
        for name in ("width", "card", "below_px", "room"):
            self.fbind(name, relay)
        place = Clock.create_trigger(self._place, -1)
        for name in ("pos", "height"):
            self.fbind(name, place)
        self._relay = relay
        theme.follow(self._restyle, "body_px", "unit", "text")

    def _restyle(self, *_: object) -> None:
        """Lay out anew; what is not on the screen waits until it is."""
        if self.get_root_window() is None:
            self.stale = True
        else:
            self.renew()

    def renew(self) -> None:
        """Lay out anew, for the look may have changed."""
        self.stale = False
        self._relay()

    def block(self, kind: Type) -> Block:
        """The card laid out."""
        raise NotImplementedError

    def _lay(self, *_: object) -> None:
        if self.card is None or self.width < theme.target:
            return
        kind = card_type()
        block = self.block(kind.below(self.below_px) if self.below_px else kind)
        if block == self._block and self._placed and self._shows is self.card:
            self._place()
            return
        self._block, self._shows = block, self.card
        self._fill()
        self.high = self._block.height
        self._place()

    def _fill(self) -> None:
        """A widget for each part of the layout: those there were before are used again, for new ones take long."""
        spare: dict[type[Widget], list[Widget]] = {}
        for widget, _ in reversed(self._placed):
            spare.setdefault(type(widget), []).append(widget)
        self._placed = []
        parts: list[Cell | Shape] = [*self._block.shapes, *self._block.cells]
        for part in parts:
            kind, looks = self._shown(part)
            if kind is not None:
                self._placed.append((self._widget(kind, looks, spare.get(kind, [])), part))
        for left in spare.values():
            self.clear_widgets(left)

    def _widget(self, kind: type[Widget], looks: dict[str, Any], spare: list[Widget]) -> Widget:
        if not spare:
            made = kind(size_hint=(None, None), **looks)
            self.add_widget(made)
            return made
        widget = spare.pop()
        for name, value in looks.items():
            setattr(widget, name, value)
        return widget

    def _shown(self, part: Cell | Shape) -> tuple[type[Widget] | None, dict[str, Any]]:
        """The kind of widget that shows a part, and how it looks; none for what is drawn."""
        if isinstance(part, Cell):
            return _words(part)
        if part.kind == "run":
            return Run, {"items": self.card.run}
        if part.kind == "mark":
            return StatusMark, {"status": LEVEL_MARKS.get(part.status, part.status)}
        return None, {}

    def _place(self, *_: object) -> None:
        for widget, where in self._placed:
            widget.width, widget.x = where.width, self.x + where.left
            if isinstance(where, Cell) and isinstance(widget, CardText | CardTape):
                widget.midway = 0.5 * where.height if where.midway else 0.0
                widget.from_top = self.top - where.top
            else:
                widget.height, widget.top = where.height, self.top - where.top
        self._draw()

    def _draw(self) -> None:
        """Plates, strokes and ticks, under the words."""
        self.canvas.before.clear()
        with self.canvas.before:
            for shape in self._block.shapes:
                if shape.kind == "plate":
                    self._draw_plate(shape)
                elif shape.kind in ("stroke", "tick"):
                    Color(*theme.text)
                    Rectangle(pos=self._low(shape), size=(shape.width, shape.height))

    def _draw_plate(self, shape: Shape) -> None:
        x, y = self._low(shape)
        thick = (0.3 if shape.status == "open" else 0.6) * theme.unit
        Color(*theme.panel)
        Rectangle(pos=(x, y), size=(shape.width, shape.height))
        Color(*(theme.next if shape.status == "next" else theme.text))
        Fills(frame_of(x, y, shape.width, shape.height, thick))

    def _low(self, shape: Shape) -> tuple[float, float]:
        return self.x + shape.left, self.top - shape.top - shape.height


class CardHead(Laid):
    """The code of a card, what it is, its tag, and of a box its place; ``led`` tells whether that had room."""

    led = BooleanProperty(False)

    def block(self, kind: Type) -> Block:
        """The head laid out."""
        block, self.led = head(self.card, self.width, kind)
        return block


class CardBody(Laid):
    """Everything below the head; as large as goes in without scrolling in the height ``room``, if that can be."""

    led = BooleanProperty(False)

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.fbind("led", lambda *_: self.renew())

    def block(self, kind: Type) -> Block:
        """The body laid out."""

        def run_high(width: float, size_px: float) -> float:
            written = run_fit.Type((size_px,), width_of, line_height)
            rows = written.rows(self.card.run, size_px, width)
            return written.height(rows, size_px) if len(rows) <= _MOST_RUN_ROWS else 0.0

        page = Page(self.card, self.width, kind, run_high, led=self.led)
        return page.laid(self.room)


def card_type() -> Type:
    """The type of a card in the theme."""
    return Type(
        float(theme.line_px),
        float(theme.name_px),
        float(theme.code_px),
        float(theme.body_px),
        float(theme.note_px),
        float(theme.unit),
        width_of,
        _height_of,
    )


def _height_of(text: str, size_px: float, width_px: float, bold: bool) -> float:
    """With some slack, for letters are placed on whole pixels."""
    return height_of(text, size_px, 0.98 * width_px - 1.0, bold)


def _words(cell: Cell) -> tuple[type[Widget], dict[str, Any]]:
    size = cell.size_px
    if cell.style == "tape":
        number, _, name = cell.text.partition("  ")
        return CardTape, {"number": number, "name": name, "least_px": size, "most_px": size, "font_size": size}
    looks = {"text": cell.text, "style": cell.style, "font_size": size, "bold": cell.bold, "halign": cell.align}
    return CardText, looks


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
