"""What all figures of a history share: colours, type, axes set out in millimetres, a title that says what is shown.

Matplotlib is used by its objects, with the Agg canvas; nothing of it that is shared is changed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.font_manager import FontProperties
from matplotlib.lines import Line2D
from matplotlib.patches import Rectangle
from matplotlib.text import Text

from checkapp.page import fonts
from checkapp.rig.errors import printable

if TYPE_CHECKING:
    from matplotlib.axes import Axes

MM: Final = 1 / 25.4
"""A millimetre in inches."""
WIDTH: Final = 186.0
"""Width of a figure on paper in mm."""
NARROW: Final = 130.0
"""A figure that is less wide than this has less room beside its axes, and fewer marks on them."""
LEFT, RIGHT, TOP, FOOT = 30.0, 36.0, 14.0, 12.0
"""Room beside, above and below the axes of a figure, in mm: for names, words, title, and the axis."""
SIZE: Final = 8.0
"""Of type, in points."""
_TITLE: Final = 11.0
_HAIR: Final = 0.5
_POINT: Final = 25.4 / 72
_TITLE_LINE: Final = 5.0
_LINE: Final = 3.8
_CLEAR: Final = 3.0
_HINTED: Final = 0.95
"""Type that is fitted to pixels comes out wider than measured, by less than the rest."""
_LESS: Final = 0.9
"""So much of the room at the left is left in a narrow figure."""
_NARROW_RIGHT: Final = 30.0
_MOST_RIGHT: Final = 46.0
_BESIDE: Final = 2.4
"""So far right of the axes stand the words of a row, in mm."""
_PARTS, _NARROW_PARTS = 6, 3
_MOST: Final = 60
_LARGE: Final = 6.0
"""Diamonds above this size stand clear of what they stand on."""


@dataclass(frozen=True, slots=True)
class Inks:
    """Colours of a figure: ground, all that is read, what is quiet, faint strokes, what is faulty; its width in mm."""

    ground: str
    text: str
    quiet: str
    faint: str
    faulty: str
    width: float = WIDTH

    @property
    def narrow(self) -> bool:
        """Whether there is little room, as on a telephone."""
        return self.width < NARROW


LIGHT: Final = Inks("#FFFFFF", "#15181A", "#454D51", "#C9C6BE", "#8F1209")
"""The light set of the screens, on white."""


@dataclass(frozen=True, slots=True)
class Plot:
    """A figure with one pair of axes, ``wide`` mm, that is being drawn, and ``right`` mm of room beside them."""

    figure: Figure
    axes: Axes
    inks: Inks
    wide: float
    right: float

    @property
    def parts(self) -> int:
        """Into so many parts at most the level axis is parted."""
        return _NARROW_PARTS if self.inks.narrow else _PARTS

    def finished(self) -> Figure:
        """The figure, all its words in our type and none of them read as a formula."""
        for text in self.figure.findobj(Text):
            assert isinstance(text, Text)
            text.set_parse_math(False)
            _in_our_type(text)
        return self.figure


def plot(title: str, height: float, inks: Inks, *, under: str = "", left: float = LEFT, right: float = RIGHT) -> Plot:
    """An empty plot: ``height`` of its axes in mm, its title, and words under it that say how it is to be read."""
    if inks.narrow:
        left, right = _LESS * left, min(right, _NARROW_RIGHT)
    heads = _wrapped(title, _TITLE, inks.width, fonts.bold_face())
    notes = _wrapped(under, SIZE, inks.width, fonts.plain_face()) if under else []
    above = TOP + _TITLE_LINE * (len(heads) - 1) + _LINE * max(0, len(notes) - 1)
    total = height + above + FOOT
    figure = Figure(figsize=(inks.width * MM, total * MM), facecolor=inks.ground)
    FigureCanvasAgg(figure)
    axes = figure.add_axes((left / inks.width, FOOT / total, (inks.width - left - right) / inks.width, height / total))
    axes.set_facecolor(inks.ground)
    for side, spine in axes.spines.items():
        spine.set_visible(side == "bottom")
        spine.set_linewidth(2 * _HAIR)
        spine.set_color(inks.text)
    axes.tick_params(length=3, width=2 * _HAIR, color=inks.text, labelcolor=inks.text, labelsize=SIZE, which="major")
    axes.tick_params(length=0, labelsize=0, which="minor")
    axes.tick_params(axis="y", length=0)
    down = 4.4
    for words in heads:
        figure.text(0.0, 1 - down / total, words, fontsize=_TITLE, fontweight="bold", color=inks.text)
        down += _TITLE_LINE
    for number, words in enumerate(notes):
        at = 1 - (down + 4.6 - _TITLE_LINE + number * _LINE) / total
        figure.text(0.0, at, words, fontsize=SIZE, color=inks.quiet)
    return Plot(figure, axes, inks, inks.width - left - right, right)


def _wrapped(text: str, size: float, width: float, face: fonts.Face) -> list[str]:
    """The words on as few lines as they need in ``width`` mm, in type of ``size`` points."""
    most, lines = _HINTED * width / (size * _POINT), [""]
    for word in text.split():
        longer = f"{lines[-1]} {word}".strip()
        if lines[-1] and fonts.width(longer, face) > most:
            lines.append(word)
        else:
            lines[-1] = longer
    return lines


def empty(title: str, words: str, inks: Inks) -> Figure:
    """A figure that has nothing to show and says so."""
    drawn = plot(title, 1.0, inks, under=words)
    drawn.axes.set_visible(False)
    return drawn.finished()


def name_rows(drawn: Plot, names: Sequence[str], top: float = 0.5) -> None:
    """Rows from the top downward, a name at the left of each."""
    room = (_LESS if drawn.inks.narrow else 1.0) * LEFT - _CLEAR
    drawn.axes.set_ylim(len(names) - 0.5, -top)
    drawn.axes.set_yticks(range(len(names)), [shown(name, room) for name in names])


def name_x(drawn: Plot, label: str) -> None:
    """What the level axis tells, with its unit, below its left end."""
    drawn.axes.set_xlabel(label, fontsize=SIZE, color=drawn.inks.text, loc="left", labelpad=3)


def bars(drawn: Plot, values: Sequence[float]) -> None:
    """A level bar in each row, from nought."""
    for row, value in enumerate(values):
        drawn.axes.add_patch(Rectangle((0, row - 0.3), value, 0.6, facecolor=drawn.inks.quiet, clip_on=False))


def diamonds(drawn: Plot, xs: Sequence[float], ys: Sequence[float], size: float) -> None:
    """Filled squares standing on their corners: faults."""
    drawn.axes.add_line(
        Line2D(
            xs,
            ys,
            linestyle="none",
            marker="D",
            markersize=size * 0.75,
            markerfacecolor=drawn.inks.faulty,
            markeredgecolor=drawn.inks.ground,
            markeredgewidth=0.5 if size > _LARGE else 0.0,
            clip_on=False,
            zorder=4,
        )
    )


def stroke(drawn: Plot, xs: Sequence[float], ys: Sequence[float], color: str, width: float = 1.0) -> None:
    """A stroke through these points."""
    drawn.axes.add_line(Line2D(xs, ys, color=color, linewidth=width, clip_on=False, solid_capstyle="butt"))


def upright(drawn: Plot, x: float, rows: Sequence[float], color: str) -> None:
    """A faint stroke across the rows, as a help to the eye."""
    drawn.axes.add_line(Line2D([x, x], rows, color=color, linewidth=_HAIR, clip_on=False, zorder=0))


def right_for(inks: Inks, words: Sequence[str]) -> float:
    """Room in mm right of the axes in which each of these words takes one line, where there is so much to give."""
    widest = max((fonts.width(one, fonts.plain_face()) * SIZE * _POINT for one in words), default=0.0)
    return _NARROW_RIGHT if inks.narrow else min(max(RIGHT, _BESIDE + (widest + 0.1) / _HINTED), _MOST_RIGHT)


def lines_beside(words: str, right: float, at: float = _BESIDE) -> list[str]:
    """Words as they stand beside the axes where there is ``right`` mm of room."""
    return [shown(line, right - at) for line in _wrapped(words, SIZE, right - at, fonts.plain_face())]


def beside(drawn: Plot, row: float, words: str, at: float = _BESIDE, quiet: bool = True) -> None:
    """Words in a row, ``at`` mm right of the axes; on further lines where they are wider than the room."""
    colour = drawn.inks.quiet if quiet else drawn.inks.text
    drawn.axes.text(
        1 + at / drawn.wide,
        row,
        "\n".join(lines_beside(words, drawn.right, at)),
        linespacing=1.1,
        transform=drawn.axes.get_yaxis_transform(),
        va="center",
        fontsize=SIZE,
        color=colour,
    )


def whole_ticks(most: float, parts: int = _PARTS) -> list[float]:
    """Whole numbers from 0 that part an axis up to ``most``, at most one more than ``parts``."""
    step = next(one for ten in range(12) for one in (10**ten, 2 * 10**ten, 5 * 10**ten) if most / one <= parts)
    return [float(tick) for tick in range(0, int(most) + 1, step)]


def shown(text: str, room: float = LEFT - _CLEAR) -> str:
    """``text`` on one line, no wider than ``room`` mm; a character that no typeface has becomes a box."""
    face = fonts.plain_face()
    known = "".join(one if fonts.has_glyphs(one, face) else fonts.NO_GLYPH for one in printable(text, _MOST))
    return fonts.cut(known, face, room / (SIZE * _POINT))


def _in_our_type(text: Text) -> None:
    """Set in the first typeface of the pages that has all its characters."""
    face = fonts.bold_face() if text.get_fontweight() == "bold" else fonts.plain_face()
    words = text.get_text().replace("\n", "")
    plain = fonts.NO_GLYPH not in words
    known = (one for one in face.fonts if plain and fonts.has_glyphs(words, fonts.Face((one,), 0.0)))
    font = next(known, face.fonts[-1])
    text.set_fontproperties(FontProperties(fname=fonts.file_of(font), size=text.get_fontsize()))
