"""What a card says of each kind of item of the shipped rigs."""

import json

import pytest

from checkapp.rig.errors import UnknownCode
from checkapp.show.card_lookup import document, find_card, look_up
from checkapp.show.card_making import card_of
from checkapp.show.cautions import MAINS, PHANTOM
from checkapp.show.marking import Where, mark, repair


@pytest.fixture
def card(demo):
    """The card of what a person types, without a journal."""
    return lambda code: find_card(demo, code, None)


def section(card, title):
    return next((part for part in card.sections if part.title == title), None)


def sockets(card):
    return {one.port: one for one in card.connectors}


def test_every_item_of_the_demo_rig_has_a_card_with_something_on_it(demo):
    for item, kind in demo.items.items():
        card = card_of(demo, item)
        assert card.kind == kind
        assert card.title
        assert card.code
        assert card.goes
        if kind in ("box", "chain", "supply", "hop"):
            assert card.sections, item


def test_the_rows_of_a_section_of_sockets_say_what_its_connectors_hold(demo):
    for item in demo.items:
        for part in card_of(demo, item).sections:
            if part.connectors:
                assert part.rows == tuple(one.cells for one in part.connectors)


def test_the_two_chain_sockets_of_every_box_are_its_first_rows_each_with_its_cable_and_what_it_is_for(demo):
    for box in demo.boxes.values():
        if demo.box_kind(box).passive:
            continue
        first, second = list(card_of(demo, box.code).connectors)[:2]
        assert (first.word, first.hint, first.end) == ("link in", "towards the desk", f"{box.cable} B")
        assert (second.word, second.hint) == ("link out", "to the next box")
        after = next((one for one in demo.boxes.values() if one.fed_from == box.code), None)
        assert second.end == (f"{after.cable} A" if after else "")
        assert first.towards_desk
        assert not second.towards_desk


def test_the_last_box_of_a_chain_says_that_its_link_out_stays_empty(card):
    out = sockets(card("STRINGS"))["STRINGS link out"]
    assert (out.plug, out.facts) == ("", "stays empty, STRINGS is the last box")


def test_a_box_shows_every_line_on_its_ports_with_the_end_of_its_cable(demo):
    for code, box in demo.boxes.items():
        shown = sockets(card_of(demo, code))
        for line in demo.lines:
            if line.port.startswith(f"{code} "):
                one = shown[line.port]
                assert (one.line, one.name) == (line.line, line.name)
                assert one.end == (f"{line.cable} A" if line.cable else "")
        links = 1 if demo.box_kind(box).passive else 2
        assert len(shown) <= demo.box_kind(box).inputs + demo.box_kind(box).outputs + links


def test_ports_are_either_on_the_card_or_named_free(demo):
    for code, box in demo.boxes.items():
        part = section(card_of(demo, code), "ports")
        used = {one.port for one in part.connectors}
        free = set()
        for words in part.note.removeprefix("free: ").split(", ") if part.note else ():
            direction, *numbers = words.replace(" to ", " ").split()
            first, last = int(numbers[0]), int(numbers[-1])
            free |= {f"{code} {direction} {number}" for number in range(first, last + 1)}
        assert free.isdisjoint(used)
        assert set(demo.ports(box)) == free | {port for port in used if port in demo.items and port != code}


def test_ports_taken_by_a_drop_box_say_which_tail_of_its_multicore(card):
    shown = sockets(card("LEFT"))
    assert (shown["LEFT in 5"].plug, shown["LEFT in 5"].far) == ("LM01 A way 1", "DROP in 1")
    assert (shown["LEFT out 6"].plug, shown["LEFT out 6"].far) == ("LM01 A return 2", "DROP out 2")
    assert shown["LEFT in 11"].facts == "no line"


def test_the_multicore_of_a_passive_box_is_its_first_row(card):
    first = next(iter(card("DROP").connectors))
    assert (first.word, first.plug, first.far) == ("multicore", "LM01 B", "LEFT in 5 to 12 and LEFT out 5 to 6")
    assert first.towards_desk


def test_an_insert_is_named_where_its_gear_plugs_in(card):
    shown = sockets(card("LEFT"))
    assert shown["LEFT in 4"].far == "return of Valve leveller, in 37"
    assert (shown["LEFT in 4"].line, shown["LEFT in 4"].plug) == ("", "")


def test_a_box_says_where_it_goes_and_where_on_its_chain_it_stands(card):
    far = card("FAR")
    assert far.goes == "Stage left, on the side fill"
    assert far.hint == "chain FRONT, box 3 of 3; its outputs repeat those of RIGHT"
    assert card("DROP").hint == "feeds LEFT in 5 to 12 and LEFT out 5 to 6"


