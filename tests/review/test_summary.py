from checkapp.review.cautions import MAINS
from checkapp.review.report import review
from checkapp.review.summary import cautions_of, counted, summary_of
from checkapp.rig.planfile import load_plan

NO_SUPPLY = """
[rig]
name = "x"
owner = "X"
[link_kind.wire]
max_length_m = 50
[cable_kind.hop]
[box_kind.unit]
inputs = 0
outputs = 2
draw_w = 5
[[chain]]
code = "A"
link = "wire"
[[cable]]
code = "H1"
kind = "hop"
length_m = 5
[[box]]
code = "S1"
kind = "unit"
fed_from = "A"
cable = "H1"
"""


def test_a_remedy_that_speaks_of_a_supply_brings_the_mains_caution(tmp_path):
    (tmp_path / "plan.toml").write_text(NO_SUPPLY)
    rig = load_plan(tmp_path / "plan.toml")
    found = review(rig)
    assert [finding.rule for finding in found.findings if finding.level == "stop"] == ["no-power"]
    assert MAINS in cautions_of(rig, found)
    assert summary_of(found).startswith("1 stop")


def test_one_is_singular():
    assert [counted(1, "box"), counted(2, "box"), counted(0, "note")] == ["1 box", "2 boxes", "0 notes"]
