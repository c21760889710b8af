import pytest

from checkapp.rig.errors import PlanRefused
from checkapp.rig.sheet import read_sheet


@pytest.mark.parametrize(
    ("row", "right"),
    [
        ("length_m = 15,0", "point"),
        ("name = “Kick”", "straight quotes"),
        ("phantom = yes", "true or false"),
        ("name = Kick", "straight quotes"),
        ("name =", "a value after"),
        ("[[box", "]]"),
        ("name: 'Kick'", "write = between"),
        ("? ?", "a name, then ="),
    ],
)
def test_a_slip_is_answered_with_what_would_be_right(tmp_path, row, right):
    path = tmp_path / "plan.toml"
    path.write_text(f"format = 1\n{row}\n", encoding="utf-8")
    with pytest.raises(PlanRefused) as caught:
        read_sheet(path, "plan.toml")
    assert caught.value.faults[0].line == 2
    assert right in caught.value.faults[0].right
