"""A plan to start from, with comments: so many inputs and outputs on boxes of a few sizes, on as many chains as needed.

Its figures are invented. They are chosen so that the review has nothing to stop: a chain gets no more boxes, slots and
watts than its link kind carries with a tenth to spare, and a box that would draw too much from the link is on mains.
"""

import re
import unicodedata
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import count, islice, product
from typing import Any, Final, NamedTuple

from checkapp.rig.codes import Direction
from checkapp.rig.errors import CheckappError, printable
from checkapp.rig.toml_text import document, table_blocks

MOST_LINES: Final = 4096
MOST_PORTS: Final = 256
FIRST_HOP_M: Final = 30.0
HOP_M: Final = 10.0
_MOST_BOXES: Final = 6
_MOST_LINK_W: Final = 60.0
"""Of all boxes of a chain together. Were it all at the far end, 80 m out on 0.75 mm2 (3.7 ohm, and 0.2 in the source):
43 of 48 V and 1.4 of 2 A."""
_MOST_BOX_LINK_W: Final = 25.0
_LETTERS: Final = "ABCDEFHJKLMNPRTUVWXY"
"""Without those that are read as a digit or as each other."""
_SIZE = re.compile(r"(\d{1,4})\s*[xX*\u00d7]\s*(\d{1,4})")


class CannotStart(CheckappError):
    """A plan was asked for that cannot be: no line at all, too many, or lines that no box of these sizes takes."""


class Size(NamedTuple):
    """How many inputs and outputs a box has: ``16x8``."""

    inputs: int
    outputs: int

    @property
    def kind(self) -> str:
        """What the plan calls a box of that size."""
        return f"stage{self.inputs}x{self.outputs}"

    @property
    def draw_w(self) -> float:
        """What a box of that size is taken to draw, in watts; invented."""
        return round(4.0 + 0.4 * (self.inputs + self.outputs), 1)

    @property
    def on_mains(self) -> bool:
        """Whether it needs a supply of its own."""
        return self.draw_w > _MOST_BOX_LINK_W


DEFAULT_SIZES: Final = (Size(16, 8), Size(8, 4))


class _Box(NamedTuple):
    code: str
    size: Size
    first_input: int
    inputs: int
    first_output: int
    outputs: int


@dataclass(frozen=True, slots=True)
class Started:
    """The text of a plan, and what is in it."""

    text: str
    boxes: int
    chains: int


def read_size(text: str) -> Size:
    """The size of a box: ``16x8`` is 16 inputs and 8 outputs. `CannotStart`: it is none, or has too many ports."""
    found = _SIZE.fullmatch(text.strip())
    size = Size(*map(int, found.groups())) if found else Size(0, 0)
    if not any(size) or max(size) > MOST_PORTS:
        raise CannotStart(
            f'"{printable(text, 40)}" is no size of a box; write inputs x outputs, each up to {MOST_PORTS}, as 16x8'
        )
    return size


def started(name: str, inputs: int, outputs: int, sizes: Sequence[Size] = DEFAULT_SIZES) -> Started:
    """The plan of a rig of that name with lines ``in 1`` to ``in N`` and ``out 1`` to ``out M``.

    As few boxes of the sizes as a simple choice finds: ever the one that takes most of what is left. The plan has
    a kind of each size, used or not. ``inputs`` and
    ``outputs`` are from 0 to `MOST_LINES`, one of them at least 1. `CannotStart` says which of it cannot be.
    """
    _check(name, inputs, outputs)
    boxes = list(_boxes(inputs, outputs, sizes))
    chains = list(_chains(boxes))
    return Started("\n\n".join(_parts(name, sizes, boxes, chains)) + "\n", len(boxes), len(chains))


def _check(name: str, inputs: int, outputs: int) -> None:
    if not name.strip() or not name.isprintable():
        raise CannotStart(f'"{printable(name, 40)}" is no name of a rig; write a word or two')
    for number, what in ((inputs, "inputs"), (outputs, "outputs")):
        if not 0 <= number <= MOST_LINES:
            raise CannotStart(f"{number} {what}; give a number from 0 to {MOST_LINES}")
    if not inputs and not outputs:
        raise CannotStart("a plan without a line; give at least one input or output")


