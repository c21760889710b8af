"""Figures as the messages write them: a value and its limit are told apart, and neither is cut to look farther off."""

import pytest

from checkapp.review.wording import against, figure


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("value", "limit", "said"),
    [
        (66.0, 60.0, ("66 m", "60 m")),
        (17.389, 18.0, ("17.4 m", "18 m")),
        (18.0, 18.75, ("18 m", "18.75 m")),
        (30.0004, 30.0, ("30.0004 m", "30 m")),
        (399.75532, 399.83086, ("399.76 m", "399.83 m")),
        (0.318349, 0.318341, ("0.31835 m", "0.31834 m")),
        (10_000_001.0, 10_000_000.0, ("10000001 m", "10000000 m")),
    ],
)
def test_both_figures_have_the_digits_that_tell_them_apart(value, limit, said):
    assert against(value, limit, "m") == said


@pytest.mark.parametrize(
    ("value", "said"),
    [(8.2366, "8.24"), (0.30833, "0.308"), (66.0, "66"), (152.4, "152"), (1066.2, "1066"), (1e9, "1e+09")],
)
def test_a_figure_has_the_digits_that_can_be_acted_upon(value, said):
    assert figure(value) == said
    assert figure(-value) == f"-{said}"


@pytest.mark.closed_form
def test_what_breaks_a_limit_by_least_is_still_told_apart():
    limit = 0.3183333333333
    value_said, limit_said = against(limit * (1 + 1.1e-9), limit, "A")
    assert value_said != limit_said
