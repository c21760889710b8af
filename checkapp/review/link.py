"""Link power of a chain: which source feeds which boxes, and how each source and box stands."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from checkapp.review import power
from checkapp.review.limits import is_above, is_below
from checkapp.rig.model import Box, Cable, Chain, LinkKind
from checkapp.rig.rig import Rig
from checkapp.rig.units import copper_factor

PowerState = Literal["none", "collapsed", "over-current", "under-volts", "ok"]


@dataclass(frozen=True, slots=True)
class LinkLimits:
    """What a chain's link kind says of link power: volts and amps at most, and the ohms within the source."""

    volts: float
    max_amps: float
    source_ohm: float


@dataclass(frozen=True, slots=True)
class Station:
    """A box as link power sees it.

    ``hop_ohm`` is its hop's, both conductors; ``draw_w`` is what it takes from the link, 0 when it has a supply of
    its own or is not link-powered; ``starts`` says that it ends the source before it and begins one of its own;
    ``may_start`` that it would if it were put on a supply.
    """

    code: str
    hop_ohm: float
    draw_w: float = 0.0
    min_volts: float | None = None
    starts: bool = False
    may_start: bool = False

    def on_supply(self) -> "Station":
        """The same box put on a supply of its own."""
        return Station(self.code, self.hop_ohm, 0.0, self.min_volts, self.starts or self.may_start)


@dataclass(frozen=True, slots=True)
class BoxPower:
    """Link volts at a box's input and the amps it draws there; None without link power or when the source collapsed."""

    code: str
    volts: float | None
    amps: float | None


@dataclass(frozen=True, slots=True)
class LinkSource:
    """One source of link power, the stations that it feeds, and its flow; None when it collapsed.

    ``at`` is ``chain A``, or the code of the box that repowers the hops after it; that box closes the stations of the
    source before.
    """

    at: str
    limits: LinkLimits
    stations: tuple[Station, ...]
    flow: power.Flow | None

    @property
    def draws_w(self) -> float:
        """Watts of all draws together."""
        return sum(station.draw_w for station in self.stations)

    @property
    def ladder(self) -> power.Ladder:
        """What the solver is asked."""
        return _ladder(self.limits, self.stations)

    @property
    def over_current(self) -> bool:
        """More amps leave the source than it can give."""
        return self.flow is not None and is_above(self.flow.source_amps, self.limits.max_amps)

    def low(self) -> Iterator[tuple[Station, float, float]]:
        """The boxes that draw below their lowest volts: each with its volts and that limit."""
        for station, volts in zip(self.stations, self.flow.volts if self.flow else (), strict=False):
            limit = station.min_volts
            if station.draw_w and limit is not None and is_below(volts, limit):
                yield station, volts, limit

    def is_clean(self) -> bool:
        """It does not collapse, gives no more amps than it can, and every box that draws has the volts it needs."""
        return self.flow is not None and not self.over_current and not any(self.low())

    def boxes(self) -> Iterator[BoxPower]:
        """Volts and amps at each station."""
        for k, station in enumerate(self.stations):
            if self.flow is None:
                yield BoxPower(station.code, None, None)
            else:
                yield BoxPower(station.code, self.flow.volts[k], station.draw_w / self.flow.volts[k])


@dataclass(frozen=True, slots=True)
class ChainPower:
    """How link power stands on a chain: its state, its sources from the chain's start, its boxes."""

    state: PowerState
    sources: tuple[LinkSource, ...]
    boxes: tuple[BoxPower, ...]


def chain_power(rig: Rig, chain: Chain) -> ChainPower:
    """Solve link power on a chain; without link power there are no sources, and volts and amps are None."""
    limits = link_limits(rig.link_kind(chain))
    if limits is None:
        boxes = tuple(BoxPower(box.code, None, None) for box in rig.boxes_on(chain.code))
        return ChainPower("none", (), boxes)
    sources = sources_of(f"chain {chain.code}", limits, stations_of(rig, chain))
    boxes = tuple(box for source in sources for box in source.boxes())
    return ChainPower(_state(sources), sources, boxes)


def link_limits(kind: LinkKind) -> LinkLimits | None:
    """The link power of a link kind; None when it has none."""
    if kind.volts is None or kind.max_amps is None:
        return None
    return LinkLimits(kind.volts, kind.max_amps, kind.source_ohm)


def link_draw_w(rig: Rig, box: Box) -> float:
    """Watts that a box takes from its chain's link: a link-powered box without a supply its draw_w, any other box 0."""
    kind = rig.box_kind(box)
    takes = kind.link_powered and not kind.passive and box.supply is None
    return kind.draw_w if takes else 0.0


def stations_of(rig: Rig, chain: Chain) -> tuple[Station, ...]:
    """The boxes of a chain with link power, from its start."""
    return tuple(_station(rig, box) for box in rig.boxes_on(chain.code))


def sources_of(at: str, limits: LinkLimits, stations: Sequence[Station]) -> tuple[LinkSource, ...]:
    """Split stations into sources, and solve each.

    A station that starts a source is the last one of the source before, where it draws nothing.
    """
    found: list[LinkSource] = []
    fed: list[Station] = []
    for station in stations:
        fed.append(station)
        if station.starts:
            found.append(_source(at, limits, fed))
            at, fed = station.code, []
    return (*found, _source(at, limits, fed))


def hop_ohm(rig: Rig, box: Box) -> float:
    """Resistance of the hop to a box, both conductors, at the rig's ambient temperature.

    ValueError: the plan does not give it, which reading a plan refuses for a chain with link power.
    """
    return cable_ohm(rig, rig.cables[box.cable or ""])


def cable_ohm(rig: Rig, cable: Cable) -> float:
    """Resistance that a cable has, or would have, as a hop; otherwise as `hop_ohm`."""
    ohm_per_m = rig.cable_kind(cable).loop_ohm_per_m
    if ohm_per_m is None:
        raise ValueError(f"no resistance for {cable.code}")
    return ohm_per_m * cable.length_m * copper_factor(rig.plan.rig.ambient_c)


def _station(rig: Rig, box: Box) -> Station:
    kind = rig.box_kind(box)
    starts = kind.repowers and box.supply is not None
    draw_w = link_draw_w(rig, box)
    return Station(box.code, hop_ohm(rig, box), draw_w, kind.min_volts, starts, kind.repowers)


def _source(at: str, limits: LinkLimits, stations: Sequence[Station]) -> LinkSource:
    flow = power.solve(_ladder(limits, stations))
    return LinkSource(at, limits, tuple(stations), flow)


def _ladder(limits: LinkLimits, stations: Sequence[Station]) -> power.Ladder:
    ohms = tuple(station.hop_ohm for station in stations)
    draws_w = tuple(station.draw_w for station in stations)
    return power.Ladder(limits.volts, limits.source_ohm, ohms, draws_w)


def _state(sources: Sequence[LinkSource]) -> PowerState:
    if not any(source.draws_w for source in sources):
        return "none"
    if any(source.flow is None for source in sources):
        return "collapsed"
    if any(source.over_current for source in sources):
        return "over-current"
    return "ok" if all(source.is_clean() for source in sources) else "under-volts"
