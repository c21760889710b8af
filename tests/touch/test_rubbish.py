"""Rubbish is looked for a moment after a tap, and no more once the app is closed."""

import gc
import sys
import time

import pytest


@pytest.fixture
def searches():
    """The generations that were searched, as they are."""
    found = []

    def told(phase, info):
        if phase == "start":
            found.append(info["generation"])

    gc.collect()
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


def look(rubbish):
    """Wait until it was looked for."""
    from kivy.clock import Clock

    end_s = time.monotonic() + 5.0
    while rubbish._later.is_triggered and time.monotonic() < end_s:
        time.sleep(0.01)
        Clock.tick()
    assert not rubbish._later.is_triggered


def test_it_is_looked_for_once_when_no_finger_came_down_again(rubbish, searches):
    from kivy.tests.common import UnitTestTouch

    touch = UnitTestTouch(1, 1)
    for _ in range(2):
        touch.touch_down()
        assert not rubbish._later.is_triggered
        touch.touch_up()
        assert rubbish._later.is_triggered
    look(rubbish)
    assert 1 in searches


def test_where_there_is_much_more_than_before_it_is_looked_for_everywhere_once(rubbish, searches):
    from kivy.tests.common import UnitTestTouch

    touch = UnitTestTouch(1, 1)
    for more, wanted in ((False, 1), (True, 2), (False, 1)):
        kept = [[] for _ in range(sys.getallocatedblocks() // 7)] if more else []
        touch.touch_down()
        touch.touch_up()
        searches.clear()
        gc.disable()  # but for ours
        try:
            look(rubbish)
        finally:
            gc.enable()
        assert searches == [wanted]
        kept.clear()


def test_where_fingers_never_rest_it_is_looked_for_once_there_is_too_much(rubbish, searches):
    from kivy.clock import Clock
    from kivy.tests.common import UnitTestTouch

    touch = UnitTestTouch(1, 1)
    for part, wanted in ((100, []), (3, [2])):
        kept = [[] for _ in range(sys.getallocatedblocks() // part)]
        gc.disable()  # but for ours
        try:
            touch.touch_down()
            touch.touch_up()
            searches.clear()
            touch.touch_down()
            Clock.tick()
        finally:
            gc.enable()
        assert searches == wanted
        kept.clear()
        touch.touch_up()


def test_once_it_is_stopped_it_is_not_looked_for(rubbish):
    from kivy.tests.common import UnitTestTouch

    touch = UnitTestTouch(1, 1)
    touch.touch_down()
    touch.touch_up()
    rubbish.stop()
    assert not rubbish._later.is_triggered
    touch.touch_down()
    touch.touch_up()
    assert not rubbish._later.is_triggered
