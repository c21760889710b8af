"""What a tour taught makes the first suspect right more often where items are bad, and no worse where none is."""

import pytest
from learning_drill import World, drilled
from scipy.stats import binomtest


@pytest.mark.independent
def test_with_bad_items_the_first_suspect_is_right_more_often():
    one = drilled(World(drills=8), range(40, 60))
    assert binomtest(one.only_taught, one.only_plain + one.only_taught, alternative="greater").pvalue < 0.01
    assert one.taught - one.plain == one.only_taught - one.only_plain


@pytest.mark.independent
def test_with_none_bad_it_is_worse_by_no_more_than_chance():
    one = drilled(World(bad=0, drills=8), range(60, 80))
    assert binomtest(one.only_taught, one.only_plain + one.only_taught, alternative="less").pvalue > 0.01
    assert one.only_taught > 0
