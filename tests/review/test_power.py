"""The solver of link power: cases whose answer is known, and what must hold for all."""

import math
from dataclasses import replace

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from checkapp.review.power import Flow, Ladder, collapse_watts, imbalance, solve

ohms = st.floats(1e-6, 50.0)
watts = st.one_of(st.just(0.0), st.floats(0.01, 100.0))
volts = st.sampled_from([12.0, 24.0, 48.0, 57.0])


@st.composite
def ladders(draw, most=8):
    """Any ladder with at least one load."""
    count = draw(st.integers(1, most))
    hops = tuple(draw(ohms) for _ in range(count))
    loads = tuple(draw(watts) for _ in range(count))
    assume(any(loads))
    return Ladder(draw(volts), draw(st.sampled_from([0.0, 0.15, 2.0])), hops, loads)


@st.composite
def loads_below_collapse(draw, most=8):
    """A ladder whose loads are some share of what it can carry."""
    ladder = draw(ladders(most))
    return scaled(ladder, draw(st.floats(0.01, 0.9999)) * collapse_watts(ladder) / sum(ladder.draws_w))


def scaled(ladder, factor):
    return replace(ladder, draws_w=tuple(factor * load for load in ladder.draws_w))


def root(volts, watts, ohm):
    return (volts + math.sqrt(volts**2 - 4 * watts * ohm)) / 2


# --- cases whose answer is known


@pytest.mark.closed_form
@pytest.mark.parametrize("share", [1e-6, 0.1, 0.5, 0.9, 0.99, 0.9999, 1 - 1e-6, 1 - 1e-9])
@pytest.mark.parametrize(("source_volts", "ohm"), [(24.0, 3.0), (48.0, 18.0), (57.0, 12.5), (12.0, 1e-4)])
def test_one_load_at_any_share_of_its_limit(source_volts, ohm, share):
    load = share * source_volts**2 / (4 * ohm)
    flow = solve(Ladder(source_volts, 0.0, (ohm,), (load,)))
    assert flow.volts[0] == pytest.approx(root(source_volts, load, ohm), abs=1e-6)


@pytest.mark.closed_form
@pytest.mark.parametrize(("source_volts", "ohm"), [(24.0, 3.0), (48.0, 18.0), (57.0, 12.5), (400.0, 0.7)])
def test_a_load_equal_to_its_limit_passes_at_half_the_volts(source_volts, ohm):
    limit = source_volts**2 / (4 * ohm)
    for load in (limit, limit * (1 + 1e-10), limit * (1 + 0.9e-9)):
        assert solve(Ladder(source_volts, 0.0, (ohm,), (load,))).volts[0] == pytest.approx(source_volts / 2, abs=1e-6)


@pytest.mark.closed_form
@pytest.mark.parametrize("above", [1.1e-9, 1e-8, 1e-4, 1.0, 1e6])
def test_a_load_above_its_limit_collapses(above):
    assert solve(Ladder(48.0, 0.0, (18.0,), (32.0 * (1 + above),))) is None


@pytest.mark.closed_form
def test_the_source_resistance_counts_to_the_first_hop():
    with_source = solve(Ladder(48.0, 3.0, (15.0, 2.0), (20.0, 4.0)))
    in_the_hop = solve(Ladder(48.0, 0.0, (18.0, 2.0), (20.0, 4.0)))
    assert with_source.volts == in_the_hop.volts
    assert with_source.source_watts == in_the_hop.source_watts
    assert with_source.lost_watts == in_the_hop.lost_watts


@pytest.mark.closed_form
def test_no_load_leaves_the_source_volts_everywhere():
    ladder = Ladder(24.0, 0.15, (1.0, 2.0, 3.0), (0.0, 0.0, 0.0))
    assert solve(ladder) == Flow(24.0, (24.0, 24.0, 24.0), (0.0, 0.0, 0.0), 0.0, 0.0)
    assert collapse_watts(ladder) is None


