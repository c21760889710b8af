"""Drills: rigs drawn at random, faults planted from the model, and marks that answer as the model says.

A drill is played by a player who chooses one test after another: the advice (the first of the next tests), or a crew
that walks the lines in list order and then swaps what is on the faulty line. Everything follows from the seed.
"""

import random
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from checkapp.diagnose.chances import Chances
from checkapp.diagnose.evidence import Heard, Path, faulty_now, latest
from checkapp.diagnose.next_test import Minutes, Test, next_tests
from checkapp.diagnose.posterior import Diagnosis, diagnose
from checkapp.rig.model import Item
from checkapp.rig.words import SYMPTOMS

SURE = 0.95
"""An item, or a group that no mark can tell apart, is found when it is likelier than this to be faulty."""
SAID = 0.85
"""How often the crew says the symptom of a line that it marks faulty; not part of the model, and tells nothing."""
MORE_STEPS = 40
"""A player who takes more tests than there are lines, and this many more, has lost the way."""


@dataclass
class Box:
    """A box in its place: the items from there to the desk, and its ports, those of no line among them."""

    code: str
    way: Path
    free: list[int] = field(default_factory=list)


class Rig:
    """Lines on boxes on chains, as they run now; items that were swapped out are on no path."""

    def __init__(self, boxes: Sequence[Box], own: dict[str, tuple[Path, Item]], ports: dict[str, tuple[int, int]]):
        self.boxes, self._own, self._ports = boxes, own, ports
        self.out: set[Item] = set()
        self.paths: dict[str, Path] = {line: self.path(line, *ports[line]) for line in own}
        self.items = sorted({item for path in self.paths.values() for item in path})

    def path(self, line: str, box: int, port: int) -> Path:
        """The items of the line when it is on that port."""
        own, desk = self._own[line]
        place = self.boxes[box]
        whole = (*own, Item(f"{place.code} in {port}", "port"), *place.way, desk)
        return tuple(item for item in dict.fromkeys(whole) if item not in self.out)

    def free(self, lines: Iterable[str]) -> dict[str, list[tuple[str, Path]]]:
        """For each line the first free port of its own box and the first one elsewhere, as the app offers them."""
        return {line: [(name, self.path(line, *at)) for name, at in self._free(line)] for line in lines}

    def _free(self, line: str) -> Iterator[tuple[str, tuple[int, int]]]:
        own = self._ports[line][0]
        for boxes in ([own], [at for at in range(len(self.boxes)) if at != own]):
            box = next((at for at in boxes if self.boxes[at].free), None)
            if box is not None:
                port = min(self.boxes[box].free)
                yield f"{self.boxes[box].code} in {port}", (box, port)

    def move(self, line: str, port: str) -> None:
        """The line to a free port; the one it was on is free then."""
        box, number = dict(self._free(line))[port]
        old_box, old = self._ports[line]
        self.boxes[box].free.remove(number)
        self.boxes[old_box].free.append(old)
        self._ports[line] = (box, number)
        self.paths[line] = self.path(line, box, number)

    def swap(self, item: Item) -> None:
        """A known good one in place of the item, for every line through it."""
        self.out.add(item)
        self.paths = {line: tuple(one for one in path if one != item) for line, path in self.paths.items()}


