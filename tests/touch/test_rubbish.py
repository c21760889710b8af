"""Rubbish is looked for after a tap, and Python does it as before once the app is closed."""

import gc
import time

import pytest


@pytest.fixture
def searches():
    """The generations that were searched, as they are."""
    found = []

    def told(phase, info):
        if phase == "start":
            found.append(info["generation"])

    gc.callbacks.append(told)
    yield found
    gc.callbacks.remove(told)


@pytest.fixture
def rubbish(hand):
    from checkapp.touch.rubbish import Rubbish

    made = Rubbish()
    made.start()
    yield made
    made.stop()


def test_it_is_looked_for_once_when_no_finger_came_down_again(hand, rubbish, searches):
    from kivy.clock import Clock
    from kivy.tests.common import UnitTestTouch

    touch = UnitTestTouch(1, 1)
    for _ in range(2):
        touch.touch_down()
        assert not rubbish._later.is_triggered
        touch.touch_up()
        assert rubbish._later.is_triggered
    searches.clear()
    end_s = time.monotonic() + 5.0
    while 1 not in searches and time.monotonic() < end_s:
        time.sleep(0.01)
        Clock.tick()
    assert searches.count(1) == 1


def test_python_does_it_as_before_once_it_is_stopped(hand):
    from checkapp.touch.rubbish import Rubbish

    before = gc.get_threshold()
    made = Rubbish()
    made.start()
    assert gc.get_threshold()[0] == before[0]
    assert gc.get_threshold()[1] > before[1]
    made.stop()
    made.stop()
    assert gc.get_threshold() == before
