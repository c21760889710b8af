"""A figure of Matplotlib as pixels of a screen; names that are written from right to left stand as they are read."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from matplotlib.backends.backend_agg import RendererAgg

from checkapp.history.figure_parts import MM
from checkapp.page import fonts

if TYPE_CHECKING:
    from matplotlib.figure import Figure


def pixels_of(figure: Figure, per_mm: float) -> tuple[int, int, bytes]:
    """Width and height in pixels, ``per_mm`` of them to a millimetre, and the pixels: RGBA, from the top downward."""
    figure.dpi = per_mm / MM
    width, height = (max(1, round(float(inches) * figure.dpi)) for inches in figure.get_size_inches())
    renderer: Any = _Turning(width, height, figure.dpi)  # type: ignore[no-untyped-call]
    figure.draw(renderer)
    return width, height, bytes(renderer.buffer_rgba())


class _Turning(RendererAgg):
    """Agg has no bidirectional text: words come to it as the eye finds them."""

    def draw_text(self, gc: Any, x: float, y: float, s: str, *more: Any, **named: Any) -> None:
        super().draw_text(gc, x, y, fonts.as_seen(s), *more, **named)  # type: ignore[no-untyped-call]
