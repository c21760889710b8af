"""Where on the stage plan each finding belongs, and the marks that stand there."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

from checkapp.review.findings import LEVELS, Finding, FindingLevel
from checkapp.rig.codes import DESK, known_port, read_port
from checkapp.rig.model import Input, Line
from checkapp.rig.rig import Rig

_MOST_NUMBERS = 4


@dataclass(frozen=True, slots=True)
class Flag:
    """One mark at one place: a level, and the numbers of its findings as they are listed, from 1."""

    level: FindingLevel
    numbers: tuple[int, ...]

    @property
    def words(self) -> str:
        """The numbers, those in a row as ``3-5``; of many only the first."""
        spans = list(_spans(self.numbers))
        return ",".join(spans[:_MOST_NUMBERS]) + (",…" if len(spans) > _MOST_NUMBERS else "")


def flags_by_place(rig: Rig, findings: Sequence[Finding]) -> dict[str, tuple[Flag, ...]]:
    """The marks of each place: the code of a box, of a hop's cable or of a supply that feeds a box, or ``DESK``.

    Findings of one level at one place share a mark; worst first. What belongs nowhere on the plan (a spare that is
    missing, a cable that nothing uses) is left out.
    """
    found: dict[str, dict[FindingLevel, list[int]]] = {}
    lines = _lines_by_item(rig)
    for number, finding in enumerate(findings, 1):
        place = place_of(rig, finding.where, lines)
        if place is not None:
            found.setdefault(place, {}).setdefault(finding.level, []).append(number)
    return {
        place: tuple(Flag(level, tuple(levels[level])) for level in LEVELS if level in levels)
        for place, levels in found.items()
    }


def place_of(rig: Rig, where: str, lines: dict[str, Line]) -> str | None:
    """The place of a finding; ``lines`` as `_lines_by_item` gives them. None: it has no place on the plan."""
    if where in rig.boxes:
        return where
    if where.startswith("chain "):
        return _start_of(rig, where.removeprefix("chain "))
    if any(where in (box.cable, box.supply) for box in rig.boxes.values()):
        return where
    port = read_port(where) or (known_port(lines[where].port) if where in lines else None)
    if port is not None and (port.code == DESK or port.code in rig.boxes):
        return port.code
    return None


def _start_of(rig: Rig, chain: str) -> str | None:
    if chain not in rig.chains:
        return None
    for box in rig.boxes_on(chain)[:1]:
        return box.cable
    return rig.chains[chain].start or DESK


def _lines_by_item(rig: Rig) -> dict[str, Line]:
    """Lines by their name, their cable, their source and their desk strip; of several the first."""
    found: dict[str, Line] = {}
    for line in rig.lines:
        source = line.source if isinstance(line, Input) else None
        for name in (line.line, line.cable, source, f"source {line.line}", f"load {line.line}", f"desk {line.line}"):
            if name is not None:
                found.setdefault(name, line)
    return found


def _spans(numbers: Iterable[int]) -> Iterator[str]:
    for _, run in groupby(enumerate(numbers), lambda pair: pair[1] - pair[0]):
        these = [number for _, number in run]
        yield str(these[0]) if len(these) == 1 else f"{these[0]}-{these[-1]}"
