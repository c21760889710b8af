"""A tour played through real journals: tablets with clocks of their own, faults by chance, some planted bad items.

What was heard, tried, swapped, pulled, tested and brought back is written as a crew would, each tablet to its own
journal; these are merged as the program merges them. All of it is invented: names, places, rates.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from random import Random
from typing import TYPE_CHECKING, Final

from checkapp.diagnose.chances import HEAR, MISS
from checkapp.journal import kinds, setup_kinds, taken_out
from checkapp.journal.journal import Journal
from checkapp.journal.merging import merge
from checkapp.rig.planfile import load_plan
from checkapp.rig.words import SYMPTOMS
from checkapp.show import clock
from checkapp.show.marking import repair_draft
from checkapp.show.recording import Recorder

if TYPE_CHECKING:
    from pathlib import Path

    from checkapp.rig.model import Item
    from checkapp.rig.rig import Rig
    from checkapp.rig.words import ItemKind, Symptom

SHOWS: Final = 30
CREW: Final = ("EX", "MO", "TA", "WI")
"""Initials of those who hold the tablets; invented."""
RATES: Final[dict[ItemKind, float]] = {
    "source": 0.005, "cable": 0.007, "hop": 0.006, "port": 0.0005, "box": 0.001, "supply": 0.002, "desk": 0.0004,
}  # fmt: skip
"""Faults of an item per check. Invented, to be like those of a well-kept rig; no source."""
BAD: Final = {"cable": 2, "source": 1, "hop": 1}
"""So many items of these kinds are planted bad."""
BAD_RATE: Final = 0.3
"""Faults of a planted bad item per check; those of the first one come ever more often. Invented."""
_VENUES = ("Upper ledge", "Old kiln", "Ferry shed", "Glasshouse", "Salt loft", "Long barn")
_START = datetime(2031, 5, 2, 13, 0, tzinfo=UTC)
_SKEWS_MS = (0, 2_400, -41_000, 17_500)
_WRONG_TRY, _GIVEN_UP, _IS_PULLED = 0.25, 0.05, 0.8
_OUT_SHOWS = 3


@dataclass(slots=True)
class _Time:
    """The true time, in milliseconds since 1970; it passes by what is done."""

    ms: int = 0

    def pass_s(self, seconds: float) -> None:
        self.ms += round(seconds * 1000)


@dataclass(frozen=True, slots=True)
class Tablet:
    """A device with a journal of its own, whose clock is so far off, and who holds it."""

    recorder: Recorder
    by: str

    def write(self, draft: kinds.Draft, show: str | None) -> str:
        """Log it; the entry's id."""
        return self.recorder.write(draft, show, self.by).id


@dataclass(slots=True)
class Toured:
    """A tour that was played: the merged journal, which items were planted bad, how many faults there were.

    ``confirmed`` counts those that a repair cleared, ``marks`` all marks.
    """

    journal: Path
    bad: tuple[str, ...]
    shows: int
    marks: int = 0
    faults: int = 0
    confirmed: int = 0


@dataclass(slots=True)
class _Out:
    """What was swapped out at a show (1, 2, ...), and what took its place."""

    item: str
    other: str
    show: int


