"""Does each supply carry what hangs on it, and do enough volts arrive at it."""

from collections.abc import Iterator

from checkapp.review import cautions
from checkapp.review.feeder import MOST_PERCENT, Feeder, feeder_of
from checkapp.review.findings import Finding
from checkapp.review.limits import is_above
from checkapp.review.mains import CONTINUOUS_SHARE, supply_amps
from checkapp.review.ratings import next_core, next_rating_a
from checkapp.review.wording import against, figure, rounded_down
from checkapp.rig.model import Supply
from checkapp.rig.rig import Rig

MOVE_LOAD = "Move load to another supply."
"""What to do about a supply with too much load when nothing better is known."""


def mains_load(rig: Rig) -> Iterator[Finding]:
    """A supply carries more amps than its breaker, or more than 80 % of it, which is the most for a continuous load."""
    amps_on = supply_amps(rig)
    for supply in rig.supplies.values():
        amps, breaker = amps_on[supply.code], supply.breaker_amps
        if is_above(amps, breaker):
            yield _too_much(supply, amps)
        elif is_above(amps, CONTINUOUS_SHARE * breaker):
            yield _too_much_for_long(supply, amps)


def mains_drop(rig: Rig) -> Iterator[Finding]:
    """More than 3 percent of a supply's volts are lost in the feeder to it: its amps, both conductors, hot copper."""
    amps_on = supply_amps(rig)
    for supply in rig.supplies.values():
        feeder, amps = feeder_of(supply), amps_on[supply.code]
        if feeder is not None and is_above(percent := 100 * feeder.lost_volts(amps) / supply.volts, MOST_PERCENT):
            value_said, limit_said = against(percent, MOST_PERCENT, "%")
            yield Finding(
                "mains-drop",
                "caution",
                supply.code,
                f"The feeder to {supply.code} loses {value_said}, {figure(feeder.lost_volts(amps))} V of"
                f" {figure(supply.volts)} V, at {figure(amps)} A in both conductors of {_written(supply)} at"
                f" {figure(supply.conductor_c)} C; {limit_said} is the most that is advised.",
                f"{_better(supply, feeder, percent)} {cautions.MAINS}",
                percent,
                MOST_PERCENT,
                "%",
                "IEC 60364",
            )


def _too_much(supply: Supply, amps: float) -> Finding:
    value_said, limit_said = against(amps, supply.breaker_amps, "A")
    return Finding(
        "mains-load",
        "stop",
        supply.code,
        f"{supply.code} carries {value_said}; its breaker is {limit_said}.",
        _less_load(supply, amps),
        amps,
        supply.breaker_amps,
        "A",
    )


def _too_much_for_long(supply: Supply, amps: float) -> Finding:
    limit = CONTINUOUS_SHARE * supply.breaker_amps
    value_said, limit_said = against(amps, limit, "A")
    return Finding(
        "mains-load",
        "caution",
        supply.code,
        f"{supply.code} carries {value_said}; for hours on end a breaker of"
        f" {against(amps, supply.breaker_amps, 'A')[1]} is good for {limit_said}.",
        _less_load(supply, amps),
        amps,
        limit,
        "A",
        "NFPA 70",
    )


def _less_load(supply: Supply, amps: float) -> str:
    rating = next_rating_a(amps / CONTINUOUS_SHARE, supply.volts)
    whole = f" All of it for hours wants a circuit of {rating} A, breaker and cables alike." if rating else ""
    return f"{MOVE_LOAD}{whole} {cautions.MAINS}"


def _written(supply: Supply) -> str:
    core = f"{figure(supply.core_mm2)} mm2" if supply.core_mm2 is not None else f"{supply.core_awg:g} AWG"
    metres = f"{figure(supply.feeder_m or 0.0)} m"
    if supply.written_ft is not None:
        metres = f"{figure(supply.written_ft)} ft ({metres})"
    return f"{metres} of {core}"


def _better(supply: Supply, feeder: Feeder, percent: float) -> str:
    """The thinnest core that would do at this length, and the length that would do with this core."""
    over = percent / MOST_PERCENT
    core = next_core(feeder.area_mm2 * over, by_gauge=supply.core_awg is not None)
    thicker = f"Use a feeder of {core}, or one" if core else "Use a feeder"
    length = f"{rounded_down(feeder.length_m / over)} m"
    if supply.written_ft is not None:
        length = f"{rounded_down(supply.written_ft / over)} ft"
    return f"{thicker} of {length} at most, or move load to another supply."
