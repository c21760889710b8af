"""The slot table."""

from checkapp.review.slots import SlotRow, channels_used, slot_table

KINDS = """
[link_kind.thread]
max_length_m = 60.0
[cable_kind.cord]
[box_kind.six]
inputs = 6
outputs = 4
accepts = ["line"]
[box_kind.out8]
inputs = 0
outputs = 8
[box_kind.out2]
inputs = 2
outputs = 2
accepts = ["line"]
[box_kind.fan]
inputs = 4
outputs = 2
passive = true
[[chain]]
code = "A"
link = "thread"
"""


def box(code, kind, fed_from, more=""):
    return (
        f'[[cable]]\ncode = "L-{code}"\nkind = "cord"\nlength_m = 5.0\n'
        f'[[box]]\ncode = "{code}"\nkind = "{kind}"\nfed_from = "{fed_from}"\ncable = "L-{code}"\n{more}\n'
    )


def test_slots_run_on_along_the_chain_inputs_and_outputs_apart(rig_of):
    plan = KINDS + box("SB2", "six", "SB1") + box("SB1", "six", "A") + box("SB3", "out8", "SB2")
    rig = rig_of(plan)
    assert slot_table(rig, "A") == (
        SlotRow("SB1", "in", 1, 6),
        SlotRow("SB1", "out", 1, 4),
        SlotRow("SB2", "in", 7, 12),
        SlotRow("SB2", "out", 5, 8),
        SlotRow("SB3", "out", 9, 16),
    )
    assert channels_used(rig, "A") == 6 + 4 + 6 + 4 + 8


def test_passive_boxes_take_none(rig_of):
    fan = '[[box]]\ncode = "FAN"\nkind = "fan"\nfed_from = "SB1 in 1"\noutputs_from = "SB1 out 1"\n'
    rig = rig_of(KINDS + box("SB1", "six", "A") + fan)
    assert [row.box for row in slot_table(rig, "A")] == ["SB1", "SB1"]
    assert channels_used(rig, "A") == 10


def test_a_repeating_box_shows_what_it_repeats(rig_of):
    plan = KINDS + box("SB1", "six", "A") + box("SB2", "out2", "SB1", 'repeats = "SB3"') + box("SB3", "out8", "SB2")
    rig = rig_of(plan)
    assert slot_table(rig, "A") == (
        SlotRow("SB1", "in", 1, 6),
        SlotRow("SB1", "out", 1, 4),
        SlotRow("SB2", "in", 7, 8),
        SlotRow("SB2", "out", 5, 6),
        SlotRow("SB3", "out", 5, 12),
    )
    assert channels_used(rig, "A") == 6 + 4 + 2 + 8


def test_a_repeat_of_a_repeat_ends_at_the_box_that_takes_the_slots(rig_of):
    plan = (
        KINDS
        + box("SB1", "six", "A")
        + box("SB2", "out8", "SB1", 'repeats = "SB1"')
        + box("SB3", "out8", "SB2", 'repeats = "SB2"')
    )
    rig = rig_of(plan)
    outs = [row for row in slot_table(rig, "A") if row.direction == "out"]
    assert outs == [SlotRow("SB1", "out", 1, 4), SlotRow("SB2", "out", 1, 4), SlotRow("SB3", "out", 1, 4)]
    assert channels_used(rig, "A") == 10


def test_a_chain_without_boxes_has_no_slots(rig_of):
    rig = rig_of(KINDS)
    assert slot_table(rig, "A") == ()
    assert channels_used(rig, "A") == 0
