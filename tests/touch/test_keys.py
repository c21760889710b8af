"""What keys mean, and when a key is only held."""

from checkapp.touch.keys import ENTERS, SHIFTS, WALK_KEYS, HeldKeys, is_chord, writes

SPACE = 32


def test_a_held_key_counts_once():
    held = HeldKeys()
    assert held.pressed(SPACE, 0.0)
    assert not any(held.pressed(SPACE, 0.5 + 0.03 * n) for n in range(200))


def test_a_key_counts_again_once_it_was_let_go():
    held = HeldKeys()
    assert held.pressed(SPACE, 0.0)
    held.released(SPACE)
    assert held.pressed(SPACE, 0.4)


def test_a_key_whose_release_was_lost_counts_again_after_a_second():
    held = HeldKeys()
    assert held.pressed(SPACE, 0.0)
    assert held.pressed(SPACE, 1.0)


def test_keys_are_held_one_by_one():
    held = HeldKeys()
    assert held.pressed(SPACE, 0.0)
    assert held.pressed(102, 0.1)


def test_shortcuts_of_the_system_are_left_alone():
    assert is_chord(["ctrl"])
    assert is_chord(["shift", "alt"])
    assert not is_chord(["shift", "numlock"])


def test_space_f_u_and_the_arrows_have_a_meaning():
    assert [WALK_KEYS[key] for key in (32, ord("f"), ord("u"), 276, 275)] == ["ok", "faulty", "undo", "back", "forward"]


def test_which_keys_write():
    for key in (SPACE, ord("f"), ord("1"), ord("."), ord("é"), 256, 266, 0x159):
        assert writes(key, 0)
    for key in (8, 9, 13, 27, 127, 271, 273, 281, 282, 301, 304, 308, 1073742085):
        assert not writes(key, 0)


def test_where_a_key_lies_decides_before_its_number():
    assert writes(283, 31)  # the figure 2 of a Czech keyboard, which the toolkit counts as F2
    assert not writes(283, 59)  # F2
    assert not writes(SPACE, 40)


def test_what_may_end_a_burst_does_not_write():
    assert not any(writes(key, 0) for key in ENTERS | SHIFTS)
