"""A line check played on a rig with planted faults: what an A2 would hear, mark, be told to try, and hear again.

Everything goes through the session and the journal, as it would by hand.
"""

from collections.abc import Collection, Iterator
from dataclasses import dataclass, field
from random import Random

from checkapp.rig.model import Item
from checkapp.rig.rig import Rig
from checkapp.rig.words import Symptom
from checkapp.show.fault_views import FaultView, Work
from checkapp.show.session import Session

MOST_TRIED = 40
"""So many tests and repairs are played at most."""

_HEARD: dict[str, tuple[Symptom, ...]] = {
    "source": ("silent", "low", "distorted"),
    "cable": ("crackle", "silent", "hum"),
    "hop": ("silent",),
    "port": ("low", "crackle"),
}


@dataclass
class Planted:
    """A fault that was planted: the item, what it sounds like, and whether it was put right."""

    item: Item
    symptom: Symptom
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
            found.append(Planted(item, chance.choice(_HEARD[kind])))
    return found


def _candidates(rig: Rig, kind: str) -> Iterator[Item]:
    passive = {box.cable for box in rig.boxes.values() if rig.box_kind(box).passive}
    for line in rig.lines:
        if line.line.startswith("out"):
            continue
        for item in rig.path(line.line):
            if item.kind == kind and (kind != "hop" or item.name in passive):
                yield item


def _spare(rig: Rig, item: str, used: Collection[str]) -> str | None:
    if item not in rig.cables:
        return None
    own = rig.cables[item]
    spares = [one for one in rig.cables.values() if one.spare and one.kind == own.kind and one.code not in used]
    long_enough = [cable for cable in spares if cable.length_m >= own.length_m]
    return min(long_enough, key=lambda cable: cable.length_m).code if long_enough else None


def play(session: Session, rig: Rig, show: tuple[str, str, str], by: str, planted: list[Planted]) -> Played:
    """Walk all lines, do what the fault sheet proposes until nothing is faulty, sign off.

    ``show`` is name, venue and date. The session must have the rig open, as its plan has it.
    """
    played = Played(planted)
    session.start_check(*show, by)
    _walk(session, rig, planted)
    heard = [row for row in session.lines() if row.status == "faulty"]
    played.story += [f"{row.line} {row.name}: {row.said}" for row in heard]
    used: set[str] = set()
    for _ in range(MOST_TRIED):
        view = session.faults.view()
        if view.over:
            break
        if view.faulty:
            first = ", ".join(f"{one.title} {one.percent}" for one in view.suspects[:3])
            played.story.append(f"suspected: {first}")
        _try(session, rig, view, played, used)
    session.sign_off()
    return played


def _walk(session: Session, rig: Rig, planted: list[Planted]) -> None:
    for row in session.lines():
        symptom = _symptom(rig, row.line, planted)
        if symptom is None:
            session.ok(row.line)
        else:
            session.faulty(row.line, symptom, "")


def _symptom(rig: Rig, line: str, planted: list[Planted]) -> Symptom | None:
    """What is heard on a line: the first planted fault on its path that is not mended."""
    names = {item.name for item in rig.path(line)}
    return next((one.symptom for one in planted if not one.mended and one.item.name in names), None)


def _try(session: Session, rig: Rig, view: FaultView, played: Played, used: set[str]) -> None:
    """One test or repair: the next one, else a swap of the first suspect."""
    sheet = session.faults
    row = view.next
    view = sheet.begin(row) if row is not None else sheet.repair(*_first_repair(view))
    if view.step is None:
        return
    work, item = (row.work, row.item) if row is not None else _first_repair(view)
    title, line = view.step.title, view.step.line
    if view.step.asks:
        title += f", {_put_in(session, rig, item, used)}"
    if work in ("swap", "mend"):
        for fault in played.planted:
            fault.mended = fault.mended or fault.item.name == item
    symptom = _symptom(rig, line, played.planted)
    view = sheet.ok() if symptom is None else sheet.faulty(symptom if view.step.symptom else "")
    played.story.append(f"{title}: {'ok' if symptom is None else symptom}")
    if view.asks_pulled:
        played.story.append(f"{view.asks_pulled} was it; tagged and pulled")
        sheet.pulled(view.asks_pulled)


def _first_repair(view: FaultView) -> tuple[Work, str]:
    works = view.suspects[0].works
    first = next((row for row in works if row.work == "swap"), works[-1])
    return first.work, first.item


def _put_in(session: Session, rig: Rig, item: str, used: set[str]) -> str:
    """Scan a spare of its kind, else say that what goes in has no tag; what went in, in words."""
    spare = _spare(rig, item, used)
    if spare is None:
        session.faults.untagged()
        return "one without a tag"
    used.add(spare)
    session.faults.scan(spare)
    return spare
