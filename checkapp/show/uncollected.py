"""Python's search for rubbish put off while much is read that is kept anyway."""

import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def uncollected() -> Iterator[None]:
    """Put off the search for objects that only refer to each other.

    Reading makes hardly any, and many that stay: looking through those again and again takes a tenth of the time that
    the history of a million marks takes.
    """
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()
