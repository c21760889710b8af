"""Lengths and cross-sections as people chose to read them: metres or feet, mm2 or AWG.

Only what is shown: plans, journals, CSV and JSON are in SI units whatever was chosen here.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Literal

from checkapp.rig import units
from checkapp.tongue.numbers import number

if TYPE_CHECKING:
    from checkapp.rig.model import Cable

LengthUnit = Literal["m", "ft"]
AreaUnit = Literal["mm2", "awg"]
LENGTH_UNITS: tuple[LengthUnit, ...] = ("m", "ft")
AREA_UNITS: tuple[AreaUnit, ...] = ("mm2", "awg")

_chosen: dict[str, str | None] = {"length": None, "area": None}


def use_units(length: LengthUnit | None = None, area: AreaUnit | None = None) -> None:
    """Show lengths and cross-sections in these units from now on; None shows them as the plan writes them."""
    _chosen.update(length=length, area=area)


def length_unit() -> LengthUnit | None:
    """The unit that was chosen for lengths; None when none was."""
    return "ft" if _chosen["length"] == "ft" else "m" if _chosen["length"] == "m" else None


def area_unit() -> AreaUnit | None:
    """The unit that was chosen for cross-sections; None when none was."""
    return "awg" if _chosen["area"] == "awg" else "mm2" if _chosen["area"] == "mm2" else None


def length(length_m: float, written_ft: float | None = None, digits: int = 4) -> str:
    """A length: ``66 m`` or ``216.5 ft``; with no unit chosen, one that was written in feet is ``216.5 ft (66 m)``."""
    metres = f"{number(length_m, digits)} m"
    if length_unit() == "ft":
        return f"{number(units.feet_from_metres(length_m) if written_ft is None else written_ft, digits)} ft"
    if length_unit() == "m" or written_ft is None:
        return metres
    return f"{number(written_ft, digits)} ft ({metres})"


def length_of(cable: Cable) -> str:
    """The length of a cable; with no unit chosen, as the plan writes it: ``15 m`` or ``50 ft``."""
    if length_unit() is None and cable.written_ft is not None:
        return f"{number(cable.written_ft, 6)} ft"
    return length(cable.length_m, cable.written_ft, 6 if length_unit() is None else 4)


def in_unit(length_m: float) -> float:
    """A length as a bare figure in the unit that was chosen, metres when none was; for tables and axes."""
    return units.feet_from_metres(length_m) if length_unit() == "ft" else length_m


def area(area_mm2: float, written_awg: float | None = None) -> str:
    """A cross-section: ``2.5 mm2`` or ``13 AWG``, the nearest whole gauge; with no unit chosen, as it was written."""
    if area_unit() == "awg" or (area_unit() is None and written_awg is not None):
        gauge = nearest_gauge(area_mm2) if written_awg is None else written_awg
        return f"{gauge_words(gauge)} AWG"
    return f"{number(area_mm2)} mm2"


def nearest_gauge(area_mm2: float) -> int:
    """The American gauge whose cross-section is nearest to ``area_mm2`` (ASTM B258): 2.5 mm2 is 13, 107 mm2 is -3."""
    diameter_mm = math.sqrt(4 * area_mm2 / math.pi)
    return round(36 - 39 * math.log(diameter_mm / 0.127) / math.log(92))


def gauge_words(gauge: float) -> str:
    """A gauge as it is written: ``12``; above 1/0 with its zeros, ``4/0``."""
    return f"{1 - gauge:g}/0" if gauge <= 0 else f"{gauge:g}"
