"""The plan of a sweep, and a mark added to it."""

from hypothesis import given, settings
from hypothesis import strategies as st
from random_rigs import drawn

from checkapp.diagnose.case import OpenMark, case_of
from checkapp.diagnose.order import rows_of
from checkapp.diagnose.plan import plan_of
from checkapp.diagnose.private import Hearing
from checkapp.diagnose.sweep import Sweep


def shape(plan):
    classes = {(frozenset(items), frozenset(on)) for items, on in zip(plan.classes, plan.on, strict=True)}
    return classes, [set(items) for items in plan.private]


@given(st.integers(0, 10**6), st.randoms())
@settings(max_examples=60)
def test_a_plan_with_one_mark_more_is_the_plan_of_all_the_marks_but_for_their_order(seed, rng):
    rig = drawn(seed)
    case = case_of(rig.paths.values(), rig.heard, rig.chances)
    for item in rng.sample(rig.world.items, rng.randint(0, min(3, len(rig.world.items)))):
        case.odds[item] = rng.choice([float("inf"), float("-inf")])
    items = rng.choice(list(rig.paths.values()))
    marks = [mark.items for mark in case.marks]
    added, anew = plan_of(marks, case.odds).with_mark(items, case.odds), plan_of([*marks, items], case.odds)
    assert shape(added) == shape(anew)
    assert all(any(set(stop) <= set(whole) for whole in anew.stops) for stop in added.stops)
    assert added.rows == rows_of(
        [frozenset(name for name, on in enumerate(added.on) if stop[0] in on) for stop in added.stops],
        {
            name: {kind: [item.kind for item in one].count(kind) for _, kind in one}
            for name, one in enumerate(added.classes)
        },
    )
    open_marks = [*case.marks, OpenMark(tuple(dict.fromkeys(items)))]
    swept = [Sweep(open_marks, case.odds, Hearing(rig.chances), plan=plan).run() for plan in (added, anew)]
    top = swept[1].logs.max()
    if top == -float("inf"):
        return
    for mine, other in zip(swept[0].logs, swept[1].logs, strict=True):
        assert mine == other or abs(mine - other) < 1e-9
    for item, chances in swept[1].chances.items():
        assert abs(swept[0].chances[item] - chances).max() < 1e-9