def _boxes(inputs: int, outputs: int, sizes: Sequence[Size]) -> Iterator[_Box]:
    done_in = done_out = 0
    for number in count(1):
        left = (inputs - done_in, outputs - done_out)
        if not any(left):
            return
        size = min(sizes, key=lambda one: (-_taken(one, left), sum(one)), default=Size(0, 0))
        if not _taken(size, left):
            what = f"{left[0]} inputs" if left[0] else f"{left[1]} outputs"
            raise CannotStart(f"no box takes the last {what}; name a size of box that has such ports, as 16x8")
        takes_in, takes_out = (min(*pair) for pair in zip(size, left, strict=True))
        yield _Box(f"SB{number}", size, done_in + 1, takes_in, done_out + 1, takes_out)
        done_in, done_out = done_in + takes_in, done_out + takes_out


def _taken(size: Size, left: tuple[int, int]) -> int:
    return min(size.inputs, left[0]) + min(size.outputs, left[1])


def _most_channels(boxes: Sequence[_Box]) -> int:
    """Slots of a chain: 64, or as many as the largest box needs with more than a tenth to spare, in eights."""
    largest = max(sum(box.size) for box in boxes)
    return max(64, 8 * -(-largest * 5 // (4 * 8)))


def _chains(boxes: Sequence[_Box]) -> Iterator[tuple[str, list[_Box]]]:
    """The boxes by chains, in their order: a new one where the last one is full."""
    most_slots = 0.9 * _most_channels(boxes)
    runs: list[list[_Box]] = [[]]
    for box in boxes:
        more = [*runs[-1], box]
        fits = len(more) <= _MOST_BOXES and sum(sum(one.size) for one in more) <= most_slots
        watts = sum(one.size.draw_w for one in more if not one.size.on_mains)
        if fits and watts <= _MOST_LINK_W:
            runs[-1] = more
        else:
            runs.append([box])
    return zip(_chain_codes(), runs, strict=False)


def _chain_codes() -> Iterator[str]:
    for length in count(1):
        yield from ("".join(letters) for letters in product(_LETTERS, repeat=length))


def owner_mark(name: str) -> str:
    """A mark for the owner: the first letters of the name's words, up to four; ``RIG`` where it has none."""
    plain = unicodedata.normalize("NFKD", name).upper()
    words = re.findall(r"[A-Z0-9]+", plain.encode("ascii", "ignore").decode())
    return "".join(islice((word[0] for word in words), 4)) or "RIG"


def _parts(
    name: str, sizes: Sequence[Size], boxes: Sequence[_Box], chains: Sequence[tuple[str, list[_Box]]]
) -> Iterator[str]:
    rig = {"name": name, "owner": owner_mark(name), "version": 1}
    yield (
        "# A plan to start from. All figures in it are invented: put in those of your own gear, from its\n"
        "# papers. `checkapp review` says what cannot work, `checkapp tags` prints the labels."
    )
    yield document({"format": 1, "rig": rig}).rstrip() + _COUNT_UP
    yield _LINK_COMMENT + _text("link_kind", {"link": _link(_most_channels(boxes))})
    cables = {"hop": {"impedance_ohm": 110.0, "core_mm2": 0.75, "jacket_mm": 8.0}, "lead": {"jacket_mm": 6.0}}
    yield _CABLE_COMMENT + _text("cable_kind", cables)
    yield _BOX_KIND_COMMENT + _text("box_kind", {size.kind: _kind(size) for size in sizes})
    yield from _supplies(chains)
    yield from _wiring(chains)
    yield from _lines(boxes)


_COUNT_UP: Final = "              # count it up with every change that you hand out"
_LINK_COMMENT: Final = (
    "# What one chain of boxes can do: all hops together, the longest hop, boxes, slots, link power.\n"
)
_CABLE_COMMENT: Final = (
    "# Kinds of cable: the link cable between boxes, and microphone leads. To give a line's lead a tag, add\n"
    '#\n#     [[cable]]\n#     code = "LD01"\n#     kind = "lead"\n#     length_m = 10.0\n#\n'
    '# and write cable = "LD01" into the line.\n'
)
_BOX_KIND_COMMENT: Final = "# Kinds of box: ports, what the inputs take, and what power a box needs.\n"
_SUPPLY_COMMENT: Final = (
    "# Mains circuits for boxes that draw too much for the link. One for each chain: make it what you have.\n"
)
_SPARE_COMMENT: Final = "# A spare link cable, as long as the longest in use.\n"
_LINE_COMMENTS: Final[Mapping[Direction, str]] = {
    "in": (
        "# The inputs. Give each its name, level (mic, line or instrument, as its box takes it) and\n"
        '# phantom = true where it needs that; zone = "Drums" lets a check go by area.\n'
    ),
    "out": "# The outputs.\n",
}


def _link(channels: int) -> dict[str, Any]:
    return {
        "max_length_m": 100.0,
        "max_hop_m": 50.0,
        "max_boxes": 8,
        "max_channels": channels,
        "impedance_ohm": 110.0,
        "hop_delay_us": 40.0,
        "volts": 48.0,
        "max_amps": 2.0,
        "source_ohm": 0.2,
    }


def _kind(size: Size) -> dict[str, Any]:
    takes = {"accepts": ["mic", "line"], "phantom": True} if size.inputs else {}
    power = {"power_factor": 0.6} if size.on_mains else {"min_volts": 36.0, "link_powered": True}
    return {"inputs": size.inputs, "outputs": size.outputs, **takes, "draw_w": size.draw_w, **power}


def _supply_of(chain: str, boxes: Sequence[_Box]) -> str | None:
    return f"PW-{chain}" if any(box.size.on_mains for box in boxes) else None


def _supplies(chains: Sequence[tuple[str, list[_Box]]]) -> Iterator[str]:
    codes = [code for chain, boxes in chains if (code := _supply_of(chain, boxes))]
    if codes:
        yield _SUPPLY_COMMENT + _text(
            "supply", [{"code": code, "volts": 230.0, "breaker_amps": 16.0} for code in codes]
        )


def _wiring(chains: Sequence[tuple[str, list[_Box]]]) -> Iterator[str]:
    for chain, boxes in chains:
        yield f"# Chain {chain}, from the desk outwards.\n" + _text("chain", [{"code": chain, "link": "link"}])
        fed_from = chain
        for box in boxes:
            cable = f"LK{box.code.removeprefix('SB').zfill(2)}"
            length_m = FIRST_HOP_M if fed_from == chain else HOP_M
            yield _text("cable", [{"code": cable, "kind": "hop", "length_m": length_m}])
            entry = {"code": box.code, "kind": box.size.kind, "fed_from": fed_from, "cable": cable}
            supply = {"supply": _supply_of(chain, boxes)} if box.size.on_mains else {}
            yield _text("box", [entry | supply | {"place": f"Stage, place of {box.code}"}])
            fed_from = box.code
    yield _SPARE_COMMENT + _text("cable", [{"code": "LKSPARE", "kind": "hop", "length_m": FIRST_HOP_M, "spare": True}])


def _lines(boxes: Sequence[_Box]) -> Iterator[str]:
    inputs = [
        {"number": box.first_input + at, "name": f"Input {box.first_input + at}", "level": "mic"}
        | {"port": f"{box.code} in {at + 1}"}
        for box in boxes
        for at in range(box.inputs)
    ]
    outputs = [
        {"number": box.first_output + at, "name": f"Output {box.first_output + at}", "port": f"{box.code} out {at + 1}"}
        for box in boxes
        for at in range(box.outputs)
    ]
    if inputs:
        yield _LINE_COMMENTS["in"] + _text("input", inputs)
    if outputs:
        yield _LINE_COMMENTS["out"] + _text("output", outputs)


def _text(table: str, content: Any) -> str:
    return "\n\n".join("\n".join(block) for block in table_blocks(table, content))
