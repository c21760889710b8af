"""The plan as data: one class a table of the plan file, one attribute a field. Checked values only, never changed."""

from typing import Annotated, Literal, NamedTuple

from pydantic import BaseModel, ConfigDict, Field

from checkapp.rig import units
from checkapp.rig.codes import CODE_PATTERN, OWNER_PATTERN, Direction
from checkapp.rig.words import ItemKind, Level, Symptom

Code = Annotated[
    str,
    Field(pattern=CODE_PATTERN, description="its name, unique in the rig: 1 to 10 of A-Z 0-9 and hyphens between"),
]
Owner = Annotated[str, Field(pattern=OWNER_PATTERN)]
_HIRED = "whose it is, if not the rig's: hired gear"
Text = str
Name = Annotated[str, Field(min_length=1, pattern=r"\S")]
SMALLEST, LARGEST = 1e-12, 1e12
"""No quantity of a rig comes near these; what is computed from numbers within them stays finite."""
Positive = Annotated[float, Field(gt=0), Field(ge=SMALLEST, le=LARGEST)]
NotNegative = Annotated[float, Field(ge=0, le=LARGEST)]
Celsius = Annotated[float, Field(gt=-60, le=LARGEST)]
Gauge = Annotated[float, Field(gt=0, le=60)]
"""American wire gauge; the thinnest wire of ASTM B258 is 56 (from memory)."""
Count = Annotated[int, Field(ge=1, le=int(LARGEST))]
LineNumber = Annotated[int, Field(ge=1, le=999_999)]
Fraction = Annotated[float, Field(gt=0, le=1)]
Position = Annotated[tuple[float, float], Field(strict=False)]


class Item(NamedTuple):
    """Anything that can fail: its name and what kind of thing it is."""

    name: str
    kind: ItemKind


class Table(BaseModel):
    """What all tables share: strict types, no unknown field, no change after reading."""

    model_config = ConfigDict(strict=True, extra="forbid", frozen=True, allow_inf_nan=False, populate_by_name=False)


class RigTable(Table):
    """``[rig]``: the name of the rig, whose gear it is, which version of the plan this is."""

    name: Name = Field(description="what the rig is called")
    owner: Owner = Field(description="whose gear it is, the first part of every tag: 1 to 4 of A-Z 0-9")
    version: Count | None = Field(None, description="the crew's own version number of the plan")
    sample_rate_hz: Positive = Field(48000.0, description="samples a second of the desk")
    ambient_c: Celsius = Field(20.0, description="temperature of signal and link cables' conductors, degrees C")


class LinkKind(Table):
    """``[link_kind.NAME]``: what a chain of this kind can do."""

    max_length_m: Positive = Field(description="all hops together")
    max_hop_m: Positive | None = Field(None, description="the longest single hop")
    max_boxes: Count | None = Field(None, description="boxes on a chain, passive ones not counted")
    max_channels: Count | None = Field(None, description="slots of all boxes together, inputs and outputs")
    impedance_ohm: Positive | None = Field(None, description="what the link wants of its cables")
    impedance_tolerance: NotNegative = Field(0.2, description="how far a cable may be off, as a share: 0.2 is a fifth")
    hop_delay_us: Positive | None = Field(None, description="one box, one way")
    volts: Positive | None = Field(None, description="link power; with max_amps or not at all")
    max_amps: Positive | None = Field(None, description="what one source of link power gives")
    source_ohm: NotNegative = Field(0.0, description="resistance inside a source of link power")


class CableKind(Table):
    """``[cable_kind.NAME]``: core and ways of a cable. At most one of area, gauge and loop resistance."""

    impedance_ohm: Positive | None = Field(None, description="impedance of the cable")
    core_mm2: Positive | None = Field(None, description="copper of one conductor; or core_awg, or loop_ohm_per_m")
    core_awg: Gauge | None = Field(None, description="copper of one conductor as a gauge")
    written_loop_ohm_per_m: Positive | None = Field(None, alias="loop_ohm_per_m", description="both conductors, 20 C")
    ways: Count = Field(1, description="lines that fit through one cable; more than 1 for a multicore")
    jacket_mm: Positive | None = Field(None, description="outer diameter, for tags that wrap round")

    @property
    def loop_ohm_per_m(self) -> float | None:
        """Ohms a metre of both conductors at 20 C, from what the plan gives; None when it gives nothing."""
        if self.written_loop_ohm_per_m is not None:
            return self.written_loop_ohm_per_m
        area_mm2 = units.core_area_mm2(self.core_mm2, self.core_awg)
        return None if area_mm2 is None else units.loop_ohm_per_m_from_area(area_mm2)


