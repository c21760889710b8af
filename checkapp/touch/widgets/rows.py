"""Lists: plain dicts in, a few row widgets out, however long the list is.

A row is a dict with ``kind``, the name of one of the row classes below, and the values of that class's properties. What
a row does when it is tapped is its ``tapped``, a function without arguments.
"""

from collections.abc import Callable
from pathlib import Path
from typing import Any, Final

from kivy.clock import Clock
from kivy.factory import Factory
from kivy.lang import Builder
from kivy.properties import BooleanProperty, ListProperty, NumericProperty, ObjectProperty, StringProperty
from kivy.uix.behaviors.button import ButtonBehavior
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.label import Label
from kivy.uix.recycleboxlayout import RecycleBoxLayout as _Layout  # noqa: F401  its name is used in our layout
from kivy.uix.recycleview import RecycleView

from checkapp.touch.measure import height_of, width_of
from checkapp.touch.theme import theme
from checkapp.touch.widgets import buttons as _buttons  # noqa: F401  its layout is used in ours
from checkapp.touch.widgets.scroll import Scrolling

RowDict = dict[str, Any]


class ListedHeading(Label):
    """A few words over the rows that follow."""

    @staticmethod
    def height_for(row: RowDict, width_px: float) -> float:
        """Height of the row in pixels in a list ``width_px`` wide."""
        return height_of(row["text"], theme.code_px, width_px, bold=True) + 3.0 * float(theme.unit)


class ListedWords(Label):
    """A sentence."""

    @staticmethod
    def height_for(row: RowDict, width_px: float) -> float:
        """Height of the row in pixels in a list ``width_px`` wide."""
        return height_of(row["text"], theme.body_px, width_px) + 2.0 * float(theme.unit)


class ListedCaution(BoxLayout):
    """A sentence with a triangle before it; as large as other sentences where there is room."""

    text = StringProperty("")

    @staticmethod
    def size_for(width_px: float, body_px: float, note_px: float) -> float:
        """The size of type in a list ``width_px`` wide."""
        return body_px if width_px >= 30 * body_px else note_px

    @staticmethod
    def height_for(row: RowDict, width_px: float) -> float:
        """Height of the row in pixels in a list ``width_px`` wide."""
        size_px = ListedCaution.size_for(width_px, theme.body_px, theme.note_px)
        return height_of(row["text"], size_px, width_px - 1.2 * size_px) + float(theme.unit)


class ListedKey(BoxLayout):
    """A stroke of the picture and what it means."""

    style = StringProperty("solid")
    thick = NumericProperty(0.1)
    text = StringProperty("")

    @staticmethod
    def height_for(row: RowDict, width_px: float) -> float:
        """Height of the row in pixels in a list ``width_px`` wide."""
        return height_of(row["text"], theme.body_px, width_px - 9 * theme.unit) + float(theme.unit)


class ListedChoice(ButtonBehavior, BoxLayout):
    """Something that can be opened: a name, what there is to know of it, the word for opening it."""

    title = StringProperty("")
    detail = StringProperty("")
    word = StringProperty("")
    tapped = ObjectProperty(None)

    @staticmethod
    def word_wide(word: str, size_px: float, unit: float) -> float:
        """The width in pixels of the word at the right."""
        return max(8.0 * unit, width_of(word, size_px, True) + 0.5 * unit)

    @staticmethod
    def height_for(row: RowDict, width_px: float) -> float:
        """Height of the row in pixels in a list ``width_px`` wide."""
        wide = width_px - 6 * theme.unit - ListedChoice.word_wide(row["word"], theme.body_px, theme.unit)
        high = height_of(row["title"], theme.code_px, wide, bold=True) + height_of(row["detail"], theme.body_px, wide)
        return max(float(theme.row), high + 2.0 * float(theme.unit))

    def on_release(self) -> None:
        """Open it."""
        self.tapped()


class ListedLine(ButtonBehavior, BoxLayout):
    """A line of the check: number, name, where it is plugged, what its mark says.

    What the mark says stands before the port as long as the whole port has room there, else below it, as long as it is.
    """

    number = StringProperty("")
    name = StringProperty("")
    port = StringProperty("")
    zone = StringProperty("")
    status = StringProperty("open")
    said = StringProperty("")
    here = BooleanProperty(False)
    below = BooleanProperty(False)
    tapped = ObjectProperty(None, allownone=True)

    @staticmethod
    def is_below(said: str, port: str, width_px: float, size_px: float) -> bool:
        """Whether what the mark says and the port do not stand side by side in ``width_px``, in type of that size."""
        return width_of(said, size_px) + width_of(port, size_px) + 2 * size_px > width_px

    @staticmethod
    def height_for(row: RowDict, width_px: float) -> float:
        """Height of the row in pixels in a list ``width_px`` wide."""
        wide = width_px - 10 * theme.unit
        below = ListedLine.is_below(row["said"], row["port"], wide, theme.body_px)
        said = height_of(row["said"], theme.body_px, wide) if below else 0.0
        return max(float(theme.row), 1.25 * float(theme.name_px + theme.body_px) + said + 2.0 * float(theme.unit))

    def on_release(self) -> None:
        """Go to it, where the list leads anywhere."""
        if self.tapped:
            self.tapped()


