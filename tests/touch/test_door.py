"""The door: calls in order on one worker, answers on the main thread, nothing lost at the end."""

import threading

import pytest

from checkapp.rig.errors import UnknownCode
from checkapp.touch.door import Door


class Session:
    def __init__(self):
        self.calls = []
        self.closed = False

    def note(self, word):
        self.calls.append((word, threading.get_ident()))
        return word

    def close(self):
        self.closed = True


@pytest.fixture
def session():
    return Session()


@pytest.fixture
def door(session, window):
    door = Door(lambda: session)
    yield door
    door.close()


def failed(error):
    raise AssertionError(error)


def test_calls_run_in_order_on_one_other_thread_and_answers_come_back_on_this_one(door, session, hand):
    answers = []
    for number in range(50):
        door.submit(lambda s, n=number: s.note(n), lambda a: answers.append((a, threading.get_ident())), failed)
    assert door.waiting == 50
    hand.until(lambda: len(answers) == 50, "the answers")
    assert [word for word, _ in session.calls] == list(range(50))
    assert {thread for _, thread in session.calls} != {threading.get_ident()}
    assert len({thread for _, thread in session.calls}) == 1
    assert answers == [(n, threading.get_ident()) for n in range(50)]
    assert door.waiting == 0


def test_the_session_is_made_at_the_first_call_on_the_worker(window, hand):
    made = []
    door = Door(lambda: made.append(threading.get_ident()) or Session())
    assert not made
    answers = []
    door.submit(lambda s: s.note("a"), answers.append, failed)
    door.submit(lambda s: s.note("b"), answers.append, failed)
    hand.until(lambda: len(answers) == 2, "the answers")
    door.close()
    assert len(made) == 1
    assert made[0] != threading.get_ident()


def test_what_a_person_can_mend_goes_to_failed_and_the_door_stays_open(door, hand):
    def refuse(_session):
        raise UnknownCode("no line")

    errors, answers = [], []
    door.submit(refuse, answers.append, errors.append)
    door.submit(lambda s: s.note("next"), answers.append, failed)
    hand.until(lambda: answers, "the second answer")
    assert [str(error) for error in errors] == ["no line"]
    assert answers == ["next"]


def test_a_session_that_cannot_be_made_is_tried_again(window, hand):
    tries = []

    def make():
        tries.append(1)
        if len(tries) == 1:
            raise UnknownCode("the journal is held by another program")
        return Session()

    door = Door(make)
    errors, answers = [], []
    door.submit(lambda s: s.note("a"), answers.append, errors.append)
    door.submit(lambda s: s.note("b"), answers.append, errors.append)
    hand.until(lambda: answers, "the second answer")
    door.close()
    assert len(errors) == 1
    assert answers == ["b"]


def test_a_fault_of_the_program_is_not_swallowed(door, hand):
    door.submit(lambda s: s.no_such_thing, failed, failed)
    with pytest.raises(AttributeError, match="no_such_thing"):
        hand.until(lambda: False, "the fault")


def test_closing_finishes_what_is_queued_and_closes_the_session(session, window):
    door = Door(lambda: session)
    held = threading.Event()
    door.submit(lambda s: held.wait(5), lambda a: None, failed)
    for number in range(20):
        door.submit(lambda s, n=number: s.note(n), lambda a: None, failed)
    held.set()
    door.close()
    door.close()
    assert [word for word, _ in session.calls] == list(range(20))
    assert session.closed
