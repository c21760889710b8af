"""What a tally comes to: advice and its reason, kinds, spares, growth."""

import pytest

from checkapp.diagnose.chances import PRIOR
from checkapp.history.analysis import analysed
from checkapp.history.lives import CheckDone, FaultMade, Life, Tally
from checkapp.history.rates import Count, Pool, near


def lives(*faults, exposures=30, kind="cable"):
    return [Life(f"SM.X{n:02}", kind, exposures, found) for n, found in enumerate(faults)]


def test_of_nothing_there_is_nothing():
    found = analysed(Tally(()))
    assert (found.items, found.kinds, found.spares) == ((), (), ())


def test_items_of_which_nothing_is_known_are_kept():
    (row,) = analysed(Tally((Life("SM.SB1", "box", 0),))).items
    assert (row.rate, row.low, row.high, row.advice, row.reason) == (None, None, None, "keep", "it was in no check")
    (spares,) = analysed(Tally((Life("SM.SB1", "box", 0),))).spares
    assert spares.count is None


def test_one_that_fails_far_more_often_is_retired_and_the_others_kept():
    found = analysed(Tally(tuple(lives((3, 7, 12, 15, 22, 25, 29), *[()] * 25, (4,)))))
    assert (found.items[0].life.item, found.items[0].advice) == ("SM.X00", "retire")
    assert found.items[0].reason.startswith("7 faults in 30 checks, about ")
    assert {row.advice for row in found.items[1:]} == {"keep"}


def test_one_fault_never_retires_an_item():
    found = analysed(Tally(tuple(lives((3,), *[()] * 200))))
    assert {row.advice for row in found.items} == {"keep"}


def test_what_failed_on_the_bench_is_retired_and_what_was_pulled_is_tested():
    known = [Life("SM.A", "cable", 30, (3,), bench=False), Life("SM.B", "cable", 30, (3,), pulled_at="2031-05-01")]
    rows = {row.life.item: row for row in analysed(Tally((*known, *lives(*[()] * 10)))).items}
    assert (rows["SM.A"].advice, rows["SM.A"].reason) == ("retire", "1 fault in 30 checks; it failed on the bench")
    assert (rows["SM.B"].advice, rows["SM.B"].reason) == (
        "bench-test",
        "1 fault in 30 checks; it was pulled and not tested since",
    )


def test_rates_are_those_of_the_pool_of_the_kind():
    known = lives((3, 9), (), (4,))
    pool = Pool([Count(len(life.faults), 30.0) for life in known], near(PRIOR["cable"]))
    for row in analysed(Tally(tuple(known))).items:
        wanted = pool.rate(Count(len(row.life.faults), 30.0))
        assert row.rate == pytest.approx(wanted.mean, rel=1e-3)
        assert (row.low, row.high) == pytest.approx((wanted.low, wanted.high), rel=1e-2, abs=1e-6)


def test_spares_leave_out_what_was_pulled():
    known = lives(*[(3, 9, 20)] * 6)
    fewer = [*known[:2], *(Life(one.item, one.kind, 30, one.faults, pulled_at="2031-05-01") for one in known[2:])]
    all_of_them, few = (analysed(Tally(tuple(some))).spares[0].count for some in (known, fewer))
    assert few < all_of_them


def test_growth_of_a_kind_over_its_checks():
    checks = tuple(CheckDone("R", f"N{n}", "", "", f"2031-05-{n:02}T18", 40, 0, 9.0, ()) for n in range(1, 11))

    def fault(day):
        at = f"2031-05-{day:02}T19"
        return FaultMade("SM.X00", "cable", at, "R", "N", "", "JD", "mend", None, ("in 1",), (), None, False)

    early = analysed(Tally(tuple(lives((1,))), tuple(fault(day) for day in (1, 1, 2, 3)), (), checks)).kinds[0]
    late = analysed(Tally(tuple(lives((1,))), tuple(fault(day) for day in (8, 9, 10, 10)), (), checks)).kinds[0]
    assert early.growth.shape < 1 < late.growth.shape


def test_of_a_kind_with_one_item_and_no_fault_little_is_feared():
    """Nothing but what such kinds are like says that it is not far worse than it was so far."""
    found = analysed(Tally((Life("SM.DK1", "desk", 5), Life("SM.X1", "cable", 5))))
    for kind in found.kinds:
        assert PRIOR[kind.kind] / 2 < kind.rate < 4 * PRIOR[kind.kind]
    assert [row.count for row in found.spares] == [2, 1]


@pytest.mark.parametrize("faults", [3, 12])
def test_of_a_kind_with_one_item_that_fails_the_rate_is_its_own(faults):
    (row,) = analysed(Tally(tuple(lives(range(1, faults + 1))))).items
    assert row.rate == pytest.approx(faults / 30, rel=0.25)
    assert row.low < faults / 30 < row.high


def test_an_item_that_gets_worse_is_looked_at_sooner():
    rest = lives(*[()] * 12, *[(8,)] * 14, *[(3, 19)] * 3)
    for late, advice in (((25, 28, 30), "bench-test"), ((5, 15, 26), "keep")):
        rows = {row.life.item: row for row in analysed(Tally((Life("SM.A", "cable", 30, late), *rest))).items}
        assert rows["SM.A"].advice == advice
    assert {row.advice for name, row in rows.items() if name != "SM.A"} == {"keep"}


def test_worst_first_is_what_fails_most_of_whatever_kind():
    """Advice first; then no item without a fault before one with some, and the likeliest to fail next first."""
    known = [
        Life("SM.NEW", "cable", 2, (1, 2)),
        *(Life(f"SM.HP{n}", "hop", 1) for n in range(3)),
        *(Life(f"SM.PT{n}", "port", 30, (4,) if n == 0 else ()) for n in range(40)),
        *lives((), (2,), (2, 9), exposures=40),
    ]
    found = analysed(Tally(tuple(known))).items
    order = [(("retire", "bench-test", "keep").index(row.advice), not row.life.faults, -row.rate) for row in found]
    assert order == sorted(order)
    names = [row.life.item for row in found]
    assert names.index("SM.NEW") == 0
    assert names.index("SM.PT0") < min(names.index(f"SM.HP{n}") for n in range(3))
    rates = {row.life.item: row.rate for row in found}
    assert rates["SM.HP0"] > rates["SM.PT0"]
