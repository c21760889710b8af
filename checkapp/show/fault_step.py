"""A test or a repair under way on the fault sheet: what is done, what is still to be scanned, what is logged of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from checkapp.journal import kinds
from checkapp.rig.change import CannotChange, OtherPort, changed
from checkapp.rig.codes import known_port, read_port
from checkapp.rig.errors import CheckappError
from checkapp.rig.model import Input
from checkapp.rig.occupied import free_ports, ports_used
from checkapp.show import fault_doing, fault_words
from checkapp.show.fault_views import NextRow, StepView, Work
from checkapp.show.marking import repair_draft
from checkapp.tongue import tr

if TYPE_CHECKING:
    from checkapp.rig.rig import Rig
    from checkapp.rig.words import ItemKind
    from checkapp.show.running import Running


class NoWayRound(CheckappError):
    """There is no free port that a line could be moved to."""


@dataclass(frozen=True, slots=True)
class Step:
    """``work`` is done to ``item`` (of ``kind``), then ``line`` is listened to.

    ``other`` is what goes in, or the port that the line goes to; ``untagged`` tells that what goes in has no tag.
    ``symptom``: a faulty line is asked what was heard. ``doubts`` is what is worth a second look.
    """

    work: Work
    item: str
    kind: ItemKind | None
    line: str
    other: str = ""
    untagged: bool = False
    symptom: bool = False
    doubts: str = ""

    @property
    def ready(self) -> bool:
        """Whether the line can be answered."""
        return self.work != "swap" or bool(self.other) or self.untagged

    def drafts(self, run: Running, *, cleared: bool) -> Iterator[kinds.Draft]:
        """What is logged of the repair. Errors as in `checkapp.show.marking.repair`."""
        if self.work == "listen":
            return
        draft, _ = repair_draft(run, self.item, self.work, self.other or None, cleared=cleared)
        yield kinds.listened(draft, [self.line])


def step_of_test(rig: Rig, row: NextRow, *, marked: bool) -> Step:
    """A test; ``marked`` tells that its line is marked faulty, and not for being listened to again."""
    kind = rig.items.get(row.item)
    return Step(row.work, row.item, kind, row.line, row.other, symptom=row.work == "listen" or not marked)


def step_of_repair(rig: Rig, work: Work, item: str, line: str) -> Step:
    """A repair of an item, after which that line is listened to. `NoWayRound`: a bypass has nowhere to go."""
    step = Step(work, item, rig.items.get(item), line)
    if work != "bypass":
        return step
    port = first_free(rig, line)
    if port is None:
        raise NoWayRound(tr("no port is free for {line}; free one, or swap what is on {item}", line=line, item=item))
    return replace(step, other=port)


def first_free(rig: Rig, line: str) -> str | None:
    """The first free port that a line can go to: of its own box, else of another."""
    port, used = known_port(rig.line(line).port), ports_used(rig)
    boxes = sorted(rig.boxes.values(), key=lambda box: box.code != port.code)
    for box in boxes:
        if box.code != port.code and rig.box_kind(box).passive:
            continue
        for free in free_ports(rig, box, port.direction, used):
            try:
                changed(rig, [OtherPort(line, str(free))])
            except CannotChange:
                continue
            return str(free)
    return None


def with_other(step: Step, run: Running, name: str) -> Step:
    """The step with what goes in, or with another port, as it was scanned. Errors: `CannotChange` and others."""
    if step.work == "bypass" and read_port(name) is None:
        raise CannotChange(tr("{name} is no port; type the free port, for example {port}", name=name, port=step.other))
    _, doubts = repair_draft(run, step.item, _action(step.work), name, cleared=True, firm=True)
    return replace(step, other=name, untagged=False, doubts=". ".join(doubts))


def _action(work: Work) -> kinds.Action:
    return "swap" if work == "swap" else "bypass"


def _sentence(words: str) -> str:
    """Words that end with a full stop, so that a sentence can follow; none stay none."""
    return f"{words.removesuffix('.')}." if words else ""


def step_view(rig: Rig, step: Step) -> StepView:
    """The step as it is shown."""
    line = rig.line(step.line)
    title = fault_words.title_words(step.work, step.item, line, step.other)
    new = step.other or (tr("a good one without a tag") if step.untagged else "")
    steps = fault_doing.steps_of(rig, step.work, step.item, step.kind, line, new)
    return StepView(
        title=title,
        steps=steps,
        caution=" ".join(
            filter(None, (_sentence(step.doubts), fault_doing.caution_for(rig, step.work, step.item, step.kind, line)))
        ),
        line=step.line,
        number=str(line.number) if isinstance(line, Input) else line.line,
        name=line.name,
        asks="" if step.ready else tr("Scan what goes in"),
        ready=step.ready,
        symptom=step.symptom,
    )
