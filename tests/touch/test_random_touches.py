"""A hand that touches whatever there is, by chance: nothing goes wrong, and no mark is lost."""

import pytest
import random_touches

from checkapp.show.verifying import verify_journal


@pytest.mark.parametrize("seed", [11, 12])
def test_touches_by_chance(hand, tmp_path, seed):
    with random_touches.show(hand, tmp_path, seed) as touched:
        touched.run(100)
        assert touched.end() == []
    assert touched.marks_made() > 0
    lines, sound = verify_journal(tmp_path / "data" / "journal.db", tmp_path / "data")
    assert sound, lines
