"""How chains are told apart on the stage plan without colour: by style and width, beside the code on every hop."""

from checkapp.page.drawing import Style
from checkapp.rig.rig import Rig

__all__ = ["MULTICORE", "Style", "chain_stroke"]

MULTICORE = 0.06
"""Width of a passive box's multicore, in the size of a code."""
_STYLES: tuple[Style, ...] = ("solid", "dashed", "dash-dot", "dotted")
_WIDTHS = (0.13, 0.26, 0.4)


def chain_stroke(rig: Rig, chain: str) -> tuple[Style, float]:
    """How the hops of a chain are drawn: the style, and the width in the size of a code."""
    number = list(rig.chains).index(chain)
    return _STYLES[number % len(_STYLES)], _WIDTHS[number // len(_STYLES) % len(_WIDTHS)]
