"""Lines by their number: what a number that is being typed means, and which numbers there are."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from itertools import pairwise
from typing import TYPE_CHECKING, Final

from checkapp.tongue import tr

if TYPE_CHECKING:
    from checkapp.rig.model import Line

MOST_DIGITS: Final = 4
"""No number of a line is longer than that on the pad."""


@dataclass(frozen=True, slots=True)
class Numbers:
    """The lines of a rig by number: for inputs and for outputs the number as it is typed, and the line's name there.

    ``which`` says in words which numbers there are, ``1 to 48``.
    """

    inputs: Mapping[str, str] = field(default_factory=dict)
    outputs: Mapping[str, str] = field(default_factory=dict)
    which_inputs: str = ""
    which_outputs: str = ""


NO_NUMBERS: Final = Numbers()


@dataclass(frozen=True, slots=True)
class Meant:
    """What was typed means: the line (``in 18``), empty where there is none, and in words what it is or which are."""

    line: str
    words: str


def numbers_of(lines: Iterable[Line]) -> Numbers:
    """The lines of a rig by their numbers."""
    inputs: dict[str, str] = {}
    outputs: dict[str, str] = {}
    for line in lines:
        (inputs if line.line.startswith("in ") else outputs)[str(line.number)] = line.name
    return Numbers(inputs, outputs, ranges(map(int, inputs)), ranges(map(int, outputs)))


def meant(numbers: Numbers, typed: str, *, out: bool) -> Meant:
    """What the digits typed so far mean, among the outputs where ``out``, else among the inputs."""
    names, which = (numbers.outputs, numbers.which_outputs) if out else (numbers.inputs, numbers.which_inputs)
    number = typed.lstrip("0")
    if number in names:
        return Meant(f"{'out' if out else 'in'} {number}", names[number])
    if not names:
        return Meant("", tr("There are no outputs.") if out else tr("There are no inputs."))
    if not typed:
        words = tr("Outputs are {which}", which=which) if out else tr("Inputs are {which}", which=which)
    elif out:
        words = tr("No output {number}. Outputs are {which}", number=typed, which=which)
    else:
        words = tr("No input {number}. Inputs are {which}", number=typed, which=which)
    return Meant("", words)


def ranges(numbers: Iterable[int]) -> str:
    """Numbers in words, those that follow one another as a range: ``1 to 24, 33 to 40, 48``."""
    known = sorted(set(numbers))
    if not known:
        return ""
    ends = [known[0], *(end for pair in pairwise(known) if pair[1] - pair[0] > 1 for end in pair), known[-1]]
    return ", ".join(_range(first, last) for first, last in zip(ends[::2], ends[1::2], strict=True))


def _range(first: int, last: int) -> str:
    return str(first) if first == last else tr("{first} to {last}", first=first, last=last)
