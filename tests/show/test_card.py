import pytest

from checkapp.show.card_lookup import document, look_up
from checkapp.show.card_making import card_of
from checkapp.show.cautions import MAINS, PHANTOM
from checkapp.show.marking import Where, mark, repair


def section(card, title):
    return next((part.rows for part in card.sections if part.title == title), ())


def test_every_item_of_the_demo_rig_has_a_card_with_something_on_it(demo):
    for item, kind in demo.items.items():
        card = card_of(demo, item)
        assert card.kind == kind
        assert card.title
        if kind in ("box", "chain", "supply", "hop"):
            assert card.sections, item


def test_a_box_shows_every_line_on_its_ports_with_cable(demo):
    for code, box in demo.boxes.items():
        ports = section(card_of(demo, code), "ports")
        shown = {row[0]: row for row in ports}
        for line in demo.lines:
            if line.port.startswith(f"{code} "):
                row = shown[line.port]
                assert row[1].startswith(f"{line.cable} A" if line.cable else "")
                assert row[2] == f"{line.line} {line.name}"
        sockets = 1 if demo.box_kind(box).passive else 2
        assert len(shown) <= demo.box_kind(box).inputs + demo.box_kind(box).outputs + sockets


def test_a_supplied_box_and_its_supply_carry_the_mains_caution(demo):
    supplied = next(box for box in demo.boxes.values() if box.supply)
    assert MAINS in card_of(demo, supplied.code).cautions
    assert MAINS in card_of(demo, supplied.supply).cautions
    free = next(box for box in demo.boxes.values() if not box.supply and demo.box_kind(box).passive)
    assert MAINS not in card_of(demo, free.code).cautions


def test_a_phantom_lines_cable_carries_the_phantom_caution(demo):
    line = next(line for line in demo.lines if line.line.startswith("in") and line.phantom and line.cable)
    assert PHANTOM in card_of(demo, line.cable).cautions


def test_a_hop_cable_names_both_chain_sockets(demo):
    box = next(box for box in demo.boxes.values() if box.fed_from in demo.boxes)
    card = card_of(demo, box.cable)
    assert section(card, "end A, nearer the desk")[0][0] == f"{box.fed_from} link out (to the next box)"
    assert section(card, "end B, farther from the desk")[0][0] == f"{box.code} link in (towards the desk)"


def test_ports_taken_by_a_drop_box_name_it(demo):
    drop = next(box for box in demo.boxes.values() if demo.box_kind(box).passive)
    ports = section(card_of(demo, demo.fed_box(drop.code).code), "ports")
    first, back = (row for row in ports if row[3] in (f"{drop.code} in 1", f"{drop.code} out 1"))
    assert (first[1], back[1]) == (f"{drop.cable} A way 1", f"{drop.cable} A return 1")


def test_what_was_marked_and_repaired_is_on_the_card_and_what_was_not_is_not(small_plan, tmp_path):
    journal = tmp_path / "journal.db"
    where = Where(small_plan, "Night 1", "JD", journal)
    assert look_up(small_plan, "stove", journal).history == ()
    mark(where, "in 1", "ok")
    mark(where, "in 2", "faulty", symptom="hum")
    repair(where, "stove in 2", "reseat", cleared=False)
    history = [row[2] for row in look_up(small_plan, "STOVE", journal).history]
    assert history == ["STOVE in 2 reseat, did not clear", "in 2 faulty: hum"]
    assert [row[2] for row in look_up(small_plan, "stove in 2", journal).history] == [
        "STOVE in 2 reseat, did not clear",
        "in 2 faulty: hum",
    ]


@pytest.mark.parametrize("where", ["CRANE", "in 2"])
def test_findings_that_concern_the_item_are_on_its_card(plans, where):
    item = where if where == "CRANE" else "KILN"
    card = look_up(plans / "wrong.toml", item, None)
    assert where in [row.where for row in card.findings]


def test_the_document_is_plain(small_plan):
    import json

    assert json.loads(json.dumps(document(look_up(small_plan, "stove", None))))["item"] == "STOVE"
