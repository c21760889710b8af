"""The rows of the fault sheet: faulty lines, suspects with what speaks for and against them, tests, the run."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Final

from checkapp.rig.model import Input, Item
from checkapp.show import fault_doing, fault_words
from checkapp.show.fault_views import NextRow, SuspectRow, Work, WorkRow
from checkapp.show.setup_views import Answer
from checkapp.show.suspect_words import named, speaks_against, speaks_for
from checkapp.show.suspects_text import percent
from checkapp.show.views import LineRow, RunItem, Status
from checkapp.show.walk import number_of, run_of, said_of
from checkapp.tongue import later, shown_names, shown_word, tr
from checkapp.tongue.numbers import clock, either, with_sign

if TYPE_CHECKING:
    from checkapp.diagnose.meaning import Meaning
    from checkapp.diagnose.next_test import NextTest
    from checkapp.diagnose.posterior import Diagnosis
    from checkapp.journal.heard import HeardMark
    from checkapp.journal.state import LineMark, RepairMade, ShowState
    from checkapp.rig.model import Line
    from checkapp.rig.rig import Rig
    from checkapp.show.fault_step import Step

LEAST_SHOWN: Final = 0.01
"""A suspect that is less likely than this has no row and no bar."""
MOST_SUSPECTS: Final = 8
MOST_TESTS: Final = 4
CLOSE: Final = 0.25
"""What is at least so likely, as a part of the first suspect's chance, is named with it."""
RESEAT_FROM: Final = 0.3
"""From this chance on reseating the first suspect is offered: the quickest repair. A choice, no source."""
MOST_ALIKE: Final = 2
_ALIKE_NAMED: Final = 3
_AGAIN_SHOWN: Final = 3
_MINUTES_AGAIN: Final = later("Its fault was repaired, or it runs another way now.")
_WORK_OF: Final[Mapping[str, Work]] = {"mark": "listen", "re-mark": "listen", "swap": "swap", "move": "bypass"}


def is_faulty(state: ShowState) -> bool:
    """Whether any line is marked faulty."""
    return any(mark.verdict == "faulty" for mark in state.lines.values())


def heading(rig: Rig, state: ShowState) -> str:
    """Which lines are faulty, and which are to be listened to again."""
    faulty = [line for line, mark in state.lines.items() if mark.verdict == "faulty"]
    again = named(rig, state.again) if state.again else ""
    if faulty and again:
        return tr("Faulty: {lines}; still to hear: {again}", lines=named(rig, faulty), again=again)
    if faulty:
        return tr("Faulty: {lines}", lines=named(rig, faulty))
    return tr("Still to hear: {lines}", lines=again) if again else tr("No line is faulty")


def look_words(rig: Rig, state: ShowState) -> str:
    """What to look at first, for what was heard."""
    faulty = {line: mark.symptom for line, mark in state.lines.items() if mark.verdict == "faulty"}
    lines = [line for line in rig.lines if line.line in faulty]
    phantom = any(isinstance(line, Input) and line.phantom for line in lines)
    return fault_words.look_first(set(faulty.values()), phantom=phantom)


def line_rows(rig: Rig, marks: Mapping[str, LineMark], verdict: str | None) -> tuple[LineRow, ...]:
    """The lines with such a mark, in the order of the plan; None: with any, as lines that are open again."""
    found = [line for line in rig.lines if line.line in marks and verdict in (None, marks[line.line].verdict)]
    return tuple(_line_row(line, marks[line.line], verdict is None) for line in found)


def _line_row(line: Line, mark: LineMark, again: bool) -> LineRow:
    status: Status = "open" if again else "faulty"
    said = tr("was {verdict}", verdict=shown_word(mark.symptom or mark.verdict)) if again else said_of(mark)
    return LineRow(line.line, number_of(line), line.name, line.port, line.zone or "", status, said)


def line_at_hand(rig: Rig, state: ShowState, faulty: Sequence[str], step: Step | None, tests: Sequence[NextRow]) -> str:
    """The line whose run is drawn: that of the step, a faulty one through the first suspects, or what is next."""
    if step is not None:
        return step.line
    if tests and tests[0].line in faulty:
        return tests[0].line
    candidates = [*faulty, *state.again, *(test.line for test in tests), *(line.line for line in rig.lines)]
    return next((line for line in candidates if any(line == one.line for one in rig.lines)), "")


def title_of(rig: Rig, line: str) -> str:
    """The line at hand as it is called out."""
    return fault_words.spoken(rig.line(line)) if line else ""


def run_with_shares(rig: Rig, line: str, diagnosis: Diagnosis) -> tuple[RunItem, ...]:
    """The run of a line with the probability of each suspect on its item."""
    chances = {suspect.item.name: suspect.probability for suspect in diagnosis.suspects}
    return tuple(
        _with_share(item, chances.get(item.name, 0.0)) for item in (run_of(rig, rig.line(line)) if line else ())
    )


def _with_share(item: RunItem, chance: float) -> RunItem:
    return item if chance < LEAST_SHOWN else replace(item, share=chance, share_words=percent(chance))


