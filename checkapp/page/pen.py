"""Makes words for drawings: measured, cut or wrapped to the width that there is."""

from collections.abc import Callable
from dataclasses import dataclass

from checkapp.page.drawing import Align, Tone, Words
from checkapp.page.rect import Point
from checkapp.page.text import Measure, cut, wrap
from checkapp.rig.errors import printable

_MOST = 400


@dataclass(frozen=True, slots=True)
class Pen:
    """Type of one measure, which gives the width of a text in parts of its size, bold or not."""

    measure: Measure

    def words(
        self,
        text: str,
        at: Point,
        size: float,
        *,
        bold: bool = False,
        align: Align = "left",
        tone: Tone = "ink",
        most: float | None = None,
    ) -> Words:
        """A line of type on the base that goes through ``at``, cut to ``most`` where that is given."""
        shown = printable(text, _MOST)
        if most is not None:
            shown = cut(shown, most / size, self.width_of(bold))
        return Words(shown, *at, size, self.measure(shown, bold) * size, bold, align, tone)

    def wrapped(self, text: str, size: float, most: float, *, bold: bool = False, lines: int = 0) -> tuple[str, ...]:
        """``text`` on lines of at most ``most``; with ``lines`` on no more than so many, the last one cut."""
        return wrap(text, most / size, self.width_of(bold), lines)

    def width_of(self, bold: bool = False) -> Callable[[str], float]:
        """What measures a text in parts of its size."""
        return lambda text: self.measure(text, bold)
