"""The order of a sweep: chains that share supplies are gone through one after the other."""

from itertools import permutations

from hypothesis import given, settings
from hypothesis import strategies as st

from checkapp.diagnose.order import best_order, greedy, rows_of


def chains_on_supplies(chains, boxes, supplies):
    """The shared classes of each box's lines, and how many items each has; supply n of every chain's n-th box."""
    on = {}
    groups = []
    for chain in range(chains):
        for box in range(boxes):
            names = {100 * chain + near for near in range(box + 1)}
            names |= {-1 - (chain + near) % supplies for near in range(box + 1)}
            groups.append(frozenset(names))
            on.update(dict.fromkeys(names))
    numbers = {name: {"supply": 1} if name < 0 else {"box": 1, "hop": 1} for name in on}
    return groups, numbers


def test_chains_on_shared_supplies_need_a_table_of_one_chain_for_each_setting_of_the_supplies():
    groups, numbers = chains_on_supplies(12, 6, 4)
    order = best_order(groups, numbers)
    rows = rows_of([groups[at] for at in order], numbers)
    # a chain's table: at the n-th box n * n numbers of boxes and hops upstream, times its own four settings
    one_chain = sum(4 * n * n for n in range(1, 7))
    assert rows <= 12 * 2**4 * one_chain
    assert sorted(order) == list(range(len(groups)))


@given(st.integers(1, 3), st.integers(1, 3), st.integers(1, 3), st.randoms())
@settings(max_examples=40)
def test_no_order_tried_is_worse_than_the_greedy_one_and_none_is_better_than_the_best_of_all(
    chains, boxes, supplies, rng
):
    groups, numbers = chains_on_supplies(chains, boxes, supplies)
    groups = rng.sample(groups, min(5, len(groups)))
    numbers = {name: one for name, one in numbers.items() if any(name in group for group in groups)}
    found = rows_of([groups[at] for at in best_order(groups, numbers)], numbers)
    first = rows_of([groups[at] for at in greedy(groups, {name: 1 if name < 0 else 2 for name in numbers})], numbers)
    least = min(rows_of(list(order), numbers) for order in permutations(groups))
    assert least <= found
    assert found <= max(first, 2048)