class BoxKind(Table):
    """``[box_kind.NAME]``: ports, what they take, and the power that a box of this kind needs."""

    inputs: Annotated[int, Field(ge=0, le=9999)] = Field(description="input ports of a box")
    outputs: Annotated[int, Field(ge=0, le=9999)] = Field(description="output ports of a box")
    accepts: Annotated[tuple[Level, ...], Field(strict=False)] | None = Field(
        None, description="levels that its inputs take"
    )
    phantom: bool = Field(False, description="whether its inputs give phantom power")
    passive: bool = Field(False, description="a drop box: sockets alone, no link and no power")
    draw_w: NotNegative = Field(0.0, description="power that a box needs")
    power_factor: Positive = Field(1.0, description="of what it draws from a mains supply")
    min_volts: Positive | None = Field(None, description="the lowest link voltage that it runs on")
    link_powered: bool = Field(False, description="whether it can run from the link")
    repowers: bool = Field(False, description="on a supply of its own it powers the boxes after it")

    def ports(self, direction: Direction) -> int:
        """How many ports it has in that direction."""
        return self.inputs if direction == "in" else self.outputs


class Chain(Table):
    """``[[chain]]``: one run of boxes from one desk port, or from a box's outlet."""

    code: Code
    link: Text = Field(description="its kind: a link_kind")
    desk: Text | None = Field(None, description="at which desk it starts, where there are several")
    at: Position | None = Field(None, description="where its desk port is on the stage plan, metres")
    start: Text | None = Field(None, alias="from", description="the box at whose outlet it starts")


class Supply(Table):
    """``[[supply]]``: a mains circuit that boxes plug into."""

    code: Code
    volts: Positive = Field(description="voltage of the mains circuit")
    breaker_amps: Positive = Field(description="what its breaker holds")
    phase: Text | None = Field(None, description="which phase it is on: L1")
    other_load_w: NotNegative = Field(0.0, description="what else is plugged into it")
    written_m: Positive | None = Field(None, alias="cable_m", description="the feeder to it")
    written_ft: Positive | None = Field(
        None, alias="cable_ft", description="the feeder to it, in feet instead of cable_m"
    )
    core_mm2: Positive | None = Field(None, description="copper of one conductor of the feeder; or core_awg")
    core_awg: Gauge | None = Field(None, description="copper of one conductor of the feeder as a gauge")
    conductor_c: Celsius = Field(70.0, description="temperature of the feeder's conductors")
    owner: Owner | None = Field(None, description=_HIRED)

    @property
    def feeder_m(self) -> float | None:
        """Metres of the feeder to it, whatever the plan writes; None when it gives no length."""
        if self.written_ft is not None:
            return units.metres_from_feet(self.written_ft)
        return self.written_m

    @property
    def feeder_mm2(self) -> float | None:
        """Cross-section of a conductor of the feeder; None when the plan gives no core."""
        return units.core_area_mm2(self.core_mm2, self.core_awg)


class Source(Table):
    """``[[source]]``: a microphone, DI or player that has a tag of its own."""

    code: Code
    kind: Text | None = Field(None, description="what it is, in your words: active DI")
    owner: Owner | None = Field(None, description=_HIRED)


class Cable(Table):
    """``[[cable]]``: one cable, its kind and its length as the plan writes it."""

    code: Code
    kind: Text = Field(description="its kind: a cable_kind")
    written_m: Positive | None = Field(None, alias="length_m", description="its length; this or length_ft")
    written_ft: Positive | None = Field(None, alias="length_ft", description="its length in feet instead of length_m")
    spare: bool = Field(False, description="carried in case another fails")
    owner: Owner | None = Field(None, description=_HIRED)

    @property
    def length_m(self) -> float:
        """Length in metres, whatever the plan writes."""
        if self.written_m is not None:
            return self.written_m
        return units.metres_from_feet(self.written_ft or 0.0)

    @property
    def length(self) -> str:
        """The length as it was written: ``15 m`` or ``50 ft``."""
        return f"{self.written_m:g} m" if self.written_m is not None else f"{self.written_ft:g} ft"


