"""Rubbish is looked for after the frame in which a tap is answered, and no more once the app is closed."""

import gc

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


def tap(times=1):
    from kivy.tests.common import UnitTestTouch

    touch = UnitTestTouch(1, 1)
    for _ in range(times):
        touch.touch_down()
        touch.touch_up()


def test_it_is_looked_for_once_in_the_frame_after_that_of_the_answer(hand, searches):
    from kivy.clock import Clock

    from checkapp.touch.rubbish import Rubbish

    rubbish = Rubbish()
    rubbish.start()
    try:
        tap(times=3)
        Clock.tick()
        assert 1 not in searches
        Clock.tick()
        assert searches.count(1) == 1
        for _ in range(3):
            Clock.tick()
        assert searches.count(1) == 1
    finally:
        rubbish.stop()


def test_once_it_is_stopped_it_is_not_looked_for(hand, searches):
    from kivy.clock import Clock

    from checkapp.touch.rubbish import Rubbish

    rubbish = Rubbish()
    rubbish.start()
    tap()
    rubbish.stop()
    tap()
    for _ in range(3):
        Clock.tick()
    assert 1 not in searches
