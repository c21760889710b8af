"""The geometry of the run: every item there, in order, codes apart, nothing outside."""

from dataclasses import replace
from itertools import combinations, pairwise

from hypothesis import given
from hypothesis import strategies as st

from checkapp.rig.words import ITEM_KINDS
from checkapp.show.views import RunItem
from checkapp.touch.widgets.run_layout import lay_out

UNIT = 8.0
labels = st.text("ABCDEFGHIJ0123456789 -", min_size=1, max_size=16)
items = st.lists(st.builds(RunItem, labels, st.sampled_from(ITEM_KINDS), labels), max_size=20)


def wide(text):
    return 9.0 * len(text)


def shown(rows):
    for row in rows:
        for place in row:
            yield place.item
            if place.hung:
                yield place.hung


@given(items, st.floats(200, 2000))
def test_items_stay_in_order_and_inside(run, width):
    rows = lay_out(run, width, UNIT, wide)
    orphans = [item for before, item in pairwise([None, *run]) if item.kind == "supply" and before is None]
    chained = [b for a, b in pairwise(run) if a.kind == b.kind == "supply"]
    if not orphans and not chained:
        assert list(shown(rows)) == run
    for row in rows:
        for place in row:
            assert place.left >= -0.01
            assert max(place.right, place.code_right) <= width + 0.01
            assert place.code_left >= -0.01


@given(items, st.floats(200, 2000))
def test_no_code_touches_another(run, width):
    for row in lay_out(run, width, UNIT, wide):
        for above in (True, False):
            track = [place for place in row if place.above is above]
            assert all(a.code_right <= b.code_left + 0.01 for a, b in pairwise(track))


@given(items, st.lists(st.sampled_from(["", "4 %", "43 %"]), min_size=20, max_size=20), st.floats(200, 2000))
def test_no_code_above_the_stroke_touches_a_bar(run, shares, width):
    barred = [replace(item, share=0.4, share_words=words) for item, words in zip(run, shares, strict=False)]
    for row in lay_out(barred, width, UNIT, wide):
        for one, other in combinations(row, 2):
            bar, code = (one, other) if other.above else (other, one)
            if code.above and not bar.above and bar.item.share_words:
                half = (wide(bar.item.share_words) + wide(code.item.label)) / 2
                assert abs(bar.middle - code.middle) >= half


@given(items, st.floats(200, 2000))
def test_the_stroke_goes_one_way(run, width):
    for row in lay_out(run, width, UNIT, wide):
        assert all(a.right <= b.left + 0.01 for a, b in pairwise(row))
        assert all(place.right > place.left for place in row)


def test_a_run_with_cables_takes_its_whole_place():
    run = [RunItem("s", "source", "source"), RunItem("c", "cable", "XL01"), RunItem("d", "desk", "desk")]
    (row,) = lay_out(run, 1000.0, UNIT, wide)
    assert max(row[-1].right, row[-1].code_right) == 1000.0


def test_a_supply_hangs_below_its_box():
    run = [RunItem("SB1", "box", "SB1"), RunItem("C1", "supply", "C1"), RunItem("LK", "hop", "LK")]
    (row,) = lay_out(run, 500.0, UNIT, wide)
    assert row[0].hung == run[1]
    assert [place.item.name for place in row] == ["SB1", "LK"]


def test_a_long_run_goes_on_in_a_further_row():
    run = [RunItem(f"B{n}", "box", f"BOX{n}") for n in range(12)]
    rows = lay_out(run, 200.0, UNIT, wide)
    assert len(rows) > 1
    assert [item.name for item in shown(rows)] == [item.name for item in run]