def suspect_rows(
    rig: Rig, diagnosis: Diagnosis, marks: Sequence[HeardMark], failed: Callable[[str], str] = lambda item: ""
) -> Iterator[SuspectRow]:
    """The suspects that matter, those that no mark can tell apart as one; ``failed`` tells how often an item did."""
    groups = {item: group for group in diagnosis.groups for item in group}
    chances = {suspect.item: suspect.probability for suspect in diagnosis.suspects}
    told: set[Item] = set()
    rows = 0
    for suspect in diagnosis.suspects:
        spoken = speaks_for(rig, suspect.item.name, marks)
        if suspect.probability < LEAST_SHOWN or rows >= MOST_SUSPECTS:
            return
        if suspect.item in told or not spoken:
            continue
        alike = [one for one in groups.get(suspect.item, ()) if chances[one] >= LEAST_SHOWN and one != suspect.item]
        told.update(alike)
        rows += 1
        row = _suspect_row(rig, suspect.item, {one: chances[one] for one in (suspect.item, *alike)}, spoken, marks)
        yield replace(row, history=failed(suspect.item.name))


def _suspect_row(
    rig: Rig, item: Item, chances: Mapping[Item, float], spoken: str, marks: Sequence[HeardMark]
) -> SuspectRow:
    chance, alike = chances[item], [one for one in chances if one != item]
    against = speaks_against(rig, item.name, marks)
    if alike:
        names = [f"{shown_names(one.name)} ({percent(chances[one])})" for one in alike[:_ALIKE_NAMED]]
        if len(alike) > _ALIKE_NAMED:
            others = tr("{names} and {count} more", names=", ".join(names), count=len(alike) - _ALIKE_NAMED)
        else:
            others = ", ".join(names)
        same = tr("or {items}, on the same lines", items=others)
        against = "; ".join(filter(None, (against, same)))
    works = tuple(row for one in chances if one.name in rig.items for row in _works(rig, one))
    close = [one.name for one in alike if chances[one] >= CLOSE * chance]
    title = either((fault_words.called(item), *close))
    return SuspectRow(tuple(one.name for one in chances), title, chance, percent(chance), spoken, against, works)


def _works(rig: Rig, item: Item) -> Iterator[WorkRow]:
    """What can be done about an item."""
    for work in fault_words.WORKS.get(item.kind, ()):
        title = _WORK_TITLES[work](item.name)
        yield WorkRow(work, item.name, title, fault_words.work_words(rig, work, item.name, item.kind))


def nothing_words(diagnosis: Diagnosis) -> str:
    """How likely it is that no item is to blame, and what was not reckoned."""
    none = tr("That none of the items on these lines is to blame: {chance}.", chance=percent(diagnosis.none))
    if not diagnosis.left_out:
        return none
    return f"{none} {tr('At most {share} was left out.', share=with_sign(f'{diagnosis.left_out:.1g}'))}"


def lead_words(rig: Rig, diagnosis: Diagnosis) -> str:
    """The first suspect: ``hop cable LK02, 71 %``."""
    if not diagnosis.suspects:
        return ""
    first = diagnosis.suspects[0]
    if diagnosis.none > first.probability:
        return tr("perhaps nothing, {chance}", chance=percent(diagnosis.none))
    group = next((group for group in diagnosis.groups if first.item in group), ())
    other = next((one for one in diagnosis.suspects[1:2] if one.item in group), None)
    close = other is not None and other.probability >= CLOSE * first.probability
    words = f"{fault_words.called(first.item)}, {percent(first.probability)}"
    if other is None or not close:
        return words
    return tr("{first} or {other}", first=words, other=f"{other.item.name}, {percent(other.probability)}")


def confirmed_words(state: ShowState) -> tuple[str, ...]:
    """What repairs of this show proved: ``LD03: swap for LD29 cleared it, JD 14:03``; the latest first."""
    words = []
    for made in reversed(state.repairs):
        if made.cleared:
            words.append(f"{_cleared(made)}, {' '.join(filter(None, (made.by, clock(made.at))))}")
    return tuple(words)


def _cleared(made: RepairMade) -> str:
    if made.action == "swap":
        new = made.replacement or tr("one without a tag")
        return tr("{item}: swap for {new} cleared it", item=made.item, new=new)
    if made.replacement and made.action == "bypass":
        return tr("{item}: bypass to {port} cleared it", item=made.item, port=made.replacement)
    return tr("{item}: {action} cleared it", item=made.item, action=shown_word(made.action))


def next_row(rig: Rig, one: NextTest, meaning: Meaning | None) -> NextRow:
    """A test with what it takes and what its outcomes mean."""
    test = one.test
    work, line = _WORK_OF[test.kind], rig.line(test.line)
    item = test.swap.name if test.swap else line.port if test.kind == "move" else ""
    kind = rig.items.get(item)
    title = fault_words.title_words(work, item, line, test.port or "")
    if test.kind == "re-mark":
        title = tr("Listen to {line} again", line=fault_words.spoken(line))
    then = "" if work == "listen" else tr("Then listen to {line}.", line=fault_words.spoken(line)) + " "
    more = f"{then}{fault_words.minutes_words(test.minutes)}. {fault_words.outcome_words(work, item, meaning)}".strip()
    return NextRow(
        work, item, test.line, test.port or "", title, more, fault_doing.caution_for(rig, work, item, kind, line)
    )


