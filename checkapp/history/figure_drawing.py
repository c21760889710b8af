"""A figure of Matplotlib as shapes of a page, in millimetres: so it is printed as all else is, its type as type."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

import numpy as np
from matplotlib.backend_bases import GraphicsContextBase, RendererBase
from matplotlib.colors import to_rgb

from checkapp.history.figure_parts import MM
from checkapp.page import fonts
from checkapp.page.drawing import GREYS, Area, Drawing, Shape, Stroke, Tone
from checkapp.page.pen import Pen
from checkapp.page.rect import Rect

if TYPE_CHECKING:
    from matplotlib.figure import Figure
    from matplotlib.font_manager import FontProperties
    from matplotlib.path import Path
    from matplotlib.text import Text
    from matplotlib.transforms import Transform

_POINTS: Final = 72.0
_POINT: Final = 1 / MM / _POINTS
"""A point in mm."""
_DARK: Final = 0.22
"""A colour that is darker than this in grey is printed black: the words and the faults of our sets."""
_CLOSED: Final = 3
"""Points of the least area."""


def drawing_of(figure: Figure) -> Drawing:
    """The figure in its own size. What is drawn must lie within its axes: nothing is cut. ValueError: slanted type."""
    renderer = _Shapes()
    figure.dpi = _POINTS
    figure.draw(renderer)
    width, height = figure.get_size_inches() / MM
    return Drawing(Rect(0.0, 0.0, float(width), float(height)), tuple(renderer.shapes))


class _Shapes(RendererBase):
    """Gathers shapes, at 72 pixels an inch."""

    def __init__(self) -> None:
        super().__init__()
        self.shapes: list[Shape] = []
        self._pen = Pen(fonts.measure)

    def draw_path(self, gc: GraphicsContextBase, path: Path, transform: Transform, rgbFace: Any = None) -> None:  # noqa: N803 Matplotlib's name
        width = gc.get_linewidth() * _POINT
        for points in path.to_polygons(transform, closed_only=False):
            at = tuple((float(x) * _POINT, float(y) * _POINT) for x, y in np.asarray(points, float))
            if rgbFace is not None and len(at) >= _CLOSED:
                self.shapes.append(Area(at, _tone(rgbFace)))
            if width > 0 and len(at) > 1:
                self.shapes.append(Stroke(at, width, tone=_tone(gc.get_rgb())))

    def draw_text(  # noqa: PLR0913 Matplotlib's arguments
        self,
        gc: GraphicsContextBase,
        x: float,
        y: float,
        s: str,
        prop: FontProperties,
        angle: float,
        ismath: Any = False,
        mtext: Text | None = None,
    ) -> None:
        if angle:
            raise ValueError(f"{s!r} is slanted; type of a page is level")
        bold = prop.get_file() == fonts.file_of(fonts.bold_face().fonts[0])
        at = (float(x) * _POINT, float(y) * _POINT)
        size = prop.get_size_in_points() * _POINT
        self.shapes.append(self._pen.words(s, at, size, bold=bold, tone=_tone(gc.get_rgb())))

    def flipy(self) -> bool:
        return False

    def get_canvas_width_height(self) -> tuple[float, float]:
        return 1.0, 1.0

    def points_to_pixels(self, points: Any) -> Any:
        return points


def _tone(colour: Any) -> Tone:
    """The tone of paper that is nearest in grey (luma of ITU-R BT.601)."""
    red, green, blue = to_rgb(colour[:3] if not isinstance(colour, str) else colour)
    grey = 0.299 * red + 0.587 * green + 0.114 * blue
    if grey < _DARK:
        return "ink"
    return min(GREYS, key=lambda tone: abs(GREYS[tone] - grey))
