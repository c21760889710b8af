"""What gets worse is told; what chance has look so among many is not, and how much of it there is is said."""

from random import Random

import pytest

from checkapp.history.analysis import analysed
from checkapp.history.conclusions import conclusions
from checkapp.history.lives import Life, Tally
from checkapp.history.worsening import worsening


def steady(many, exposures=200, faults=5, seed=3):
    """Items whose faults lie anywhere, by chance."""
    chance = Random(seed)
    draw = [tuple(sorted(chance.sample(range(1, exposures + 1), faults))) for _ in range(many)]
    return [Life(f"SM.XL{number:03}", "cable", exposures, failed) for number, failed in enumerate(draw)]


def lines(history):
    return next(one.lines for one in conclusions(history) if one.heading == "Gets worse")


def test_chance_among_many_items_is_not_named_but_said():
    history = analysed(Tally(tuple(steady(400))))
    alone = sum(row.trend.word == "worse" for row in history.items)
    assert 3 <= alone <= 20
    assert worsening(history).items == ()
    first, last = lines(history)
    assert first.startswith("No item")
    assert (
        last == f"Of 400 items with faults in 3 checks or more {alone} look so taken alone; by chance about 10.0 would."
    )


def test_one_that_gets_worse_is_named_among_many():
    late = Life("SM.LATE", "cable", 200, tuple(range(191, 201)))
    history = analysed(Tally((late, *steady(400))))
    assert [one.row.life.item for one in worsening(history).items] == ["SM.LATE"]
    assert lines(history)[0] == (
        "SM.LATE (cable): its faults came later than evenly over its 200 checks (p below 0.001)."
    )


def test_of_a_few_items_one_is_named_as_by_itself():
    late = Life("SM.LATE", "cable", 28, (18, 23, 24, 26))
    history = analysed(Tally((late, *steady(3, exposures=30))))
    (found,) = worsening(history).items
    assert found.row.life.item == "SM.LATE"
    assert found.p == pytest.approx(found.row.trend.p)


def test_faults_of_one_check_are_no_trend():
    """Tries at a repair in the last check before it was pulled are not said to get worse, however many."""
    life = Life("SM.A", "cable", 30, (30,) * 6, pulled_at="2031-05-01", pulled_at_last=True)
    history = analysed(Tally((life, *steady(3))))
    assert "worse" in {row.trend.word for row in history.items if row.life == life}
    assert worsening(history).items == ()
    assert worsening(history).asked == 3
