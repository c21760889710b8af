"""A set-up played on a rig by scans, with wrong connections planted: what a stagehand would scan and be told."""

from collections.abc import Iterator
from random import Random

from checkapp.rig.connections import Connection, connections
from checkapp.rig.rig import Rig
from checkapp.show.session import Session
from checkapp.show.setup_rows import in_order
from checkapp.show.setup_views import Answer


def play_setup(session: Session, show: tuple[str, str, str], by: str, wrong: int, seed: int) -> list[str]:
    """Scan everything into place, so many ends at a wrong box first; what was said to those, and how it ended.

    ``show`` is name, venue and date. The session must have a rig open.
    """
    session.set_up(*show, by)
    rig = session.setup.rig
    planned = connections(rig)
    story = [f"{said.words}. {said.more}" for said in _scan_wrongly(session, rig, planned, wrong, seed)]
    for box in in_order(rig):
        session.setup.scan(_tag(rig, box.code))
        for name in box.settings:
            session.setup.tick(box.code, name)
    for one in planned:
        for there in _places(rig, one):
            session.setup.mode("check")  # each pair for itself
            session.setup.scan(_tag(rig, one.cable, one.end))
            session.setup.scan(there)
    return [*story, session.setup.view().progress]


def _scan_wrongly(
    session: Session, rig: Rig, planned: tuple[Connection, ...], wrong: int, seed: int
) -> Iterator[Answer]:
    chance = Random(seed)
    ends = [one for one in planned if one.end == "A" and one.at in rig.boxes]
    for one in chance.sample(ends, min(wrong, len(ends))):
        others = [code for code in rig.boxes if not any(same.goes(code) for same in planned if same.cable == one.cable)]
        if others:
            session.setup.mode("check")
            session.setup.scan(_tag(rig, one.cable, one.end))
            answer = session.setup.scan(_tag(rig, chance.choice(others))).answer
            if answer is not None:
                yield answer


def _places(rig: Rig, one: Connection) -> tuple[str, ...]:
    """What is scanned there, or typed where nothing has a tag: a port of the desk, a line."""
    code = one.at.removeprefix("chain ")
    if code in rig.boxes or code in rig.chains or code in rig.sources:
        return (_tag(rig, code),)
    return one.lines if one.end == "B" else one.ports


def _tag(rig: Rig, code: str, end: str = "") -> str:
    return next(tag.text for tag in rig.tags if (tag.code, tag.end) == (code, end))
