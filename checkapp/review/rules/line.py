"""Can each box take what is plugged into it, and feed the microphones on it."""

from collections.abc import Iterator

from checkapp.review import cautions
from checkapp.review.findings import Finding
from checkapp.review.limits import is_above
from checkapp.review.phantom import P48_MOST_MA, p48_volts
from checkapp.review.signal_levels import (
    EBU_FULL_SCALE_DBU,
    PLAYER_DBV,
    PROFESSIONAL_DBU,
    SMPTE_FULL_SCALE_DBU,
    volts_from_dbu,
    volts_from_dbv,
)
from checkapp.review.wording import against, figure, listed
from checkapp.rig.codes import DESK, known_port
from checkapp.rig.model import Box, BoxKind, Input, Line
from checkapp.rig.rig import Rig


def level(rig: Rig) -> Iterator[Finding]:
    """A line's level is none that its box can take; a passive box takes what the box that it feeds takes."""
    for line, box in _inputs_on_boxes(rig):
        if not takes_level(rig.box_kind(box), line):
            accepts = rig.box_kind(box).accepts or ()
            takes = f"takes {listed(accepts)} level" if accepts else "takes no level"
            volts = f" {_LINE_LEVEL}" if line.level == "line" or accepts == ("line",) else ""
            yield Finding(
                "level",
                "stop",
                line.line,
                f"{line.name} is {line.level} level; {_named(line, box)} {takes}.{volts}",
                f"Move it to a box that takes {line.level} level, or bring it to a level that {box.code} takes.",
            )


def phantom(rig: Rig) -> Iterator[Finding]:
    """A line needs phantom power and its box, or the box that its passive box feeds, has none."""
    for line, box in _inputs_on_boxes(rig):
        if not gives_phantom(rig.box_kind(box), line):
            yield Finding(
                "phantom",
                "stop",
                line.line,
                f"{line.name} needs phantom power; {_named(line, box)} has none.{_left(line)}",
                f"Move it to a box with phantom power, or power its source another way. {cautions.PHANTOM}",
            )


def phantom_draw(rig: Rig) -> Iterator[Finding]:
    """A line draws more from phantom power than P48 gives: 10 mA (IEC 61938)."""
    for line in rig.lines:
        draw_ma = line.phantom_ma if isinstance(line, Input) and line.phantom else None
        if draw_ma is not None and is_above(draw_ma, P48_MOST_MA):
            value_said, limit_said = against(draw_ma, P48_MOST_MA, "mA")
            yield Finding(
                "phantom-draw",
                "caution",
                line.line,
                f"{line.name} draws {value_said} of phantom power; P48 gives {limit_said} at most.{_left(line)}",
                f"Power its source another way, or use one that draws less. {cautions.PHANTOM}",
                draw_ma / 1000,
                P48_MOST_MA / 1000,
                "A",
                "IEC 61938",
            )


_LINE_LEVEL = (
    f"Line level is {volts_from_dbv(PLAYER_DBV):.3f} V ({PLAYER_DBV:g} dBV) to {volts_from_dbu(PROFESSIONAL_DBU):.3f} V"
    f" (+{PROFESSIONAL_DBU:g} dBu), at full scale {volts_from_dbu(EBU_FULL_SCALE_DBU):.2f} V (EBU R 68) to"
    f" {volts_from_dbu(SMPTE_FULL_SCALE_DBU):.2f} V (SMPTE RP 155)."
)


def _left(line: Line) -> str:
    """The volts that P48 leaves at the microphone; empty when the plan does not say what it draws."""
    if not isinstance(line, Input) or line.phantom_ma is None:
        return ""
    return f" At its {figure(line.phantom_ma)} mA, P48 leaves {figure(p48_volts(line.phantom_ma))} V at the microphone."


def takes_level(kind: BoxKind, line: Input) -> bool:
    """Whether a box of that kind takes the line's level; for a passive box ask for the kind that it feeds."""
    return line.level in (kind.accepts or ())


def gives_phantom(kind: BoxKind, line: Input) -> bool:
    """Whether a box of that kind gives the line the phantom power that it needs, if it needs any."""
    return kind.phantom or not line.phantom


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
