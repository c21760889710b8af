"""QR symbols against the figures of ISO/IEC 18004."""

import pytest

from checkapp.rig.codes import Tag
from checkapp.tags.qr import QUIET_MODULES, symbol

# ISO/IEC 18004, table of capacities: version, alphanumeric characters at level Q.
CAPACITY_AT_Q = [(1, 16), (2, 29)]
DOT_MM_400 = 25.4 / 400


@pytest.mark.published
@pytest.mark.parametrize(("version", "most"), CAPACITY_AT_Q)
def test_capacity_in_alphanumeric_mode_at_level_q(version, most):
    assert symbol("A" * most).version == version
    assert symbol("A" * (most + 1)).version == version + 1


@pytest.mark.published
@pytest.mark.parametrize("most", [16, 29, 47, 67])
def test_modules_a_side(most):
    """ISO/IEC 18004: 4 V + 17 modules a side, 4 of white around."""
    made = symbol("A" * most)
    assert made.side == 4 * made.version + 17
    assert all(len(row) == made.side for row in made.rows)
    assert QUIET_MODULES == 4
    assert made.side_with_quiet == made.side + 8


@pytest.mark.published
def test_size_of_the_printed_example():
    """ISO/IEC 18004, worked example: version 3 at 400 dpi, 4 dots a module: 7.366 mm, 9.398 mm with its white."""
    made = symbol("A" * 47)
    assert made.version == 3
    module_mm = 4 * DOT_MM_400
    assert made.side * module_mm == pytest.approx(7.366, abs=5e-4)
    assert made.side_with_quiet * module_mm == pytest.approx(9.398, abs=5e-4)


@pytest.mark.published
def test_tags_of_up_to_16_characters_fit_version_1():
    """ISO/IEC 18004, table of capacities: 16 alphanumeric characters in version 1 at level Q."""
    assert symbol(Tag("SM", "SB1").text).version == 1
    assert symbol(Tag("SMWX", "ABCDEFGHI").text).version == 1
    assert symbol(Tag("SMWX", "ABCDEFGHIJ").text).version == 2
    assert symbol(Tag("SMWX", "ABCDEFGHIJ", "A", "7Q0Z").text).version == 2


@pytest.mark.published
def test_finder_patterns():
    """ISO/IEC 18004: three squares of 7 modules, a ring of 5 white within, a dark core of 3."""
    made = symbol("SM.SB1.C")
    finder = [
        "1111111",
        "1000001",
        "1011101",
        "1011101",
        "1011101",
        "1000001",
        "1111111",
    ]
    wanted = [[digit == "1" for digit in row] for row in finder]
    last = made.side - 7
    for row, column in ((0, 0), (0, last), (last, 0)):
        assert [list(made.rows[row + down][column : column + 7]) for down in range(7)] == wanted