@pytest.mark.closed_form
def test_a_source_with_no_hops_gives_nothing():
    flow = solve(Ladder(24.0, 0.15, (), ()))
    assert (flow.volts, flow.source_amps, flow.source_watts) == ((), 0.0, 0.0)


@pytest.mark.closed_form
def test_without_resistance_nothing_drops_and_nothing_collapses():
    ladder = Ladder(24.0, 0.0, (0.0, 0.0), (12.0, 36.0))
    assert solve(ladder).volts == (24.0, 24.0)
    assert solve(ladder).hop_amps == pytest.approx((2.0, 1.5))
    assert collapse_watts(ladder) is None


@pytest.mark.closed_form
def test_loads_side_by_side_are_one_load():
    flow = solve(Ladder(48.0, 0.0, (18.0, 0.0, 0.0), (10.0, 6.0, 8.0)))
    assert flow.volts == pytest.approx((36.0, 36.0, 36.0), abs=1e-12)
    assert flow.source_amps == pytest.approx(2 / 3)


@pytest.mark.closed_form
def test_two_loads_worked_backwards():
    """48 V; 1 ohm to 46 V, where 1 A of the 2 A goes; 1 ohm to 45 V: so the loads are 46 W and 45 W."""
    flow = solve(Ladder(48.0, 0.0, (1.0, 1.0), (46.0, 45.0)))
    assert flow.volts == pytest.approx((46.0, 45.0), abs=1e-12)
    assert flow.hop_amps == pytest.approx((2.0, 1.0), abs=1e-12)
    assert (flow.source_watts, flow.used_watts, flow.lost_watts) == pytest.approx((96.0, 91.0, 5.0), abs=1e-12)


@pytest.mark.closed_form
@given(
    st.lists(st.tuples(st.floats(1e-3, 1.0), st.floats(1e-4, 20.0), st.booleans()), min_size=1, max_size=12),
    st.floats(0.01, 0.499),
)
def test_any_ladder_worked_backwards(parts, deepest):
    """Choose the drops, then the loads that cause them; with all nodes above half the source, the upper solution."""
    amps = [0.0]
    for amp, _, here in reversed(parts):
        amps.insert(0, amps[0] + (amp if here or len(amps) == 1 else 0.0))
    drops = [flowing * ohm for flowing, (_, ohm, _) in zip(amps, parts, strict=False)]
    unit = deepest * 48.0 / sum(drops)
    nodes = [48.0 - unit * sum(drops[: k + 1]) for k in range(len(parts))]
    loads = [volt * unit * (amps[k] - amps[k + 1]) for k, volt in enumerate(nodes)]
    flow = solve(Ladder(48.0, 0.0, tuple(ohm for _, ohm, _ in parts), tuple(loads)))
    assert flow.volts == pytest.approx(nodes, abs=1e-9)


@pytest.mark.closed_form
def test_the_limit_of_one_load_wherever_it_sits():
    assert collapse_watts(Ladder(48.0, 0.0, (18.0, 5.0), (7.0, 0.0))) == pytest.approx(32.0, rel=1e-13)
    assert collapse_watts(Ladder(48.0, 2.0, (10.0, 6.0), (0.0, 1.0))) == pytest.approx(32.0, rel=1e-13)
    assert collapse_watts(Ladder(48.0, 0.0, (18.0, 0.0), (1.0, 3.0))) == pytest.approx(32.0, rel=1e-13)


@pytest.mark.closed_form
@given(ladders(), st.floats(0.01, 100.0))
def test_the_limit_goes_with_volts_squared_over_ohms(ladder, factor):
    limit = collapse_watts(ladder)
    louder = replace(ladder, volts=ladder.volts * factor)
    longer = replace(
        ladder, source_ohm=ladder.source_ohm * factor, hop_ohms=tuple(factor * ohm for ohm in ladder.hop_ohms)
    )
    assert collapse_watts(scaled(ladder, factor)) == pytest.approx(limit, rel=1e-12)
    assert collapse_watts(louder) == pytest.approx(limit * factor**2, rel=1e-12)
    assert collapse_watts(longer) == pytest.approx(limit / factor, rel=1e-12)