class Box(Table):
    """``[[box]]``: anything with ports: a stage box, or a passive drop box."""

    code: Code
    kind: Text = Field(description="its kind: a box_kind")
    fed_from: Text = Field(description="a chain, a box; for a passive box a port")
    outputs_from: Text | None = Field(None, description="a passive box's returns: the port that feeds its out 1")
    cable: Text | None = Field(None, description="the cable of its hop; for a passive box its multicore")
    supply: Text | None = Field(None, description="the supply that it is plugged into")
    repeats: Text | None = Field(None, description="a box of the same chain whose outputs it repeats")
    place: Text | None = Field(None, description="where it stands, in words")
    at: Position | None = Field(None, description="metres on the stage plan, x to stage left of centre, y upstage")
    settings: dict[str, str] = Field({}, description="what the crew must set on the box itself")
    owner: Owner | None = Field(None, description=_HIRED)


class Input(Table):
    """``[[input]]``: one input line of the show."""

    number: LineNumber = Field(description="channel number on the desk, each once")
    name: Name = Field(description="what is heard on it")
    level: Level = Field(description="level of the signal")
    phantom: bool = Field(False, description="whether it needs phantom power")
    phantom_ma: Positive | None = Field(None, description="what it takes of phantom power")
    source: Text | None = Field(None, description="the code of its microphone, DI or player, if that has a tag")
    cable: Text | None = Field(None, description="the cable of the line")
    way: Count = Field(1, description="which way of a multicore")
    port: Text = Field(description="where it is plugged: SB1 in 1, DESK in 3")
    zone: Text | None = Field(None, description="where on stage, to check by area")
    stand: Text | None = Field(None, description="what it stands on")
    note: Text | None = Field(None, description="anything else the crew must know")

    @property
    def line(self) -> str:
        """``in 7``."""
        return f"in {self.number}"


class Output(Table):
    """``[[output]]``: one output line of the show."""

    number: LineNumber = Field(description="output number on the desk, each once")
    name: Name = Field(description="what it feeds")
    cable: Text | None = Field(None, description="the cable of the line")
    way: Count = Field(1, description="which way of a multicore")
    port: Text = Field(description="where it is plugged: SB1 out 1, DESK out 2")
    zone: Text | None = Field(None, description="where on stage, to check by area")
    note: Text | None = Field(None, description="anything else the crew must know")

    @property
    def line(self) -> str:
        """``out 2``."""
        return f"out {self.number}"


Line = Input | Output


class Insert(Table):
    """``[[insert]]``: gear that an input goes out to and comes back from, through the chain."""

    name: Name = Field(description="what the gear is called")
    input: Count = Field(description="number of the input that goes through it")
    send: Text = Field(description="the output port towards it: SB1 out 3")
    back: Text = Field(alias="return", description="the input port back from it: SB1 in 3")
    parallel: bool = Field(False, description="mixed with the direct signal")


Chances = dict[ItemKind, Fraction]


class Diagnose(Table):
    """``[diagnose]``: chances that replace the defaults, by kind of item; and how long tests take, in minutes.

    ``minutes`` is that of listening to a line (``mark``), listening again (``re-mark``), moving a line (``move``);
    ``swap_minutes`` that of swapping an item of a kind and listening. ``learn``: whether what failed
    before sharpens the chances.
    """

    false_alarm: Fraction | None = Field(None, description="chance that a good line is marked faulty")
    prior: Chances = Field({}, description="chance that an item of a kind is faulty")
    miss: Chances = Field({}, description="chance that a line through a faulty item sounds ok")
    hear: dict[ItemKind, dict[Symptom, Fraction]] = Field(
        {}, description="chance of each symptom when an item of a kind is faulty; the eight add up to 1"
    )
    minutes: dict[Literal["mark", "re-mark", "move"], Positive] = Field(
        {}, description="how long it takes to listen to a line (mark), to listen again (re-mark), to move a line (move)"
    )
    swap_minutes: dict[ItemKind, Positive] = Field(
        {}, description="how long it takes to swap an item of a kind and listen"
    )
    learn: bool = Field(True, description="whether what failed before sharpens the chances")


class PlanFile(Table):
    """A whole plan file."""

    format: Literal[1] = 1
    use: list[Text] = Field([], description="further files with *_kind tables, in this folder or below")
    rig: RigTable
    link_kind: dict[Name, LinkKind] = {}
    cable_kind: dict[Name, CableKind] = {}
    box_kind: dict[Name, BoxKind] = {}
    chain: list[Chain] = []
    supply: list[Supply] = []
    source: list[Source] = []
    cable: list[Cable] = []
    box: list[Box] = []
    input: list[Input] = []
    output: list[Output] = []
    insert: list[Insert] = []
    diagnose: Diagnose = Diagnose()
