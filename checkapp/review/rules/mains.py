"""Does each supply carry what hangs on it, and do enough volts arrive at it."""

from collections.abc import Iterator

from checkapp.review import cautions
from checkapp.review.feeder import MOST_PERCENT, Feeder, feeder_of
from checkapp.review.findings import Finding
from checkapp.review.limits import is_above
from checkapp.review.mains import CONTINUOUS_SHARE, supply_amps
from checkapp.review.ratings import next_core, next_rating_a
from checkapp.review.wording import against, figure, rounded_down
from checkapp.rig import measures
from checkapp.rig.model import Supply
from checkapp.rig.rig import Rig
from checkapp.rig.units import feet_from_metres
from checkapp.tongue import later, shown_word, tr

MOVE_LOAD = later("Move load to another supply.")
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
                tr(
                    "The feeder to {supply} loses {share}, {lost} V of {volts} V, at {amps} A in both conductors of"
                    " {feeder} at {celsius} C; {limit} is the most that is advised.",
                    supply=supply.code,
                    share=value_said,
                    lost=figure(feeder.lost_volts(amps)),
                    volts=figure(supply.volts),
                    amps=figure(amps),
                    feeder=_written(supply),
                    celsius=figure(supply.conductor_c),
                    limit=limit_said,
                ),
                f"{_better(supply, feeder, percent)} {shown_word(cautions.MAINS)}",
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
        tr("{supply} carries {amps}; its breaker is {limit}.", supply=supply.code, amps=value_said, limit=limit_said),
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
        tr(
            "{supply} carries {amps}; for hours on end a breaker of {breaker} is good for {limit}.",
            supply=supply.code,
            amps=value_said,
            breaker=against(amps, supply.breaker_amps, "A")[1],
            limit=limit_said,
        ),
        _less_load(supply, amps),
        amps,
        limit,
        "A",
        "NFPA 70",
    )


def _less_load(supply: Supply, amps: float) -> str:
    rating = next_rating_a(amps / CONTINUOUS_SHARE, supply.volts)
    wants = tr("All of it for hours wants a circuit of {rating} A, breaker and cables alike.", rating=rating)
    whole = f" {wants}" if rating else ""
    return f"{shown_word(MOVE_LOAD)}{whole} {shown_word(cautions.MAINS)}"


def _written(supply: Supply) -> str:
    core = measures.area(supply.feeder_mm2 or 0.0, supply.core_awg)
    length = measures.length(supply.feeder_m or 0.0, supply.written_ft)
    return tr("{length} of {core}", length=length, core=core)


def _better(supply: Supply, feeder: Feeder, percent: float) -> str:
    """The thinnest core that would do at this length, and the length that would do with this core."""
    over = percent / MOST_PERCENT
    by_gauge = supply.core_awg is not None if measures.area_unit() is None else measures.area_unit() == "awg"
    in_feet = supply.written_ft is not None if measures.length_unit() is None else measures.length_unit() == "ft"
    core = next_core(feeder.area_mm2 * over, by_gauge=by_gauge)
    most_m = feeder.length_m / over
    length = f"{rounded_down(feet_from_metres(most_m))} ft" if in_feet else f"{rounded_down(most_m)} m"
    if core is None:
        return tr("Use a feeder of {length} at most, or move load to another supply.", length=length)
    return tr(
        "Use a feeder of {core}, or one of {length} at most, or move load to another supply.", core=core, length=length
    )