# --- what must hold for all


@given(ladders())
def test_the_limit_parts_what_can_be_solved_from_what_cannot(ladder):
    limit, total = collapse_watts(ladder), sum(ladder.draws_w)
    for share in (0.5, 0.99, 1 - 1e-9, 1.0, 1 + 0.9e-9):
        assert solve(scaled(ladder, share * limit / total)) is not None
    for share in (1 + 1.1e-9, 1.001, 2.0):
        assert solve(scaled(ladder, share * limit / total)) is None


@given(loads_below_collapse())
def test_kirchhoff_and_ohm_hold(ladder):
    flow = solve(ladder)
    assert imbalance(ladder, flow) < 1e-11
    before = (ladder.volts, *flow.volts)
    assert all(nearer >= farther > 0 for nearer, farther in zip(before, flow.volts, strict=False))


@given(loads_below_collapse(), st.data())
def test_more_load_never_raises_a_voltage(ladder, data):
    where = data.draw(st.integers(0, len(ladder.draws_w) - 1))
    more = list(ladder.draws_w)
    more[where] += data.draw(st.floats(0.0, 20.0))
    heavier = solve(replace(ladder, draws_w=tuple(more)))
    if heavier is not None:
        lighter = solve(ladder)
        assert all(low <= high + 1e-8 for low, high in zip(heavier.volts, lighter.volts, strict=True))
        assert heavier.source_amps >= lighter.source_amps - 1e-9


@given(loads_below_collapse(), st.data())
def test_a_longer_hop_never_raises_a_voltage(ladder, data):
    where = data.draw(st.integers(0, len(ladder.hop_ohms) - 1))
    longer = list(ladder.hop_ohms)
    longer[where] *= data.draw(st.floats(1.0, 3.0))
    after = solve(replace(ladder, hop_ohms=tuple(longer)))
    if after is not None:
        assert all(low <= high + 1e-8 for low, high in zip(after.volts, solve(ladder).volts, strict=True))


@given(
    st.lists(
        st.tuples(st.floats(1e-120, 1e120), st.one_of(st.just(0.0), st.floats(1e-120, 1e120))), min_size=1, max_size=6
    ),
    st.floats(1e-120, 1e120),
)
def test_numbers_of_any_size_give_an_answer(hops, source_volts):
    ladder = Ladder(source_volts, 0.0, tuple(ohm for ohm, _ in hops), tuple(load for _, load in hops))
    flow = solve(ladder)
    assert flow is None or all(math.isfinite(volt) for volt in flow.volts)


def test_a_long_chain_is_solved():
    count = 2000
    ladder = Ladder(48.0, 0.1, (0.01,) * count, (0.001,) * count)
    loaded = scaled(ladder, 0.9999 * collapse_watts(ladder) / sum(ladder.draws_w))
    assert imbalance(loaded, solve(loaded)) < 1e-11
    assert solve(scaled(loaded, 1.001)) is None


# --- the check itself can fail


def test_imbalance_sees_a_wrong_voltage_a_wrong_current_and_a_wrong_sum():
    ladder = Ladder(48.0, 0.0, (1.0, 1.0), (46.0, 45.0))
    flow = solve(ladder)
    assert imbalance(ladder, flow) < 1e-14
    assert imbalance(ladder, replace(flow, volts=(46.001, 45.0))) > 1e-6
    assert imbalance(ladder, replace(flow, hop_amps=(2.0001, 1.0))) > 1e-6
    assert imbalance(ladder, replace(flow, lost_watts=5.001)) > 1e-6
    assert imbalance(Ladder(24.0, 0.0, (1.0,), (0.0,)), Flow(24.0, (23.0,), (0.0,), 0.0, 0.0)) > 0.01