class ListedFinding(BoxLayout):
    """A finding of the plan review: its level as shape and word, where, what, and what would help."""

    status = StringProperty("note")
    word = StringProperty("")
    where = StringProperty("")
    message = StringProperty("")
    remedy = StringProperty("")

    @staticmethod
    def height_for(row: RowDict, width_px: float) -> float:
        """Height of the row in pixels in a list ``width_px`` wide."""
        wide = width_px - 5 * theme.unit
        wide *= 0.98  # letters are placed on whole pixels
        where = height_of(row["word"] + "  " + row["where"], theme.body_px, wide, bold=True)
        words = height_of(row["message"], theme.body_px, wide) + height_of(row["remedy"], theme.body_px, wide)
        return where + words + 3.0 * float(theme.unit)


ROWS: Final = (ListedHeading, ListedWords, ListedCaution, ListedKey, ListedChoice, ListedLine, ListedFinding)


def height_for(row: RowDict, width_px: float) -> float:
    """Height of a row in pixels in a list ``width_px`` wide."""
    high: Callable[[RowDict, float], float] = Factory.get(row["kind"]).height_for
    return high(row, width_px)


class RowList(Scrolling, RecycleView):
    """A list of rows; ``start_at`` is the row that is brought into sight when the list is filled.

    A list that ``keeps`` stays where it was scrolled to when it is filled anew, until a row is asked for with `bring`.
    """

    rows = ListProperty([])
    start_at = NumericProperty(0)
    keeps = BooleanProperty(False)

    def __init__(self, **kwargs: Any) -> None:
        self._asked: int | None = None
        self._sought: int | None = None
        super().__init__(**kwargs)
        self._refill = Clock.create_trigger(self._fill, -1)
        self.fbind("rows", self._refill)
        self.bind(width=self._begin, height=self._seek, on_scroll_start=self._let_go)
        theme.follow(self._begin, "body_px", "unit")
        self._begin()

    def bring(self, index: int) -> None:
        """Bring a row into sight with some of those before it; where it is in sight already nothing moves."""
        self._asked = index
        self._refill()

    def _begin(self, *_: object) -> None:
        """Rows have other heights than before: begin where it began."""
        self.bring(int(self.start_at))

    def _fill(self, *_: object) -> None:
        width, gone_px = self.width - 2 * theme.unit, self._gone_px()
        self.data = [{**row, "row_size": (width, height_for(row, width))} for row in self.rows]
        self._sought, self._asked = self._asked, None
        if self._sought is None and not self.keeps:
            gone_px, self._sought = 0.0, int(self.start_at)
        self._go_to(gone_px)
        self._seek()

    def _seek(self, *_: object) -> None:
        """See to it that the row that was asked for is in sight, also when the list becomes lower afterwards."""
        sought = self._sought
        if sought is not None and self.height >= theme.row and not self._is_in_sight(sought, self._gone_px()):
            self._go_to(self._above(sought) - self.height / 3)

    def _let_go(self, *_: object) -> None:
        """A finger scrolls: what was asked for before may go out of sight."""
        self._sought = None

    def _above(self, index: int) -> float:
        """The height in pixels of the rows before that one."""
        return float(sum(row["row_size"][1] + theme.unit for row in self.data[:index]))

    def _over_px(self) -> float:
        """How much higher the rows are than the list."""
        return max(0.0, self._above(len(self.data)) - float(theme.unit) - float(self.height))

    def _gone_px(self) -> float:
        """How far the list is scrolled, in pixels from its top."""
        return (1.0 - float(self.scroll_y)) * self._over_px()

    def _is_in_sight(self, index: int, gone_px: float) -> bool:
        above = self._above(index)
        return above >= gone_px and self._above(index + 1) <= gone_px + self.height

    def _go_to(self, gone_px: float) -> None:
        over = self._over_px()
        self.scroll_y = 1.0 - min(1.0, max(0.0, gone_px / over)) if over else 1


Factory.register("StrokeSample", module="checkapp.touch.widgets.plan")  # loaded with the first key that is shown
Builder.load_file(str(Path(__file__).with_suffix(".kv")))
