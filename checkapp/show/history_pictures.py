"""The figures of a history as pixels for a screen, in its colours and at its density."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Final

from checkapp.show.history_views import ALL, ALL_TIME, Chosen
from checkapp.show.uncollected import swept
from checkapp.tongue import shown_names, shown_word, tr

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from checkapp.history.analysis import History, ItemRow
    from checkapp.history.figure_parts import Inks

_FAINT: Final = 0.3
"""So much of the quiet colour is in strokes that only help the eye; the rest is ground."""


@dataclass(frozen=True, slots=True)
class Look:
    """How a figure is to look: colours in hex without a sign before them, width in mm, pixels to a mm."""

    ground: str
    text: str
    quiet: str
    faulty: str
    width_mm: float
    per_mm: float


@dataclass(frozen=True, slots=True)
class Picture:
    """A figure: its size in pixels, and the pixels, RGBA from the top downward."""

    width: int
    height: int
    pixels: bytes


@dataclass(frozen=True, slots=True)
class FiguresView:
    """Figures under one title: of the item whose life they show, else of what is ``chosen`` of the history.

    There are no pictures while nobody looks at them, nor when they are ``missing``: they could not be drawn anew.
    """

    title: str
    pictures: tuple[Picture, ...]
    item: str = ""
    chosen: Chosen = field(default_factory=Chosen)
    missing: bool = False


def figures_view(found: History, chosen: Chosen, look: Look) -> FiguresView:
    """Where the faults were, how sure the rates are, when faults came."""
    with swept():
        pictures = _pictures(found, chosen.kind, look)
    return FiguresView(_title(chosen), pictures, chosen=chosen)


def life_figure(found: History, row: ItemRow, look: Look) -> FiguresView:
    """An item's rate beside its kind's, and its life from check to check."""
    with swept():
        pictures = _life(found, row, look)
    item = row.life.item
    return FiguresView(shown_names(item), pictures, item)


def _pictures(found: History, kind: str, look: Look) -> tuple[Picture, ...]:
    from checkapp.history import figures

    of_kind = replace(
        found,
        items=tuple(row for row in found.items if kind in (ALL, row.life.kind)),
        kinds=tuple(row for row in found.kinds if kind in (ALL, row.kind)),
    )
    inks = _inks(look)
    drawn = [figures.pareto_by_item(of_kind, inks), figures.rates(of_kind, inks)]
    drawn += [figures.pareto_by_kind(of_kind, inks)] if kind == ALL else []
    drawn += [figures.lives(of_kind, inks), figures.by_show(_faults_of(of_kind, kind), inks)]
    return tuple(_picture(figure, look) for figure in drawn)


def _life(found: History, row: ItemRow, look: Look) -> tuple[Picture, ...]:
    from checkapp.history import figures

    alone, inks = replace(found, items=(row,)), _inks(look)
    return tuple(_picture(figure, look) for figure in (figures.lives(alone, inks), figures.rates(alone, inks)))


def _title(chosen: Chosen) -> str:
    when = chosen.show or (shown_word(chosen.period) if chosen.period != ALL_TIME else "")
    return ", ".join(filter(None, (tr("Figures"), shown_word(chosen.kind) if chosen.kind != ALL else "", when)))


def _faults_of(found: History, kind: str) -> History:
    """Faults of the kind alone; a line that nobody repaired has no kind."""
    if kind == ALL:
        return found
    faults = tuple(fault for fault in found.tally.faults if fault.kind == kind)
    return replace(found, tally=replace(found.tally, faults=faults, unconfirmed=()))


def _inks(look: Look) -> Inks:
    from checkapp.history.figure_parts import Inks

    ground, text, quiet, faint, faulty = (
        f"#{colour}" for colour in (look.ground, look.text, look.quiet, _faint(look), look.faulty)
    )
    return Inks(ground, text, quiet, faint, faulty, look.width_mm)


def _faint(look: Look) -> str:
    pairs = zip(bytes.fromhex(look.quiet), bytes.fromhex(look.ground), strict=True)
    return bytes(round(_FAINT * quiet + (1 - _FAINT) * ground) for quiet, ground in pairs).hex()


def _picture(figure: Figure, look: Look) -> Picture:
    from checkapp.history.figure_pixels import pixels_of

    return Picture(*pixels_of(figure, look.per_mm))
