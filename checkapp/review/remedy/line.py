"""What to do about a line on a box that cannot take it: which free port of the rig can.

A port at the same place goes first, then one on a box with lines of the same zone, then one on the same chain, then
the nearest on the stage plan; ports of another desk go last, and so do ports that another line was sent to. Moving a
line changes nothing for any other, so only its own level and phantom power are looked at again, on a changed copy.
"""

import math
from collections.abc import Iterator

from checkapp.review import cautions
from checkapp.review.findings import Finding
from checkapp.review.remedy.chain import desk_of
from checkapp.review.remedy.trial import Remedy, Trial
from checkapp.review.rules.line import gives_phantom, takes_level
from checkapp.rig.change import CannotChange, OtherPort, changed
from checkapp.rig.codes import Port, known_port
from checkapp.rig.model import Box, BoxKind, Input
from checkapp.rig.rig import Rig
from checkapp.tongue import shown_word, tr

_Wrongs = frozenset[str]
"""The rules that a line breaks: ``level``, ``phantom``."""


def line_remedy(trial: Trial, finding: Finding) -> Remedy:
    """What to do about a line whose box does not take its level or gives it no phantom power."""
    line = trial.rig.line(finding.where)
    box = trial.rig.fed_box(known_port(line.port).code)
    if not isinstance(line, Input) or box is None:
        return Remedy("", more=finding.remedy)
    caution = shown_word(cautions.PHANTOM) if finding.rule == "phantom" else ""
    port = _better_port(trial, line, box, finding.rule)
    if port is None:
        bring = tr("Bring it to a level that {box} takes.", box=box.code)
        other = tr("Power its source another way.") if caution else bring
        if finding.rule == "level":
            none = tr("no free port of the rig takes {level} level", level=shown_word(line.level))
        else:
            none = tr("no free port of the rig has phantom power")
        return Remedy("", claim=none, more=f"{other} {caution}".strip())
    trial.sent.setdefault(port, line.line)
    desk = _other_desk(trial.rig, box, port.code)
    there = tr("{end} of desk {desk}", end=port, desk=desk) if desk else str(port)
    way = (OtherPort(line.line, str(port)),)
    if finding.rule == "level":
        move = tr("move it to {port}, which takes {level} level", port=there, level=shown_word(line.level))
    else:
        move = tr("move it to {port}, which has phantom power", port=there)
    return Remedy(move, (way,), more=caution)


def _better_port(trial: Trial, line: Input, box: Box, rule: str) -> Port | None:
    """A port at which nothing is wrong with the line, else one where less is; the same for both findings of a line."""
    wrongs = _wrongs(trial.rig.box_kind(box), line)
    ports = [(left, port) for left, port in _ports(trial, line) if rule not in left and left <= wrongs]
    ports.sort(key=lambda found: (len(found[0]), _rank(trial, line, box, found[1])))
    for left, port in ports:
        if _wrongs_at(trial.rig, line, port) == left:
            return port
    return None


def _ports(trial: Trial, line: Input) -> Iterator[tuple[_Wrongs, Port]]:
    """Of each box the first free port that no other line was sent to, with what would be wrong there."""
    rig = trial.rig
    for code in rig.boxes:
        fed, ports = rig.fed_box(code), trial.free_inputs[code]
        mine = [port for port in ports if trial.sent.get(port, line.line) == line.line]
        if fed is not None and ports:
            yield _wrongs(rig.box_kind(fed), line), (mine or ports)[0]


def _wrongs(kind: BoxKind, line: Input) -> _Wrongs:
    asked = (("level", takes_level(kind, line)), ("phantom", gives_phantom(kind, line)))
    return frozenset(rule for rule, well in asked if not well)


def _wrongs_at(rig: Rig, line: Input, port: Port) -> _Wrongs | None:
    """What is wrong with the line on a changed copy of the rig; None when it cannot be moved there."""
    try:
        copy = changed(rig, (OtherPort(line.line, str(port)),))
    except CannotChange:
        return None
    moved = copy.line(line.line)
    fed = copy.fed_box(known_port(moved.port).code)
    return _wrongs(copy.box_kind(fed), moved) if isinstance(moved, Input) and fed is not None else None


def _rank(trial: Trial, line: Input, box: Box, port: Port) -> tuple[bool, bool, bool, bool, bool, float]:
    """Small for a port that is handy for the line; see the head of the module."""
    rig, other = trial.rig, trial.rig.boxes[port.code]
    apart_m = math.inf if box.at is None or other.at is None else math.dist(box.at, other.at)
    return (
        trial.sent.get(port, line.line) != line.line,
        _other_desk(rig, box, other.code) is not None,
        box.place is None or box.place != other.place,
        line.zone is None or line.zone not in trial.zones[other.code],
        rig.chain_of(box.code) != rig.chain_of(other.code),
        apart_m,
    )


def _other_desk(rig: Rig, box: Box, code: str) -> str | None:
    """The desk of another box when it is another one than that of the box of the line."""
    here, there = (desk_of(rig, rig.chains[chain]) for one in (box.code, code) if (chain := rig.chain_of(one)))
    return there if here is not None and there != here else None