def test_settings_and_power_stand_on_the_card_of_a_box(card):
    left = card("LEFT")
    assert section(left, "set on it").rows == (("Onward power", "on"), ("Lamps", "dim"))
    assert section(left, "power").rows[0] == ("plug into PWR2: 230 V, 16 A, phase L2",)
    assert section(left, "power").caution == MAINS


def test_a_supplied_box_and_its_supply_carry_the_mains_caution(demo, card):
    supplied = next(box for box in demo.boxes.values() if box.supply)
    assert MAINS in card(supplied.code).cautions
    assert MAINS in card(supplied.supply).cautions
    assert MAINS not in card("DROP").cautions


def test_whatever_a_phantom_line_runs_through_carries_the_caution(demo):
    for line in demo.lines:
        for item in demo.path(line.line) if line.line.startswith("in") and line.phantom else ():
            assert PHANTOM in card_of(demo, item.name).cautions, item


def test_titles_say_what_it_is(card):
    titles = {code: card(code).title for code in ("HP02", "LM01", "LD11", "HP20", "DI01", "chain BACK")}
    assert titles == {
        "HP02": "hop cable, cord, 20 m",
        "LM01": "multicore, loom10, 15 m",
        "LD11": "cable, lead, 6 m",
        "HP20": "spare cable, rope, 60 m",
        "DI01": "source, active DI",
        "chain BACK": "chain",
    }


# -- ends of cables


def test_a_hop_cable_names_both_chain_sockets(demo):
    for box in demo.boxes.values():
        if box.fed_from in demo.boxes:
            a, b = card_of(demo, box.cable).sections[:2]
            assert [one.cells[0] for one in a.connectors] == [f"{box.fed_from} link out (to the next box)"]
            assert [one.cells[0] for one in b.connectors] == [f"{box.code} link in (towards the desk)"]


@pytest.mark.parametrize("typed", ["HP02 B", "hp02.b", "QN.HP02.B.8", "hp02 b 8", "QN.HP02.B"])
def test_an_end_that_was_scanned_has_its_own_card_its_own_socket_first(card, typed):
    end = card(typed)
    assert (end.item, end.end, end.code, end.tags) == ("HP02", "B", "HP02 B", ("QN.HP02.B.8",))
    assert (end.goes, end.hint) == (
        "LEFT link in",
        "the socket towards the desk, Downstage left, by the reading desk",
    )
    own, other = end.sections[:2]
    assert [one.port for one in own.connectors] == ["LEFT link in"]
    assert [one.port for one in other.connectors] == ["RIGHT link out"]


def test_the_card_of_every_end_leads_with_what_set_up_checks(demo):
    from checkapp.rig.connections import connections

    for one in connections(demo):
        card = find_card(demo, one.subject, None)
        own = card.sections[0].connectors
        assert card.code == one.subject
        assert {connector.end for connector in own} == {one.subject}
        assert set(one.ports) <= {connector.port for connector in own}
        if len(own) == 1:
            assert card.goes == one.into


def test_an_end_of_several_lines_names_each_way(card):
    near, far = card("FN01 A"), card("FN01 B")
    assert (near.goes, near.hint) == ("DRUM", "6 lines, Drum riser, back right corner")
    assert [(one.way, one.port) for one in near.sections[0].connectors][:2] == [
        ("way 1", "DRUM in 1"),
        ("way 2", "DRUM in 2"),
    ]
    assert far.goes == "Drums"
    assert [one.far for one in far.sections[0].connectors][-1] == "DRUM in 7"


def test_the_far_end_of_a_lead_goes_to_its_source(card):
    assert (card("LD11 B").goes, card("LD11 B").hint) == ("DI01, active DI", "Strings")
    assert card("LD11 B").name == "Fiddle one"
    assert card("LD13 B").goes == "Cello"


def test_a_cable_without_its_end_says_from_where_to_where(card):
    assert [card(code).goes for code in ("HP02", "HP01", "LM01", "LD11")] == [
        "LEFT to RIGHT",
        "RIGHT to House chain FRONT",
        "DROP to LEFT",
        "STRINGS in 1",
    ]
    assert (card("HP20").goes, card("HP20").hint) == ("spare: plugs into nothing", "rope, 60 m")


# -- other things


def test_the_desk_has_a_card_of_its_own(card):
    desk = card("desk")
    assert (desk.item, desk.goes, desk.hint) == ("DESK", "House", "2 chains, 5 lines straight in")
    assert [(one.word, one.plug, one.far) for one in desk.connectors][:2] == [
        ("House chain FRONT", "HP01 A", "RIGHT link in"),
        ("House chain BACK", "HP11 A", "KEYS link in"),
    ]
    assert [one.port for one in desk.connectors][2:] == [
        "DESK in 1",
        "DESK in 2",
        "DESK in 3",
        "DESK out 1",
        "DESK out 2",
    ]


