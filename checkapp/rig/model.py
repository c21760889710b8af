"""The plan as data: one class a table of the plan file, one attribute a field. Checked values only, never changed."""

from typing import Annotated, Literal, NamedTuple

from pydantic import BaseModel, ConfigDict, Field

from checkapp.rig import units
from checkapp.rig.codes import CODE_PATTERN, OWNER_PATTERN, Direction
from checkapp.rig.words import ItemKind, Level, Symptom

Code = Annotated[str, Field(pattern=CODE_PATTERN)]
Owner = Annotated[str, Field(pattern=OWNER_PATTERN)]
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

    name: Name
    owner: Owner
    version: Count | None = None
    sample_rate_hz: Positive = 48000.0
    ambient_c: Celsius = Field(20.0, description="temperature of signal and link cables' conductors, degrees C")


class LinkKind(Table):
    """``[link_kind.NAME]``: what a chain of this kind can do."""

    max_length_m: Positive = Field(description="all hops together")
    max_hop_m: Positive | None = None
    max_boxes: Count | None = None
    max_channels: Count | None = Field(None, description="slots of all boxes together, inputs and outputs")
    impedance_ohm: Positive | None = None
    impedance_tolerance: NotNegative = 0.2
    hop_delay_us: Positive | None = Field(None, description="one box, one way")
    volts: Positive | None = Field(None, description="link power; with max_amps or not at all")
    max_amps: Positive | None = None
    source_ohm: NotNegative = 0.0


class CableKind(Table):
    """``[cable_kind.NAME]``: core and ways of a cable. At most one of area, gauge and loop resistance."""

    impedance_ohm: Positive | None = None
    core_mm2: Positive | None = None
    core_awg: Gauge | None = None
    written_loop_ohm_per_m: Positive | None = Field(None, alias="loop_ohm_per_m", description="both conductors, 20 C")
    ways: Count = 1
    jacket_mm: Positive | None = None

    @property
    def loop_ohm_per_m(self) -> float | None:
        """Ohms a metre of both conductors at 20 C, from what the plan gives; None when it gives nothing."""
        if self.written_loop_ohm_per_m is not None:
            return self.written_loop_ohm_per_m
        area_mm2 = units.core_area_mm2(self.core_mm2, self.core_awg)
        return None if area_mm2 is None else units.loop_ohm_per_m_from_area(area_mm2)


class BoxKind(Table):
    """``[box_kind.NAME]``: ports, what they take, and the power that a box of this kind needs."""

    inputs: Annotated[int, Field(ge=0, le=9999)]
    outputs: Annotated[int, Field(ge=0, le=9999)]
    accepts: Annotated[tuple[Level, ...], Field(strict=False)] | None = None
    phantom: bool = False
    passive: bool = False
    draw_w: NotNegative = 0.0
    power_factor: Positive = 1.0
    min_volts: Positive | None = None
    link_powered: bool = False
    repowers: bool = False

    def ports(self, direction: Direction) -> int:
        """How many ports it has in that direction."""
        return self.inputs if direction == "in" else self.outputs


class Chain(Table):
    """``[[chain]]``: one run of boxes from one desk port, or from a box's outlet."""

    code: Code
    link: Text = Field(description="a link_kind")
    desk: Text | None = None
    at: Position | None = Field(None, description="where its desk port is on the stage plan, metres")
    start: Text | None = Field(None, alias="from", description="the box at whose outlet it starts")


class Supply(Table):
    """``[[supply]]``: a mains circuit that boxes plug into."""

    code: Code
    volts: Positive
    breaker_amps: Positive
    phase: Text | None = None
    other_load_w: NotNegative = 0.0
    written_m: Positive | None = Field(None, alias="cable_m", description="the feeder to it")
    written_ft: Positive | None = Field(None, alias="cable_ft")
    core_mm2: Positive | None = None
    core_awg: Gauge | None = None
    conductor_c: Celsius = 70.0
    owner: Owner | None = None

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
    kind: Text | None = None
    owner: Owner | None = None


class Cable(Table):
    """``[[cable]]``: one cable, its kind and its length as the plan writes it."""

    code: Code
    kind: Text = Field(description="a cable_kind")
    written_m: Positive | None = Field(None, alias="length_m")
    written_ft: Positive | None = Field(None, alias="length_ft")
    spare: bool = False
    owner: Owner | None = None

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
    kind: Text = Field(description="a box_kind")
    fed_from: Text = Field(description="a chain, a box; for a passive box a port")
    outputs_from: Text | None = Field(None, description="a passive box's returns: the port that feeds its out 1")
    cable: Text | None = None
    supply: Text | None = None
    repeats: Text | None = Field(None, description="a box of the same chain whose outputs it repeats")
    place: Text | None = None
    at: Position | None = Field(None, description="metres on the stage plan, x to stage left of centre, y upstage")
    settings: dict[str, str] = Field({}, description="what the crew must set on the box itself")
    owner: Owner | None = None


class Input(Table):
    """``[[input]]``: one input line of the show."""

    number: LineNumber
    name: Name
    level: Level
    phantom: bool = False
    phantom_ma: Positive | None = None
    source: Text | None = None
    cable: Text | None = None
    way: Count = 1
    port: Text
    zone: Text | None = None
    stand: Text | None = None
    note: Text | None = None

    @property
    def line(self) -> str:
        """``in 7``."""
        return f"in {self.number}"


class Output(Table):
    """``[[output]]``: one output line of the show."""

    number: LineNumber
    name: Name
    cable: Text | None = None
    way: Count = 1
    port: Text
    zone: Text | None = None
    note: Text | None = None

    @property
    def line(self) -> str:
        """``out 2``."""
        return f"out {self.number}"


Line = Input | Output


class Insert(Table):
    """``[[insert]]``: gear that an input goes out to and comes back from, through the chain."""

    name: Name
    input: Count
    send: Text
    back: Text = Field(alias="return")
    parallel: bool = False


Chances = dict[ItemKind, Fraction]


class Diagnose(Table):
    """``[diagnose]``: chances that replace the defaults, by kind of item; and how long tests take, in minutes.

    ``minutes`` is that of listening to a line (``mark``), listening again (``re-mark``), moving a line (``move``);
    ``swap_minutes`` that of swapping an item of a kind and listening. ``learn``: whether what failed
    before sharpens the chances.
    """

    false_alarm: Fraction | None = None
    prior: Chances = {}
    miss: Chances = {}
    hear: dict[ItemKind, dict[Symptom, Fraction]] = {}
    minutes: dict[Literal["mark", "re-mark", "move"], Positive] = {}
    swap_minutes: dict[ItemKind, Positive] = {}
    learn: bool = True


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
