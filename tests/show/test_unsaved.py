"""The queue before the disk: order, retries, what is kept, the end."""

import threading
import time
from collections import deque
from contextlib import suppress

import pytest
from hypothesis import given
from hypothesis import strategies as st

from checkapp.journal.entry import drafted
from checkapp.journal.errors import DiskFull, JournalLocked
from checkapp.show.unsaved import Unsaved, Waiting


def one(number):
    return Waiting(drafted("mark", now_ms=number, new_id=f"waiting-{number:012d}", subject=f"in {number}"), number)


class Disk:
    """Takes entries while it has room."""

    def __init__(self):
        self.written, self.kept, self.told, self.tries = [], [], 0, 0
        self.full = False
        self.go = threading.Event()
        self.go.set()

    def write(self, waiting):
        assert self.go.wait(10)
        self.tries += 1
        if self.full:
            raise DiskFull("journal.db: no room left on the disk; free some room")
        self.written.append(waiting.now_ms)

    def keep(self, waiting):
        self.kept.append([one.now_ms for one in waiting])

    def tell(self):
        self.told += 1


@pytest.fixture
def disk():
    return Disk()


@pytest.fixture
def queue(disk):
    made = Unsaved(disk.write, disk.keep, disk.tell, retry_s=60.0)
    yield made
    disk.go.set()
    made.close()


def until(holds):
    end = time.monotonic() + 10
    while not holds():
        assert time.monotonic() < end
        time.sleep(0.002)


def test_what_is_added_is_written_when_add_returns(queue, disk):
    for number in range(5):
        queue.add([one(number)])
        assert disk.written == list(range(number + 1))
    assert queue.waiting == ()
    assert disk.told == 0


def test_a_slow_disk_is_not_waited_for_and_told_of_when_it_is_done(queue, disk):
    disk.go.clear()
    begin = time.monotonic()
    for number in range(20):
        queue.add([one(number)], wait_s=0.0)
    assert time.monotonic() - begin < 1.0
    assert [waiting.now_ms for waiting in queue.waiting] == list(range(20))
    disk.go.set()
    until(lambda: not queue.waiting)
    until(lambda: disk.told)
    assert disk.written == list(range(20))


def test_a_failure_ends_the_wait_keeps_the_order_and_is_tried_again_with_the_next(queue, disk):
    disk.full = True
    queue.add([one(1)])
    assert isinstance(queue.trouble, DiskFull)
    queue.add([one(2)])
    assert disk.kept == [[1], [1, 2]]
    assert disk.written == []
    disk.full = False
    queue.add([one(3)])
    assert disk.written == [1, 2, 3]
    assert disk.kept[-1] == []
    assert queue.trouble is None
    assert disk.told >= 3


def test_it_is_tried_again_by_itself_after_a_while(disk):
    queue = Unsaved(disk.write, disk.keep, disk.tell, retry_s=0.02)
    disk.full = True
    queue.add([one(1)])
    until(lambda: disk.tries > 3)
    disk.full = False
    until(lambda: not queue.waiting)
    assert disk.written == [1]
    assert queue.close() == ()


def test_without_trouble_it_is_never_tried_twice(queue, disk):
    queue.add([one(1)])
    queue.try_now()
    queue.add([])
    assert disk.tries == 1


def test_the_end_tries_once_more_and_gives_back_what_is_left(disk):
    queue = Unsaved(disk.write, disk.keep, disk.tell, retry_s=60.0)
    disk.full = True
    queue.add([one(1), one(2)])
    tries = disk.tries
    left = queue.close()
    assert disk.tries == tries + 1
    assert [waiting.now_ms for waiting in left] == [1, 2]
    with pytest.raises(RuntimeError):
        queue.add([one(3)])


def test_the_end_writes_what_still_waits(disk):
    queue = Unsaved(disk.write, disk.keep, disk.tell)
    disk.go.clear()
    queue.add([one(number) for number in range(30)], wait_s=0.0)
    disk.go.set()
    assert queue.close() == ()
    assert disk.written == list(range(30))


@pytest.mark.filterwarnings("ignore::pytest.PytestUnhandledThreadExceptionWarning")
def test_a_fault_of_the_program_is_not_taken_for_one_of_the_disk():
    def broken(_waiting):
        raise KeyError("a fault")

    queue = Unsaved(broken, lambda waiting: None, lambda: None)
    with pytest.raises(RuntimeError):
        queue.add([one(1)])
    queue._thread.join(10)  # what it ended with is told in this test


@given(st.lists(st.tuples(st.integers(0, 4), st.lists(st.booleans(), max_size=6)), max_size=8))
def test_whatever_fails_everything_is_written_once_and_in_order(rounds):
    written, fails = [], deque()

    def write(waiting):
        with suppress(IndexError):
            if fails.popleft():
                raise JournalLocked("in use")
        written.append(waiting.now_ms)

    queue = Unsaved(write, lambda waiting: None, lambda: None, retry_s=0.0005)
    added = 0
    for count, failing in rounds:
        fails.extend(failing)
        queue.add([one(added + number) for number in range(count)], wait_s=0.001)
        added += count
        seen = list(written)  # before what waits is looked at
        assert {waiting.now_ms for waiting in queue.waiting}.union(seen) <= set(range(added))
    fails.clear()
    assert queue.close() == ()
    assert written == list(range(added))
