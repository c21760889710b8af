"""Can each box take what is plugged into it."""

from collections.abc import Iterator

from checkapp.review import cautions
from checkapp.review.findings import Finding
from checkapp.review.wording import listed
from checkapp.rig.codes import DESK, known_port
from checkapp.rig.model import Box, Input
from checkapp.rig.rig import Rig


def level(rig: Rig) -> Iterator[Finding]:
    """A line's level is none that its box can take; a passive box takes what the box that it feeds takes."""
    for line, box in _inputs_on_boxes(rig):
        accepts = rig.box_kind(box).accepts or ()
        if line.level not in accepts:
            takes = f"takes {listed(accepts)} level" if accepts else "takes no level"
            yield Finding(
                "level",
                "stop",
                line.line,
                f"{line.name} is {line.level} level; {_named(line, box)} {takes}.",
                f"Move it to a box that takes {line.level} level, or bring it to a level that {box.code} takes.",
            )


def phantom(rig: Rig) -> Iterator[Finding]:
    """A line needs phantom power and its box, or the box that its passive box feeds, has none."""
    for line, box in _inputs_on_boxes(rig):
        if line.phantom and not rig.box_kind(box).phantom:
            yield Finding(
                "phantom",
                "stop",
                line.line,
                f"{line.name} needs phantom power; {_named(line, box)} has none.",
                f"Move it to a box with phantom power, or power its source another way. {cautions.PHANTOM}",
            )


def _inputs_on_boxes(rig: Rig) -> Iterator[tuple[Input, Box]]:
    """The input lines, each with the box that takes its signal in the end; lines that end at the desk are left out."""
    for line in rig.lines:
        code = known_port(line.port).code
        box = None if code == DESK else rig.fed_box(code)
        if isinstance(line, Input) and box is not None:
            yield line, box


def _named(line: Input, box: Box) -> str:
    code = known_port(line.port).code
    return box.code if code == box.code else f"{box.code}, which {code} feeds,"
