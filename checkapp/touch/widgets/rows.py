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
    """A sentence with a triangle before it."""

    text = StringProperty("")

    @staticmethod
    def height_for(row: RowDict, width_px: float) -> float:
        """Height of the row in pixels in a list ``width_px`` wide."""
        return height_of(row["text"], theme.note_px, width_px - 1.2 * theme.note_px) + float(theme.unit)


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
    def height_for(row: RowDict, width_px: float) -> float:
        """Height of the row in pixels in a list ``width_px`` wide."""
        wide = width_px - 14 * theme.unit
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
        words = height_of(row["message"], theme.body_px, wide) + height_of(row["remedy"], theme.body_px, wide)
        return 1.25 * float(theme.body_px) + words + 3.0 * float(theme.unit)


ROWS: Final = (ListedHeading, ListedWords, ListedCaution, ListedKey, ListedChoice, ListedLine, ListedFinding)
KINDS: Final[dict[str, Callable[[RowDict, float], float]]] = {row.__name__: row.height_for for row in ROWS}


class RowList(RecycleView):
    """A list of rows; ``start_at`` is the row that is brought into sight when the list is filled."""

    rows = ListProperty([])
    start_at = ObjectProperty(0)

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        refill = Clock.create_trigger(self._fill, -1)
        self.fbind("rows", refill)
        self.fbind("width", refill)
        self._refill = refill
        theme.bind(body_px=self._restyle, unit=self._restyle)
        refill()

    def _restyle(self, *_: object) -> None:
        self._refill()

    def _fill(self, *_: object) -> None:
        width = self.width - 2 * theme.unit
        self.data = [{**row, "row_size": (width, KINDS[row["kind"]](row, width))} for row in self.rows]
        self._bring(int(self.start_at))

    def _bring(self, index: int) -> None:
        heights = [row["row_size"][1] + theme.unit for row in self.data]
        over = sum(heights) - self.height
        if over > 0 and index:
            above = sum(heights[:index]) - self.height / 3
            self.scroll_y = 1 - min(1.0, max(0.0, above / over))
        else:
            self.scroll_y = 1


Factory.register("StrokeSample", module="checkapp.touch.widgets.plan")  # loaded with the first key that is shown
Builder.load_file(str(Path(__file__).with_suffix(".kv")))