def unlike(tests: Sequence[NextTest]) -> tuple[NextTest, ...]:
    """The best tests, a few of each kind: one tells much of what its like does."""
    kept: list[NextTest] = []
    for one in tests:
        if sum(other.test.kind == one.test.kind for other in kept) < MOST_ALIKE:
            kept.append(one)
    return tuple(kept[:MOST_TESTS])


def reseat_row(rig: Rig, diagnosis: Diagnosis, state: ShowState) -> NextRow | None:
    """Reseating the first suspect, where it is likely and was not tried: cheap, and often all that is needed."""
    first = diagnosis.suspects[0]
    item = first.item.name
    if first.probability < RESEAT_FROM or item not in rig.items:
        return None
    if any((made.item, made.action) == (item, "reseat") for made in state.repairs):
        return None
    line = line_to_hear(rig, item, diagnosis, state, "reseat")
    words = fault_words.work_words(rig, "reseat", item, first.item.kind)
    return NextRow("reseat", item, line, "", tr("Reseat {item}", item=item), words) if line else None


def again_rows(rig: Rig, state: ShowState) -> tuple[NextRow, ...]:
    """What is to be listened to again."""
    lines = [line for line in rig.lines if line.line in state.again][:_AGAIN_SHOWN]
    return tuple(
        NextRow(
            "listen",
            "",
            line.line,
            "",
            tr("Listen to {line} again", line=fault_words.spoken(line)),
            shown_word(_MINUTES_AGAIN),
        )
        for line in lines
    )


def through(rig: Rig, item: str) -> Sequence[Line]:
    """The lines that run through an item."""
    return fault_words.lines_of(rig, item)


def line_to_hear(rig: Rig, item: str, diagnosis: Diagnosis, state: ShowState, work: Work) -> str:
    """The faulty line through an item whose other items are the least suspect; for a way round, the one on the port."""
    chances = {suspect.item.name: suspect.probability for suspect in diagnosis.suspects}
    faulty = [
        line.line
        for line in through(rig, item)
        if line.line in state.lines and state.lines[line.line].verdict == "faulty"
        if work != "bypass" or line.port == item
    ]

    def others(line: str) -> float:
        return sum(chances.get(step.name, 0.0) for step in rig.path(line) if step.name != item)

    return min(faulty, key=others, default="")


def cleared_answer(rig: Rig, step: Step, state: ShowState, before: bool) -> Answer:
    """What is said when a line is ok."""
    spoken = fault_words.spoken(rig.line(step.line))
    again = tr("Still to hear: {lines}.", lines=named(rig, state.again)) if state.again else ""
    if step.work == "listen":
        return Answer("ok", tr("{line} is ok", line=spoken), again)
    words = shown_word(_DONE[step.work]).format(line=spoken, item=shown_names(step.item))
    pulled = tr("{item} is faulty: tag it and pull it.", item=step.item) if step.work == "swap" else ""
    over = "" if again or is_faulty(state) or not before else tr("No line is faulty any more.")
    return Answer("ok", words, " ".join(filter(None, (pulled, again, over))))


def still_faulty_answer(rig: Rig, step: Step, symptom: str) -> Answer:
    """What is said when a line is faulty, or faulty still."""
    spoken = fault_words.spoken(rig.line(step.line))
    if step.work == "listen":
        return Answer("faulty", f"{spoken}: {shown_word(symptom or 'faulty')}", tr("It is reckoned with."))
    words = shown_word(_TRIED[step.work]).format(line=spoken, other=step.other or tr("a good one"))
    less = step.work in ("swap", "bypass")
    more = tr("{item} is less suspect now.", item=step.item) if less else tr("Try the next thing.")
    return Answer("faulty", words, more)


_DONE: Final[Mapping[Work, str]] = {
    "swap": later("{line} is ok: it was {item}"),
    "reseat": later("{line} is ok: {item} reseated"),
    "mend": later("{line} is ok: {item} mended"),
    "bypass": later("{line} is ok: {item} is led round"),
}
_TRIED: Final[Mapping[Work, str]] = {
    "swap": later("{line} is still faulty with {other} in"),
    "reseat": later("{line} is still faulty after reseating"),
    "mend": later("{line} is still faulty after mending"),
    "bypass": later("{line} is still faulty after the move to another port"),
}
_WORK_TITLES: Final[Mapping[Work, Callable[[str], str]]] = {
    "reseat": lambda item: tr("Reseat {item}", item=item),
    "swap": lambda item: tr("Swap {item}", item=item),
    "mend": lambda item: tr("Mend {item}", item=item),
    "bypass": lambda item: tr("Lead round {item}", item=item),
}