def drawn_rig(lines: int, rng: random.Random) -> Rig:
    """Boxes of 8 to 32 ports one after the other on chains, some on a supply that they share; lines on their ports."""
    boxes: list[Box] = []
    chains = rng.randint(max(1, lines // 64), max(1, lines // 24))
    ends: list[Path] = [(Item(f"chain {number}", "chain"),) for number in range(chains)]
    ports: list[tuple[int, int]] = []
    supply = 0
    while len(ports) < lines:
        code, on = f"B{len(boxes)}", rng.randrange(chains)
        supply += rng.random() < 0.4
        fed = [Item(f"supply {supply}", "supply")] if rng.random() < 0.6 else []
        ends[on] = (Item(code, "box"), *fed, Item(f"hop {len(boxes)}", "hop"), *ends[on])
        size = rng.choice([8, 8, 12, 16] if lines <= 64 else [8, 12, 16, 16, 24, 32])
        used = min(rng.randint(size // 2, size), lines - len(ports))
        ports += [(len(boxes), number) for number in range(1, used + 1)]
        boxes.append(Box(code, ends[on], list(range(used + 1, size + 1))))
    if rng.random() < 0.5:
        rng.shuffle(ports)
    own: dict[str, tuple[Path, Item]] = {}
    for number in range(1, lines + 1):
        source = number - 1 if number % 2 == 0 and rng.random() < 0.15 else number  # both sides of a stereo source
        items = [Item(f"source {source}", "source")]
        if rng.random() < 0.9:
            items.append(Item(f"X{number}", "cable"))
        own[f"in {number}"] = (tuple(items), Item(f"desk in {number}", "desk"))
    return Rig(boxes, own, dict(zip(own, ports, strict=True)))


def drawn_faults(items: Sequence[Item], chances: Chances, rng: random.Random) -> frozenset[Item]:
    """Each item faulty by its prior, as the model says."""
    return frozenset(item for item in items if rng.random() < chances.prior_of(item))


def so_many_faults(items: Sequence[Item], number: int, chances: Chances, rng: random.Random) -> frozenset[Item]:
    """The same given that ``number`` items are faulty, exactly: one item after the other.

    The weight of a set is the product of its odds. An item is in it with its odds times the weight of all sets of one
    fewer among the items after it, over the weight of all sets of this size from it on.
    """
    odds = [chances.prior_of(item) / (1 - chances.prior_of(item)) for item in items]
    weights = [[1.0, *[0.0] * number]]
    for one in reversed(odds):
        after = weights[-1]
        weights.append([1.0, *(after[size] + one * after[size - 1] for size in range(1, number + 1))])
    weights.reverse()
    left, found = number, []
    for at, item in enumerate(items):
        if left and rng.random() * weights[at][left] < odds[at] * weights[at + 1][left - 1]:
            found.append(item)
            left -= 1
    return frozenset(found)


@dataclass
class Truth:
    """What is really faulty, and what a line sounds like because of it."""

    faulty: frozenset[Item]
    chances: Chances
    rng: random.Random
    said: float = SAID

    def listen(self, line: str, path: Path) -> Heard:
        """A mark of the line: misses, false alarms and symptoms as the model has them."""
        bad = [item for item in path if item in self.faulty]
        ok = 1 - self.chances.false_alarm
        for item in bad:
            ok *= self.chances.miss[item.kind]
        if self.rng.random() < ok:
            return Heard(line, path, "ok")
        if self.rng.random() >= self.said:
            return Heard(line, path, "faulty")
        rows = [self.chances.hear[item.kind] for item in bad]
        means = [sum(row[one] for row in rows) if rows else 1.0 for one in SYMPTOMS]
        return Heard(line, path, "faulty", self.rng.choices(SYMPTOMS, means)[0])


class Played(NamedTuple):
    """How a drill ended, and what it took after its start.

    ``ending``: sure (an item is likelier than `SURE`), swap or move (the line was ok after it), not heard (no line is
    marked faulty any more), no test (none is left), lost. ``found``: what is named as faulty, after a move to another
    box all that the line ran through before and not after. ``right``: one of them is. ``to_group``: the tests until an
    item, or a group that no mark can tell apart, was likelier than `SURE`; None where that never was.
    """

    ending: str
    found: tuple[Item, ...]
    right: bool
    tests: int
    minutes: float
    to_group: int | None
    steps: tuple[tuple[Test, Heard], ...]


class Drill:
    """A check under way: the rig, the truth, what was heard, and what follows from it."""

    def __init__(self, rig: Rig, truth: Truth, minutes: Minutes | None = None) -> None:
        self.rig, self.truth, self.minutes = rig, truth, minutes or Minutes()
        self.heard: tuple[Heard, ...] = ()
        self.listened: list[Heard] = []  # every mark, those that were replaced since too
        self._diagnosis: Diagnosis | None = None

    @property
    def diagnosis(self) -> Diagnosis:
        if self._diagnosis is None:
            self._diagnosis = diagnose(self.rig.paths, self.heard, self.truth.chances)
        return self._diagnosis

    @property
    def faulty(self) -> tuple[str, ...]:
        return faulty_now(self.rig.paths, self.heard)

    def chances(self) -> dict[Item, float]:
        """How likely each item of the rig is faulty, those that were swapped out or moved away from among them.

        They are on no line now, so that an unmarked line through them, which changes nothing, stands in.
        """
        paths = {**self.rig.paths, "nowhere": tuple(self.rig.items)}
        found = diagnose(paths, self.heard, self.truth.chances)
        return {one.item: one.probability for one in found.suspects}

    def unmarked(self) -> list[str]:
        marked = {(one.line, frozenset(one.path)) for one in self.heard}
        return [line for line, path in self.rig.paths.items() if (line, frozenset(path)) not in marked]

    def listen(self, lines: Iterable[str], stop: bool = False) -> bool:
        """Mark lines as they run now, to the first faulty one if ``stop``; whether one was faulty."""
        new: list[Heard] = []
        for line in lines:
            new.append(self.truth.listen(line, self.rig.paths[line]))
            if stop and new[-1].verdict == "faulty":
                break
        self.listened += new
        self._keep(new)
        return any(one.verdict == "faulty" for one in new)

    def walk(self, stop: bool = True) -> bool:
        """Mark the unmarked lines in list order, to the first faulty one if ``stop``; whether one was faulty."""
        return self.listen(self.unmarked(), stop)

    def _keep(self, new: list[Heard]) -> None:
        """Ok marks that meet no item of a faulty mark make no item likelier: nothing is worked out anew then."""
        replaced = {(one.line, frozenset(one.path)) for one in self.heard}
        suspected = {item for old in self.heard if old.verdict == "faulty" for item in old.path}
        self.heard = latest((*self.heard, *new))
        for one in new:
            again = (one.line, frozenset(one.path)) in replaced
            if again or one.verdict == "faulty" or not suspected.isdisjoint(one.path):
                self._diagnosis = None

    def swap(self, item: Item) -> None:
        """A known good one in place of the item."""
        self.rig.swap(item)
        self._diagnosis = None

    def do(self, test: Test) -> Heard:
        """What the test says, then listen."""
        if test.kind == "swap" and test.swap is not None:
            self.swap(test.swap)
        if test.kind == "move" and test.port is not None:
            self.rig.move(test.line, test.port)
            self._diagnosis = None
        assert set(self.rig.paths[test.line]) == set(test.path), test
        self.listen([test.line])
        return self.heard[-1]

    def sure_group(self) -> tuple[Item, ...]:
        """The likeliest item, or group that no mark can tell apart, that is likelier than `SURE` to be at fault."""
        chances = {one.item: one.probability for one in self.diagnosis.suspects}
        groups = [*self.diagnosis.groups, *((item,) for item in chances)]
        best = max(groups, key=lambda group: sum(chances[item] for item in group))
        return best if sum(chances[item] for item in best) > SURE else ()

    def play(self, choose: Callable[["Drill"], Test | None]) -> Played:
        """Test after test until what is at fault is named, as the app would name it."""
        steps: list[tuple[Test, Heard]] = []
        to_group: int | None = None
        ending, found = self._named()
        while not ending:
            if to_group is None and self.sure_group():
                to_group = len(steps)
            test = choose(self)
            if test is None or len(steps) > len(self.rig.paths) + MORE_STEPS:
                ending = "lost" if test else "no test"
                break
            before = self.rig.paths[test.line]
            heard = self.do(test)
            steps.append((test, heard))
            if heard.verdict == "ok" and test.kind in ("swap", "move"):
                ending, found = test.kind, tuple(item for item in before if item not in test.path)
            else:
                ending, found = self._named()
        if found and to_group is None:
            to_group = len(steps)
        took = sum(test.minutes for test, _ in steps)
        right = not self.truth.faulty.isdisjoint(found)
        return Played(ending, found, right, len(steps), took, to_group, tuple(steps))

    def _named(self) -> tuple[str, tuple[Item, ...]]:
        if not self.faulty:
            return "not heard", ()
        first = self.diagnosis.suspects[0]
        return ("sure", (first.item,)) if first.probability > SURE else ("", ())


class Session(NamedTuple):
    """A whole check, repairs and all: what of the planted went out of the rig or was moved away from, and what it took.

    ``left``: planted faults still on a line. ``needless``: good items that were swapped. ``tests`` and ``minutes`` are
    those of the advice and the repairs; the marks of the walk in list order are not among them. ``end``: quiet (all
    lines are marked ok), or how the advice ended before.
    """

    found: int
    left: int
    needless: int
    tests: int
    minutes: float
    end: str


MOST_ROUNDS = 40


def whole_check(drill: Drill) -> Session:
    """Lines in list order to the first faulty one, the advice until it is repaired, and on, until all are ok."""
    tests, minutes, end = 0, 0.0, "lost"
    for _ in range(MOST_ROUNDS):
        if not drill.faulty and not drill.walk():
            end = "quiet"
            break
        played = drill.play(advice)
        tests, minutes = tests + played.tests, minutes + played.minutes
        if played.ending in ("no test", "lost"):
            end = played.ending
            break
        if played.ending == "sure":
            minutes += repair(drill, played.found[0])
            tests += 1
    on_lines = {item for path in drill.rig.paths.values() for item in path}
    left = len(drill.truth.faulty & on_lines)
    return Session(len(drill.truth.faulty) - left, left, len(drill.rig.out - drill.truth.faulty), tests, minutes, end)


def repair(drill: Drill, item: Item) -> float:
    """What is named is swapped, of whatever kind, and one faulty line through it marked again; minutes that takes."""
    line = next((line for line in drill.faulty if item in drill.rig.paths[line]), drill.faulty[0])
    drill.swap(item)
    drill.listen([line])
    return drill.minutes.swap.get(item.kind, drill.minutes.move)


def advice(drill: Drill) -> Test | None:
    """The first of the next tests."""
    free = drill.rig.free(drill.faulty)
    found = next_tests(drill.rig.paths, drill.heard, drill.truth.chances, drill.minutes, free)
    return found[0].test if found else None


def in_list_order(drill: Drill) -> Test | None:
    """The next unmarked line until it is clear where the fault is, then swap after swap along the first faulty line."""
    unmarked = drill.unmarked()
    if unmarked and not drill.sure_group():
        line = unmarked[0]
        return Test("mark", line, drill.rig.paths[line], drill.minutes.mark)
    for line in drill.faulty:
        path = drill.rig.paths[line]
        for item in path:
            if item.kind in drill.minutes.swap:
                left = tuple(one for one in path if one != item)
                return Test("swap", line, left, drill.minutes.swap[item.kind], swap=item)
    return None
