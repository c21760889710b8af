"""How long suspects and the next test take, and how exact they are: rigs of 64 and 512 lines, and against pyAgrum.

Run: python tests/bench/bench_suspects.py [--seed N]
"""

import argparse
import random
import statistics
from collections.abc import Callable
from time import perf_counter

import numpy as np
import pyagrum

from checkapp.diagnose.chances import Chances
from checkapp.diagnose.evidence import Heard, Path
from checkapp.diagnose.next_test import next_tests
from checkapp.diagnose.posterior import diagnose
from checkapp.diagnose.private import Hearing
from checkapp.rig.model import Item
from checkapp.rig.words import SYMPTOMS

Paths = dict[str, Path]
CHANCES = Chances()


def chains(lines: int, number: int, boxes: int, supplies: int) -> Paths:
    """Lines spread over boxes on chains; box n is on supply n modulo their number, so that supplies cross chains."""
    paths: Paths = {}
    for line in range(lines):
        items = [Item(f"port {line}", "port")]
        for box in range(line % boxes, -1, -number):
            items += [Item(f"B{box}", "box"), Item(f"C{box % supplies}", "supply"), Item(f"H{box}", "hop")]
        items.append(Item(f"chain {line % boxes % number}", "chain"))
        own = [Item(f"source {line}", "source"), Item(f"X{line}", "cable")]
        paths[f"in {line}"] = tuple(dict.fromkeys([*own, *items, Item(f"desk {line}", "desk")]))
    return paths


def scattered(paths: Paths, faulty: int, rng: random.Random) -> list[Heard]:
    """So many lines marked faulty at random, six in ten of the others ok."""
    bad = set(rng.sample(list(paths), faulty))
    heard = []
    for line, path in paths.items():
        if line in bad:
            heard.append(Heard(line, path, "faulty", rng.choice(SYMPTOMS)))
        elif rng.random() < 0.6:
            heard.append(Heard(line, path, "ok"))
    return heard


def planted(
    paths: Paths, faults: int, rng: random.Random, kinds: tuple[str, ...] = ("box", "hop", "supply", "chain")
) -> list[Heard]:
    """Shared items at fault; lines marked as the model says, of those that are ok seven in ten."""
    shared = sorted({item for path in paths.values() for item in path if item.kind in kinds})
    bad = set(rng.sample(shared, faults))
    heard = []
    for line, path in paths.items():
        faulty = [item for item in path if item in bad]
        ok = 1 - CHANCES.false_alarm
        for item in faulty:
            ok *= CHANCES.miss[item.kind]
        if rng.random() < ok:
            if rng.random() < 0.7:
                heard.append(Heard(line, path, "ok"))
            continue
        rows = [CHANCES.hear[item.kind] for item in faulty]
        means = [sum(row[one] for row in rows) / len(rows) if rows else 1 / 8 for one in SYMPTOMS]
        heard.append(Heard(line, path, "faulty", rng.choices(SYMPTOMS, means)[0]))
    return heard


def median_ms(work: Callable[[], object], times: int = 5) -> float:
    took = []
    for _ in range(times):
        start = perf_counter()
        work()
        took.append(1000 * (perf_counter() - start))
    return statistics.median(took)


def report(name: str, paths: Paths, heard: list[Heard], goals: tuple[int, int] | None) -> None:
    found, tests = diagnose(paths, heard, CHANCES), next_tests(paths, heard, CHANCES)
    posterior = median_ms(lambda: diagnose(paths, heard, CHANCES))
    test = median_ms(lambda: next_tests(paths, heard, CHANCES), 3)
    faulty, first = sum(one.verdict == "faulty" for one in heard), found.suspects[0]
    goal = f", goals {goals[0]} and {goals[1]} ms" if goals else ""
    print(
        f"{name}, {faulty} faulty: posterior {posterior:.1f} ms, next test {test:.1f} ms{goal}; "
        f"left out {found.left_out:.1e}; {len(tests)} tests; first {first.item.name} {first.probability:.3f}"
    )


def network(paths: Paths) -> tuple[pyagrum.BayesNet, dict[Item, int], dict[str, int]]:
    """The whole rig as a network: a node an item, and a node a line with the outcomes ok and the eight symptoms."""
    net = pyagrum.BayesNet()
    items = sorted({item for path in paths.values() for item in path})
    nodes = {item: net.add(pyagrum.LabelizedVariable(item.name, "", 2)) for item in items}
    for item, node in nodes.items():
        net.cpt(node).fillWith([1 - CHANCES.prior_of(item), CHANCES.prior_of(item)])
    marks = {}
    for line, path in paths.items():
        marks[line] = net.add(pyagrum.LabelizedVariable(f"mark {line}", "", 1 + len(SYMPTOMS)))
        for item in path:
            net.addArc(nodes[item], marks[line])
        net.cpt(marks[line]).fillWith(outcomes(path).ravel().tolist())
    return net, nodes, marks