@dataclass(slots=True)
class _Touring:
    """The tour on its way."""

    rig: Rig
    tablets: tuple[Tablet, ...]
    merged: Journal
    time: _Time
    chance: Random
    told: Toured
    out: list[_Out] = field(default_factory=list)
    sent: int = 0

    @property
    def run(self) -> Rig:
        """The rig as it runs."""
        return self.tablets[0].recorder.running()

    def exchange(self) -> None:
        """All tablets give what they have, and take what the others had."""
        merge(self.merged, [tablet.recorder.journal.path for tablet in self.tablets])
        for tablet in self.tablets:
            assert isinstance(tablet.recorder.journal, Journal)
            merge(tablet.recorder.journal, [self.merged.path])

    def play(self, number: int) -> None:
        """A show: the check on all tablets, the faults put right by one of them, signed off."""
        self.time.ms = round((_START + timedelta(days=2 * number)).timestamp() * 1000)
        self.time.pass_s(self.chance.uniform(0, 5400))
        name, first = f"Night {number}", self.tablets[0]
        day = f"{_START + timedelta(days=2 * number):%Y-%m-%d}"
        first.write(kinds.show(name, venue=_VENUES[number % len(_VENUES)], date=day), name)
        key = first.write(kinds.check_opened(), name)
        if number == 1:
            self.exchange()
        self._bring_back(number)
        faults = self._faults(number)
        self._mark_all(name, key, faults)
        self.exchange()
        for item in sorted(faults):
            self._mend(number, name, key, item, faults)
        first.write(kinds.check_signed_off([key], []), name)
        self.exchange()

    # -- what is faulty, and what is heard

    def _faults(self, number: int) -> dict[Item, Symptom]:
        """What is faulty at a show, and what it sounds like."""
        run = self.run
        items = sorted({item for line in run.lines for item in run.path(line.line)})
        found = {}
        for item in items:
            rate = self._rate(item, number)
            if self.chance.random() < rate:
                table = HEAR[item.kind]
                (found[item],) = self.chance.choices(SYMPTOMS, [table[symptom] for symptom in SYMPTOMS])
        self.told.faults += len(found)
        return found

    def _rate(self, item: Item, number: int) -> float:
        if item.name not in self.told.bad:
            return RATES.get(item.kind, 0.0)
        return BAD_RATE * (2 * number / self.told.shows if item.name == self.told.bad[0] else 1.0)

    def _mark_all(self, name: str, key: str, faults: dict[Item, Symptom]) -> None:
        """Each tablet walks its share of the lines, all at the same time."""
        run = self.run
        names = [line.line for line in run.lines]
        share = -(-len(names) // len(self.tablets))
        for place in range(share):
            for tablet, own in zip(self.tablets, range(place, len(names) + share, share), strict=False):
                if own < len(names):
                    heard = [
                        faults[item]
                        for item in run.path(names[own])
                        if item in faults and self.chance.random() >= MISS[item.kind]
                    ]
                    self._mark(tablet, name, key, names[own], heard[0] if heard else None)
                self.time.pass_s(self.chance.uniform(2, 9))

    def _mark(self, tablet: Tablet, name: str, key: str, line: str, symptom: Symptom | None) -> None:
        verdict: kinds.Verdict = "ok" if symptom is None else "faulty"
        tablet.write(kinds.mark(line, verdict, plan=self.rig.digest, check=key, symptom=symptom), name)
        self.told.marks += 1

    # -- what is done about it

    def _mend(self, number: int, name: str, key: str, item: Item, faults: dict[Item, Symptom]) -> None:
        """Find the culprit, sometimes at the second try, put it right, listen again. Some are never found."""
        tablet, run = self.tablets[number % len(self.tablets)], self.run
        lines = [line.line for line in run.lines if item in run.path(line.line)]
        state = tablet.recorder.state(name, key)
        heard = [line for line in lines if line in state.lines and state.lines[line].verdict == "faulty"]
        if not heard or self.chance.random() < _GIVEN_UP:
            return
        self.time.pass_s(self.chance.uniform(60, 400))
        others = [one for one in run.path(heard[0]) if one != item and one.kind in ("source", "cable", "hop")]
        if others and self.chance.random() < _WRONG_TRY:
            wrong = self.chance.choice(others).name
            tablet.write(kinds.listened(kinds.repair(wrong, "reseat", cleared=False), heard[:1]), name)
            self.time.pass_s(self.chance.uniform(40, 120))
        self._repair(tablet, number, name, item, heard[:1])
        self.told.confirmed += 1
        del faults[item]
        for line in heard:
            self.time.pass_s(self.chance.uniform(10, 25))
            left = [faults[one] for one in self.run.path(line) if one in faults]
            self._mark(tablet, name, key, line, left[0] if left else None)

    def _repair(self, tablet: Tablet, number: int, name: str, item: Item, heard: Sequence[str]) -> None:
        run = tablet.recorder.run()
        spare = _spare(run.rig, item, {one.other for one in self.out})
        if spare is not None and self.chance.random() < 2 / 3:
            draft, _ = repair_draft(run, item.name, "swap", spare, cleared=True)
            tablet.write(kinds.listened(draft, heard), name)
            if self.chance.random() < _IS_PULLED:
                tablet.write(taken_out.pulled(item.name), name)
            self.out.append(_Out(item.name, spare, number))
            return
        action: kinds.Action = "reseat" if item.kind in ("cable", "hop", "supply") else "mend"
        tablet.write(kinds.listened(kinds.repair(item.name, action, cleared=True), heard), name)

    def _bring_back(self, number: int) -> None:
        """What has been out for some shows was on the bench; what is good there goes back into its place."""
        tablet = self.tablets[0]
        for one in [one for one in self.out if number - one.show >= _OUT_SHOWS]:
            passed = self.chance.random() < (0.9 if one.item in self.told.bad else 1.0)
            tablet.write(kinds.bench(one.item, ohms=None, passed=passed), None)
            if passed:
                lines = [
                    line.line for line in self.run.lines if one.other in {i.name for i in self.run.path(line.line)}
                ]
                tablet.write(taken_out.returned(one.item), None)
                tablet.write(setup_kinds.swap(one.other, one.item, lines=lines), None)
                self.out.remove(one)
            else:
                one.show = self.told.shows  # it stays out
            self.time.pass_s(60)


def play_tour(plan: Path, folder: Path, shows: int = SHOWS, seed: int = 7) -> Toured:
    """Play a tour with a plan's rig; the journals of the tablets and the merged one are made in the folder.

    The folder must be new or empty. Errors: those of the plan and of the journal.
    """
    rig, chance, time = load_plan(plan), Random(seed), _Time()
    told = Toured(folder / "tour.db", tuple(_planted(rig, chance)), shows)
    time.ms = round(_START.timestamp() * 1000)
    with _tablets(rig, folder, time) as tablets, _opened(told.journal, "tour-desk") as merged:
        touring = _Touring(rig, tablets, merged, time, chance, told)
        for number in range(1, shows + 1):
            touring.play(number)
    return told


def _planted(rig: Rig, chance: Random) -> Iterator[str]:
    items = sorted({item for line in rig.lines for item in rig.path(line.line)})
    for kind, many in BAD.items():
        names = [item.name for item in items if item.kind == kind]
        yield from chance.sample(names, min(many, len(names)))


@contextmanager
def _tablets(rig: Rig, folder: Path, time: _Time) -> Iterator[tuple[Tablet, ...]]:
    with ExitStack() as opened:
        tablets = []
        for number, (by, skew_ms) in enumerate(zip(CREW, _SKEWS_MS, strict=True), 1):
            journal = opened.enter_context(_opened(folder / f"tablet-{number}.db", f"tour-tablet-{number}"))
            tablets.append(Tablet(Recorder(journal, rig, lambda skew_ms=skew_ms: time.ms + skew_ms), by))  # type: ignore[misc]
        yield tuple(tablets)


def _opened(path: Path, device: str) -> Journal:
    return Journal.open(path, new_device=f"{device}-{clock.new_device()}", create=True)


def _spare(rig: Rig, item: Item, used: set[str]) -> str | None:
    """The shortest free spare of an item's kind that is long enough."""
    if item.name not in rig.cables:
        return None
    own = rig.cables[item.name]
    running = {one.name for line in rig.lines for one in rig.path(line.line)}
    fit = [
        cable
        for cable in rig.cables.values()
        if cable.spare
        and cable.kind == own.kind
        and cable.length_m >= own.length_m
        and cable.code not in running | used
    ]
    return min(fit, key=lambda cable: cable.length_m).code if fit else None
