"""A value equal to its limit passes."""

import pytest

from checkapp.review.limits import is_above, is_below


@pytest.mark.closed_form
@pytest.mark.parametrize("limit", [1e-3, 1.0, 60.0, 5e6])
def test_equal_within_a_billionth_passes(limit):
    for share in (1.0, 1 + 0.9e-9, 1 - 0.9e-9):
        assert not is_above(share * limit, limit)
        assert not is_below(share * limit, limit)
    assert is_above((1 + 1.1e-9) * limit, limit)
    assert is_below((1 - 1.1e-9) * limit, limit)
    assert not is_above(0.5 * limit, limit)
    assert not is_below(2 * limit, limit)