def test_a_chain_lists_its_hops_from_its_start_outwards(card):
    hops = [(one.word, one.plug, one.far) for one in card("chain FRONT").connectors]
    assert hops == [
        ("House chain FRONT", "HP01 45 m", "RIGHT link in"),
        ("RIGHT link out", "HP02 20 m", "LEFT link in"),
        ("LEFT link out", "HP03 50 ft", "FAR link in"),
    ]


def test_a_chain_socket_can_be_asked_for(card):
    socket = card("left LINK in")
    assert (socket.item, socket.hint) == ("LEFT link in", "towards the desk")
    assert [one.plug for one in socket.connectors] == ["HP02 B"]
    with pytest.raises(UnknownCode, match="passive"):
        card("DROP link in")


def test_a_line_has_its_tape_its_stand_and_its_path(card):
    line = card("in 40")
    assert (line.number, line.name, line.goes) == ("40", "Choir low left", "DROP in 1")
    assert line.hint == "Choir, mic, phantom, tall boom"
    assert [item.label for item in line.run][:3] == ["source", "LD30", "DROP in 1"]
    assert card("out 9").number == "out 9"


def test_a_source_a_port_and_a_desk_strip_show_their_line(card):
    for code in ("DI01", "STRINGS in 1", "desk in 17", "LD11"):
        found = card(code)
        assert (found.number, found.name) == ("17", "Fiddle one")
        assert [item.name for item in found.run if item.status == "next"] == [found.item]


def test_the_run_shows_where_the_thing_sits(demo):
    for item, kind in demo.items.items():
        card = card_of(demo, item)
        marked = [one.name for one in card.run if one.status == "next"]
        if kind in ("box", "hop", "chain"):
            assert marked == [item]
        assert marked in ([], [item])
        if card.run:
            assert card.run[-1].kind == "desk"


# -- findings, history, document


def test_what_was_marked_and_repaired_is_on_the_card_and_what_was_not_is_not(small_plan, tmp_path):
    journal = tmp_path / "journal.db"
    where = Where(small_plan, "Night 1", "JD", journal)
    assert look_up(small_plan, "stove", journal).history == ()
    mark(where, "in 1", "ok")
    mark(where, "in 2", "faulty", symptom="hum")
    repair(where, "stove in 2", "reseat", cleared=False)
    history = [row[2] for row in look_up(small_plan, "STOVE", journal).history]
    assert history == ["STOVE in 2 reseat, did not clear", "in 2 faulty: hum"]
    assert [row[2] for row in look_up(small_plan, "stove in 2", journal).history] == history
    assert [row[2] for row in look_up(small_plan, "in 1", journal).history] == ["in 1 ok"]


@pytest.mark.parametrize(
    ("code", "where"),
    [
        ("CRANE", "CRANE"),
        ("KILN", "in 2"),
        ("GATE", "chain LONG"),
        ("GATE", "PWR1"),
        ("HP01", "HP01"),
        ("chain LONG", "chain LONG"),
        ("PWR1", "PWR1"),
        ("WINCH", "HP22"),
    ],
)
def test_findings_that_concern_the_item_are_on_its_card(plans, code, where):
    assert where in [row.where for row in look_up(plans / "wrong.toml", code, None).findings]


def test_notes_on_other_things_are_not(demo, card):
    assert "in 37" in [row.where for row in card("LEFT").findings]
    assert card("RIGHT").findings == ()
    assert card("HP02").findings == ()


def test_the_document_is_plain_and_keeps_its_keys(small_plan):
    found = json.loads(json.dumps(document(look_up(small_plan, "stove", None))))
    kept = ("item", "kind", "title", "tags", "sections", "cautions", "findings", "history")
    assert list(found)[: len(kept)] == list(kept)
    assert found["item"] == "STOVE"
    assert set(found["sections"][0]) >= {"title", "rows"}


def test_a_cable_says_to_mute_before_it_is_plugged_and_phantom_only_where_it_is(card, demo):
    fed = {line.cable for line in demo.lines if getattr(line, "phantom", False)}
    used = {line.cable for line in demo.lines if line.cable}
    assert fed
    assert used - fed
    for code in sorted(used):
        (caution,) = card(code).cautions
        assert caution.startswith("Mute the channel before re-plugging")
        assert ("phantom" in caution) == (code in fed)


def test_an_inserts_ports_say_only_what_comes_through(card):
    shown = sockets(card("LEFT"))
    assert (shown["LEFT out 4"].facts, shown["LEFT in 4"].facts) == ("", "")
    assert shown["LEFT out 4"].far.startswith("send of ")
