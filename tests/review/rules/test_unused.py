"""Items that nothing uses."""

import pytest

PLAN = """
[link_kind.thread]
max_length_m = 900.0
[cable_kind.cord]
[cable_kind.fan]
ways = 4
[box_kind.mic8]
inputs = 8
outputs = 4
accepts = ["mic"]
[box_kind.drop]
inputs = 2
outputs = 0
passive = true
[[box]]
code = "SB1"
kind = "mic8"
fed_from = "A"
cable = "LK1"
[[cable]]
code = "LK1"
kind = "cord"
length_m = 5.0
[[cable]]
code = "LD1"
kind = "cord"
length_m = 5.0
[[cable]]
code = "LD2"
kind = "cord"
length_m = 5.0
spare = true
[[source]]
code = "DI1"
[[supply]]
code = "P1"
volts = 230.0
breaker_amps = 16.0
[[chain]]
code = "A"
link = "thread"
[[chain]]
code = "B"
link = "thread"
"""
SECOND = """
[[cable]]
code = "LK2"
kind = "cord"
length_m = 5.0
[[box]]
code = "SB2"
kind = "mic8"
fed_from = "FEED"
cable = "LK2"
"""
INPUT = '[[input]]\nnumber = 1\nname = "Voice"\nlevel = "mic"\nport = "{}"\n'


def idle(found_in, text):
    return [one.where for one in found_in(text, "unused")]


def test_each_item_that_nothing_uses_in_the_order_of_tables(found_in):
    found = found_in(PLAN, "unused")
    assert [one.where for one in found] == ["chain B", "P1", "DI1", "LD1", "SB1"]
    assert {(one.level, one.value, one.limit, one.unit, one.basis) for one in found} == {
        ("note", None, None, None, "plan")
    }


@pytest.mark.parametrize(
    ("more", "used"),
    [
        (SECOND.replace("FEED", "B") + INPUT.format("SB2 in 1"), "chain B"),
        (SECOND.replace("FEED", "SB1") + INPUT.format("SB2 in 1"), "SB1"),
        (SECOND.replace("FEED", "SB1") + 'repeats = "SB1"\n' + INPUT.format("SB2 in 1"), "SB1"),
        (INPUT.format("DESK in 1") + 'source = "DI1"\n', "DI1"),
        (INPUT.format("DESK in 1") + 'cable = "LD1"\n', "LD1"),
        ('[[output]]\nnumber = 1\nname = "Wedge"\nport = "DESK out 1"\ncable = "LD1"\n', "LD1"),
        (INPUT.format("SB1 in 1"), "SB1"),
        ('[[output]]\nnumber = 1\nname = "Wedge"\nport = "SB1 out 1"\n', "SB1"),
        ('[[box]]\ncode = "DROP"\nkind = "drop"\nfed_from = "SB1 in 3"\n', "SB1"),
        ('[[chain]]\ncode = "C"\nlink = "thread"\nfrom = "SB1"\n', "SB1"),
        (
            INPUT.format("DESK in 1")
            + '[[insert]]\nname = "Leveller"\ninput = 1\nsend = "SB1 out 1"\nreturn = "DESK in 2"\n',
            "SB1",
        ),
        (
            INPUT.format("DESK in 1")
            + '[[insert]]\nname = "Leveller"\ninput = 1\nsend = "DESK out 1"\nreturn = "SB1 in 2"\n',
            "SB1",
        ),
    ],
)
def test_a_use_takes_it_off_the_list(found_in, more, used):
    assert used in idle(found_in, PLAN)
    assert used not in idle(found_in, PLAN + more)


def test_a_box_on_a_supply_uses_it(found_in):
    text = PLAN.replace('cable = "LK1"\n', 'cable = "LK1"\nsupply = "P1"\n', 1)
    assert "P1" not in idle(found_in, text)


def test_a_box_whose_outputs_another_repeats_is_used(found_in):
    """Fed the other way round, so that only the repeating speaks for it."""
    more = SECOND.replace("FEED", "B")
    assert "SB2" in idle(found_in, PLAN + more)
    third = SECOND.replace("FEED", "SB1").replace("SB2", "SB3").replace("LK2", "LK3")
    fourth = SECOND.replace("FEED", "SB3").replace("SB2", "SB4").replace("LK2", "LK4")
    text = PLAN + third + fourth
    assert "SB4" in idle(found_in, text)
    repeated = text.replace('fed_from = "SB1"\n', 'fed_from = "SB1"\nrepeats = "SB4"\n')
    assert "SB4" not in idle(found_in, repeated)


def test_a_passive_box_without_lines_is_not_used_either(found_in):
    drop = '[[box]]\ncode = "DROP"\nkind = "drop"\nfed_from = "SB1 in 3"\n'
    assert "DROP" in idle(found_in, PLAN + drop)
    assert "DROP" not in idle(found_in, PLAN + drop + INPUT.format("DROP in 2"))
