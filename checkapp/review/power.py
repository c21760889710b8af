"""Link power: one source, hops in series, a constant-power load at every box.

The far ends of the hops are nodes 1..n, the source behind node 0 has ``volts``. With R_i the resistance of hop i
(both conductors, the first with the source's own) and P_i the watts drawn at node i, Kirchhoff's current law at node
i says

    h_i(V) = (V_i - V_(i-1))/R_i + (V_i - V_(i+1))/R_(i+1) + P_i/V_i = 0.

One load alone has V = (E + sqrt(E^2 - 4 P R))/2 and no solution above P = E^2/(4 R): the form that IEEE 802.3 clause
33 uses for a powered device behind a cable. Of several solutions the upper one is wanted: it is where a box that is
switched on settles.

Why Newton's method finds it or proves that there is none. Each h_i is convex, the Jacobian J has no positive entry
off its diagonal, and the start V = E everywhere has h >= 0. If a solution V* <= V exists, convexity gives J(V)(V -
V*) >= h(V) >= 0, not all zero; so J(V) is a nonsingular M-matrix, its inverse has no negative entry, and the next
step lies between V* and V again (the monotone Newton theorem; Ortega and Rheinboldt, Iterative Solution of Nonlinear
Equations in Several Variables, 1970, section 13.3; from memory). Elimination without pivoting has positive pivots
exactly for an M-matrix. Hence a pivot or a voltage that is not positive proves that there is no solution: the chain
collapses.

A Newton step replaces each load by its tangent, a current 2P/V with the negative conductance -P/V^2 beside it, and
solves the ladder that results: from the far end, what is seen into each hop is again a current and a negative
conductance s, and the pivot is 1 + R s. Nothing large is subtracted, so very short and very long hops may be mixed.

The solutions for all scales of the draws form one curve. Set the farthest node to 1 V and scale the draws by m: the
rest of the ladder follows from the far end by sums of positive terms, without solving anything, and the source's true
volts then fix the unit and so the scale. The answer is read off that curve, and so obeys Kirchhoff and Ohm to
rounding even right at the limit, where Newton's own voltages are uncertain. Below the limit the scale rises with m
and the pivots are positive; at the limit the first hop's pivot is zero; beyond it the pivots are never all positive
again. So the limit is found to the last bit by halving an interval of m.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from checkapp.review.limits import SLACK, is_above

_ROUNDING = 4e-16
_NEAR_LIMIT = 1e-6  # pivot below which the limit is within some 1e-12 and worth a look


@dataclass(frozen=True, slots=True)
class Ladder:
    """One source and the hops behind it.

    ``volts`` > 0 and ``source_ohm`` >= 0 are the source's; ``hop_ohms`` (each >= 0, both conductors) and ``draws_w``
    (each >= 0, at the hop's far end) have one entry a hop, from the source outwards.
    """

    volts: float
    source_ohm: float
    hop_ohms: tuple[float, ...]
    draws_w: tuple[float, ...]

    @property
    def resistors(self) -> tuple[float, ...]:
        """The hops' ohms, the source's own added to the first."""
        if not self.hop_ohms:
            return ()
        return (self.source_ohm + self.hop_ohms[0], *self.hop_ohms[1:])


@dataclass(frozen=True, slots=True)
class Flow:
    """A solved ladder: volts at each hop's far end, amps in each hop, watts used by loads and lost on the way."""

    source_volts: float
    volts: tuple[float, ...]
    hop_amps: tuple[float, ...]
    used_watts: float
    lost_watts: float

    @property
    def source_amps(self) -> float:
        """Amps that leave the source."""
        return self.hop_amps[0] if self.hop_amps else 0.0

    @property
    def source_watts(self) -> float:
        """Watts that leave the source, before its own resistance: volts times amps."""
        return self.source_volts * self.source_amps


@dataclass(frozen=True, slots=True)
class _Point:
    """A point of the curve: volts from the source outwards, amps of each hop, the smallest pivot."""

    volts: list[float]
    hop_amps: list[float]
    pivot: float


def solve(ladder: Ladder) -> Flow | None:
    """Volts and amps of the ladder; None when it collapses: no voltages exist at which all loads get their watts.

    Loads that reach the collapse limit within 1e-9 pass, and are solved at the limit.
    """
    watts = sum(ladder.draws_w)
    if not watts:
        still = tuple(0.0 for _ in ladder.draws_w)
        return Flow(ladder.volts, tuple(ladder.volts for _ in still), still, 0.0, 0.0)
    far_volts = _newton(ladder, ladder.draws_w)
    point = None
    if far_volts is None:
        lighter = [(1 - 2 * SLACK) * draw for draw in ladder.draws_w]
        if _newton(ladder, lighter) is None:
            return None
    else:
        point = _climb(ladder.resistors, ladder.draws_w, 1 / far_volts / far_volts)
    if point is None or point.pivot < _NEAR_LIMIT:
        limit_w, at_limit = _limit(ladder)
        if point is None and is_above(watts, limit_w):
            return None
        if point is None or watts >= limit_w * (1 - _ROUNDING):
            point = at_limit
    return _flow(ladder, point)


def collapse_watts(ladder: Ladder) -> float | None:
    """Watts of all draws together at which the ladder collapses when all are scaled alike.

    None when nothing draws or nothing resists: then there is no such limit.
    """
    if not any(ladder.draws_w) or not any(ladder.resistors):
        return None
    return _limit(ladder)[0]


def imbalance(ladder: Ladder, flow: Flow) -> float:
    """How far a flow is from obeying Kirchhoff and Ohm: the worst relative error, 0 when perfect.

    Amps into each node against amps out, relative to the source's amps; each hop's drop against R I, relative to the
    source's volts; watts from the source against watts used and lost.
    """
    if not flow.source_amps:
        return max((abs(volts / ladder.volts - 1) for volts in flow.volts), default=0.0)
    onward = (*flow.hop_amps[1:], 0.0)
    before = (ladder.volts, *flow.volts)
    worst = abs(flow.source_watts - flow.used_watts - flow.lost_watts) / flow.source_watts
    for k, ohm in enumerate(ladder.resistors):
        drawn = ladder.draws_w[k] / flow.volts[k]
        node = abs(flow.hop_amps[k] - onward[k] - drawn) / flow.source_amps
        drop = abs(before[k] - flow.volts[k] - ohm * flow.hop_amps[k]) / ladder.volts
        worst = max(worst, node, drop)
    return worst


def _flow(ladder: Ladder, point: _Point) -> Flow:
    """The flow at a point of the curve, in the source's true volts."""
    unit = ladder.volts / point.volts[0]
    volts = tuple(unit * volt for volt in point.volts[1:])
    amps = tuple(unit * amp for amp in point.hop_amps)
    lost = sum(ohm * amp * amp for ohm, amp in zip(ladder.resistors, amps, strict=True))
    return Flow(ladder.volts, volts, amps, sum(ladder.draws_w), lost)


def _newton(ladder: Ladder, draws_w: Sequence[float]) -> float | None:
    """Volts at the farthest node on the upper solution, by Newton's method; None proves that there is no solution.

    In exact arithmetic every voltage falls in every step, the farthest one most; so it ends when that one falls by no
    more than rounding: after a handful of steps, or some thirty at the limit, where each step only halves the error.
    """
    volts = [ladder.volts] * len(draws_w)
    enough = _ROUNDING * ladder.volts
    resistors = ladder.resistors
    while True:
        lower = _newton_step(ladder.volts, resistors, draws_w, volts)
        if lower is None:
            return None
        fall = volts[-1] - lower[-1]
        if fall <= enough:
            return lower[-1]
        volts = lower


def _newton_step(
    source_volts: float,
    resistors: Sequence[float],
    draws_w: Sequence[float],
    volts: Sequence[float],
) -> list[float] | None:
    """Volts with each load replaced by its tangent at ``volts``; None if a pivot or a voltage is not positive."""
    amps = conductance = 0.0
    seen: list[tuple[float, float]] = []
    for ohm, watts, volt in zip(reversed(resistors), reversed(draws_w), reversed(volts), strict=True):
        drawn = watts / volt
        amps += 2 * drawn
        conductance -= drawn / volt
        pivot = 1 + ohm * conductance
        if not pivot > 0:
            return None
        amps /= pivot
        conductance /= pivot
        seen.append((amps, conductance))
    lower: list[float] = []
    volt = source_volts
    for ohm, (amps, conductance) in zip(resistors, reversed(seen), strict=True):
        volt -= ohm * (amps + conductance * volt)
        if not volt > 0:
            return None
        lower.append(volt)
    return lower


def _climb(ohms: Sequence[float], draws_w: Sequence[float], m: float) -> _Point | None:
    """The point of the curve where the farthest node has 1 V and the draws are ``m`` times theirs.

    None beyond the limit: a pivot is not positive.
    """
    volt, amp, conductance, least = 1.0, 0.0, 0.0, 1.0
    volts, amps = [volt], []
    for ohm, watts in zip(reversed(ohms), reversed(draws_w), strict=True):
        drawn = m * watts / volt
        amp += drawn
        conductance -= drawn / volt
        pivot = 1 + ohm * conductance
        if not pivot > 0:
            return None
        least = min(least, pivot)
        conductance /= pivot
        volt += ohm * amp
        volts.append(volt)
        amps.append(amp)
    return _Point(volts[::-1], amps[::-1], least)


def _limit(ladder: Ladder) -> tuple[float, _Point]:
    """Watts at which the ladder collapses when all draws are scaled alike, and the curve's point there.

    Ohms and watts are taken relative to their sums. The worst case is all load at the far end, whose limit is m = 1;
    so m = 1/2 is always below the limit.
    """
    total_ohm, total_w = sum(ladder.resistors), sum(ladder.draws_w)
    ohms = [ohm / total_ohm for ohm in ladder.resistors]
    loads = [watts / total_w for watts in ladder.draws_w]
    low, high = 0.5, 1.0
    while _climb(ohms, loads, high):
        low, high = high, 2 * high
    while low < (middle := (low + high) / 2) < high:
        low, high = (middle, high) if _climb(ohms, loads, middle) else (low, middle)
    point = _climb(ohms, loads, low)
    if point is None:  # ohms too large for a number: nothing gets through
        return 0.0, _Point([1.0], [], 0.0)
    unit = ladder.volts / point.volts[0]
    amps = [amp / total_ohm for amp in point.hop_amps]
    return unit * (low / total_ohm * unit), _Point(point.volts, amps, point.pivot)
