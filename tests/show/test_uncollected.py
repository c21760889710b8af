"""Python's search for rubbish is as it was before when it was put off, whatever happened meanwhile."""

import gc
from weakref import ref

import pytest

from checkapp.show.uncollected import swept, uncollected


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


class Ring:
    """Refers to itself."""

    def __init__(self) -> None:
        self.itself = self


def test_what_refers_to_itself_and_is_kept_by_nobody_is_gone_at_the_end() -> None:
    gc.disable()  # nothing else is to look for it
    try:
        with swept():
            dropped, kept = ref(Ring()), Ring()
            assert dropped() is not None
        assert dropped() is None
        assert kept.itself is kept
        assert not gc.isenabled()
    finally:
        gc.enable()
    with swept():
        assert not gc.isenabled()
    assert gc.isenabled()
