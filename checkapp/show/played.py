"""A line check played on a rig with planted faults: what an A2 would hear, mark, mend and hear again.

Everything goes through the session and the journal, as it would by hand.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from random import Random

from checkapp.journal import kinds
from checkapp.rig.model import Item
from checkapp.rig.rig import Rig
from checkapp.rig.words import Symptom
from checkapp.show.recording import Recorder
from checkapp.show.session import Session

_HEARD: dict[str, tuple[Symptom, ...]] = {
    "source": ("silent", "low", "distorted"),
    "cable": ("crackle", "silent", "hum"),
    "hop": ("silent",),
    "port": ("low", "crackle"),
}


@dataclass
class Planted:
    """A fault that was planted: the item, what it sounds like, the repair that clears it, and with which spare."""

    item: Item
    symptom: Symptom
    action: kinds.Action
    spare: str | None
    mended: bool = False


@dataclass
class Played:
    """What was planted and what happened, in words."""

    planted: list[Planted]
    story: list[str] = field(default_factory=list)


def plant(rig: Rig, seed: int) -> list[Planted]:
    """One fault in a source, one in a line's cable, one in a passive box's cable, where the rig has such; by chance."""
    chance = Random(seed)
    found: list[Planted] = []
    for kind in ("source", "cable", "hop"):
        candidates = sorted(set(_candidates(rig, kind)))
        if candidates:
            item = chance.choice(candidates)
            spare = _spare(rig, item)
            action: kinds.Action = "swap" if spare else "mend"
            found.append(Planted(item, chance.choice(_HEARD[kind]), action, spare))
    return found


def _candidates(rig: Rig, kind: str) -> Iterator[Item]:
    passive = {box.cable for box in rig.boxes.values() if rig.box_kind(box).passive}
    for line in rig.lines:
        if line.line.startswith("out"):
            continue
        for item in rig.path(line.line):
            if item.kind == kind and (kind != "hop" or item.name in passive):
                yield item


def _spare(rig: Rig, item: Item) -> str | None:
    if item.name not in rig.cables:
        return None
    own = rig.cables[item.name]
    spares = [cable for cable in rig.cables.values() if cable.spare and cable.kind == own.kind]
    long_enough = [cable for cable in spares if cable.length_m >= own.length_m]
    return min(long_enough, key=lambda cable: cable.length_m).code if long_enough else None


def play(session: Session, recorder: Recorder, show: tuple[str, str, str], by: str, planted: list[Planted]) -> Played:
    """Walk all lines, mend what is found, walk the lines that were open again, sign off.

    ``show`` is name, venue and date. The session must have the rig open that ``recorder`` writes for.
    """
    played = Played(planted)
    session.start_check(*show, by)
    _walk(session, recorder.rig, planted)
    heard = [row for row in session.lines() if row.status == "faulty"]
    played.story += [f"{row.line} {row.name}: {row.said}" for row in heard]
    for fault in planted:
        _mend(recorder, show[0], by, fault, played)
    _walk(session, recorder.rig, planted)
    session.sign_off()
    return played


def _walk(session: Session, rig: Rig, planted: list[Planted]) -> None:
    for row in session.lines():
        if row.status != "open":
            continue
        names = {item.name for item in rig.path(row.line)}
        fault = next((one for one in planted if not one.mended and one.item.name in names), None)
        if fault is None:
            session.ok(row.line)
        else:
            session.faulty(row.line, fault.symptom, "")


def _mend(recorder: Recorder, show: str, by: str, fault: Planted, played: Played) -> None:
    item = fault.item.name
    recorder.write(kinds.repair(item, "reseat", cleared=False), show, by)
    played.story.append(f"{item}: reseat, did not clear")
    recorder.write(kinds.repair(item, fault.action, cleared=True, replacement=fault.spare), show, by)
    fault.mended = True
    played.story.append(f"{item}: {fault.action}" + (f" with {fault.spare}" if fault.spare else "") + ", cleared")