def outcomes(path: Path) -> "np.ndarray[tuple[int, int], np.dtype[np.float64]]":
    """The chance of every outcome for each set of faulty items: (set, outcome), the first item changing fastest."""
    faulty = (np.arange(1 << len(path))[:, None] >> np.arange(len(path))) & 1
    ok = (1 - CHANCES.false_alarm) * np.prod(np.where(faulty, [CHANCES.miss[item.kind] for item in path], 1.0), axis=1)
    hear = np.array([[CHANCES.hear[item.kind][symptom] for symptom in SYMPTOMS] for item in path])
    number = faulty.sum(axis=1)[:, None]
    means = np.where(number > 0, faulty @ hear / np.maximum(number, 1), 1 / len(SYMPTOMS))
    return np.column_stack([ok, (1 - ok)[:, None] * means])


def by_network(lines: int, boxes: int, rng: random.Random, markings: int = 40) -> None:
    """The same markings of one rig, one after the other, after as many that are not counted.

    Both keep what does not depend on what was marked.
    """
    paths = chains(lines, 1, boxes, boxes)
    heard = [scattered(paths, lines // 3 + 1, rng) for _ in range(2 * markings)]
    net, nodes, marks = network(paths)
    inference, hearing = pyagrum.LazyPropagation(net), Hearing(CHANCES)

    def infer(marking: list[Heard]) -> dict[Item, float]:
        outcome = {"ok": 0, **{symptom: at for at, symptom in enumerate(SYMPTOMS, 1)}}
        inference.setEvidence({marks[one.line]: outcome[one.symptom or one.verdict] for one in marking})
        inference.makeInference()
        return {item: inference.posterior(node)[1] for item, node in nodes.items()}

    took, apart = [0.0, 0.0], 0.0
    for marking in heard[:markings]:
        infer(marking)
        diagnose(paths, marking, hearing)
    for marking in heard[markings:]:
        start = perf_counter()
        theirs = infer(marking)
        between = perf_counter()
        ours = diagnose(paths, marking, hearing)
        took = [took[0] + between - start, took[1] + perf_counter() - between]
        apart = max(apart, *(abs(theirs[one.item] - one.probability) for one in ours.suspects))
    theirs_ms, ours_ms = (1000 * one / markings for one in took)
    print(
        f"{lines} lines, {len(nodes)} items, {markings} markings: pyAgrum {theirs_ms:.1f} ms, ours {ours_ms:.2f} ms, "
        f"{theirs_ms / ours_ms:.0f} times; apart {apart:.1e}"
    )


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--seed", type=int, default=1)
    rng = random.Random(parser.parse_args().seed)
    small, large = chains(64, 2, 8, 2), chains(512, 16, 100, 16)
    report("64 lines, marks at random", small, scattered(small, 2, rng), (5, 30))
    report("64 lines, marks at random", small, scattered(small, 6, rng), (5, 30))
    report("64 lines, one shared fault", small, planted(small, 1, rng), (5, 30))
    report("512 lines, 16 chains, 100 boxes", large, scattered(large, 40, rng), (50, 300))
    report("512 lines, two shared faults", large, planted(large, 2, rng), None)
    report(
        "512 lines, all faulty", large, [Heard(line, path, "faulty", "silent") for line, path in large.items()], None
    )
    crossing = chains(512, 8, 100, 8)
    report("512 lines, 8 chains, two shared faults", crossing, planted(crossing, 2, rng), None)
    print("Very much is faulty, symptoms at random (nothing that a rig would do):")
    paths = chains(512, 16, 100, 8)
    report("512 lines, 16 chains, 100 boxes, 8 supplies", paths, scattered(paths, 512, rng), None)
    for supplies in (1, 8, 60):
        paths = chains(512, 1, 60, supplies)
        report(f"512 lines, one chain, 60 boxes, {supplies} supplies", paths, scattered(paths, 512, rng), None)
    for supplies in (3, 5, 7, 9, 12):
        paths = chains(512, 16, 100, supplies)
        for faulty in (90, 180, 300, 430):
            report(f"16 chains over {supplies} supplies", paths, scattered(paths, faulty, rng), None)
    print("Supplies that chains share are at fault:")
    for supplies, faults in ((5, 1), (5, 2), (7, 2), (9, 3), (12, 3)):
        paths = chains(512, 16, 100, supplies)
        report(f"{faults} of {supplies} supplies at fault", paths, planted(paths, faults, rng, ("supply",)), None)
    for lines, boxes in ((4, 2), (8, 2), (16, 4)):
        by_network(lines, boxes, rng)


if __name__ == "__main__":
    main()
