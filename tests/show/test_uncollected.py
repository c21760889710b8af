"""Python's search for rubbish is as it was before when it was put off, whatever happened meanwhile."""

import gc

import pytest

from checkapp.show.uncollected import uncollected


def test_put_off_and_taken_up_again() -> None:
    assert gc.isenabled()
    with pytest.raises(KeyError), uncollected():
        assert not gc.isenabled()
        raise KeyError
    assert gc.isenabled()


def test_stays_off_where_it_was_off() -> None:
    with uncollected():
        with uncollected():
            pass
        assert not gc.isenabled()
    assert gc.isenabled()
