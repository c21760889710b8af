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
from checkapp.tongue import shown_word, tr
from checkapp.tongue.numbers import fixed


def level(rig: Rig) -> Iterator[Finding]:
    """A line's level is none that its box can take; a passive box takes what the box that it feeds takes."""
    for line, box in _inputs_on_boxes(rig):
        if not takes_level(rig.box_kind(box), line):
            accepts = rig.box_kind(box).accepts or ()
            volts = f" {_line_level()}" if line.level == "line" or accepts == ("line",) else ""
            words = shown_word(line.level)
            told = {"name": line.name, "level": words, "box": _named(line, box)}
            if accepts:
                takes = listed([shown_word(one) for one in accepts])
                message = tr("{name} is {level} level; {box} takes {takes} level.", **told, takes=takes)
            else:
                message = tr("{name} is {level} level; {box} takes no level.", **told)
            remedy = tr(
                "Move it to a box that takes {level} level, or bring it to a level that {box} takes.",
                level=words,
                box=box.code,
            )
            yield Finding(
                "level",
                "stop",
                line.line,
                message + volts,
                remedy,
            )


def phantom(rig: Rig) -> Iterator[Finding]:
    """A line needs phantom power and its box, or the box that its passive box feeds, has none."""
    for line, box in _inputs_on_boxes(rig):
        if not gives_phantom(rig.box_kind(box), line):
            yield Finding(
                "phantom",
                "stop",
                line.line,
                tr("{name} needs phantom power; {box} has none.", name=line.name, box=_named(line, box)) + _left(line),
                tr("Move it to a box with phantom power, or power its source another way.")
                + f" {shown_word(cautions.PHANTOM)}",
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
                tr(
                    "{name} draws {draw} of phantom power; P48 gives {limit} at most.",
                    name=line.name,
                    draw=value_said,
                    limit=limit_said,
                )
                + _left(line),
                tr("Power its source another way, or use one that draws less.") + f" {shown_word(cautions.PHANTOM)}",
                draw_ma / 1000,
                P48_MOST_MA / 1000,
                "A",
                "IEC 61938",
            )


def _line_level() -> str:
    return tr(
        "Line level is {player} V ({dbv} dBV) to {desk} V (+{dbu} dBu), at full scale {ebu} V (EBU R 68) to {smpte} V"
        " (SMPTE RP 155).",
        player=fixed(volts_from_dbv(PLAYER_DBV), 3),
        dbv=f"{PLAYER_DBV:g}",
        desk=fixed(volts_from_dbu(PROFESSIONAL_DBU), 3),
        dbu=f"{PROFESSIONAL_DBU:g}",
        ebu=fixed(volts_from_dbu(EBU_FULL_SCALE_DBU), 2),
        smpte=fixed(volts_from_dbu(SMPTE_FULL_SCALE_DBU), 2),
    )


def _left(line: Line) -> str:
    """The volts that P48 leaves at the microphone; empty when the plan does not say what it draws."""
    if not isinstance(line, Input) or line.phantom_ma is None:
        return ""
    draw, volts = figure(line.phantom_ma), figure(p48_volts(line.phantom_ma))
    return " " + tr("At its {draw} mA, P48 leaves {volts} V at the microphone.", draw=draw, volts=volts)


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
    return box.code if code == box.code else tr("{box}, which {passive} feeds,", box=box.code, passive=code)
