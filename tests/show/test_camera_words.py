"""What the camera screen says in each state."""

from typing import get_args

import pytest

from checkapp.show.camera_words import CameraState, camera_words


@pytest.mark.parametrize("state", get_args(CameraState))
def test_each_state_has_words_and_where_there_is_no_picture_what_to_do_instead(state):
    words = camera_words(state)
    assert words.words
    assert "!" not in words.words + words.more
    if state != "live":
        assert "hand scanner" in words.more
        assert "typed" in words.more


def test_without_opencv_it_is_said_what_to_install():
    assert "pip install 'checkapp[camera]'" in camera_words("missing").more
