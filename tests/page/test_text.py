"""Words in a given width."""

from hypothesis import given
from hypothesis import strategies as st

from checkapp.page.text import ELLIPSIS, cut, wrap

letters = st.text(st.sampled_from("ab c–ü"), max_size=80)


@given(letters, st.integers(1, 30))
def test_wrapped_lines_fit_and_hold_every_word_in_order(text, most):
    lines = wrap(text, most, len)
    assert all(0 < len(line) <= most for line in lines)
    assert "".join("".join(lines).split()) == "".join(text.split())


@given(letters, st.integers(2, 30), st.integers(1, 4))
def test_no_more_lines_than_asked_for_and_an_ellipsis_where_something_is_missing(text, most, least):
    lines = wrap(text, most, len, least)
    assert len(lines) <= least
    assert all(len(line) <= most for line in lines)
    whole = wrap(text, most, len)
    assert lines == whole or lines[-1].endswith(ELLIPSIS)


def test_breaks_stand_between_words_where_they_can():
    assert wrap("one two three", 8, len) == ("one two", "three")
    assert wrap("abcdefghij kl", 4, len) == ("abcd", "efgh", "ij", "kl")
    assert wrap("", 4, len) == ()
    assert cut("one two", 5, len) == f"one{ELLIPSIS}"
