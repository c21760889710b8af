"""What the command says of ordered chains, at 80 columns."""

import pytest

from checkapp.show.ordering import order_plan
from checkapp.show.ordering_text import print_order

HEAD = """format = 1
[rig]
name = "Text"
owner = "TX"
[link_kind.wire]
max_length_m = 900.0
max_hop_m = 50.0
[cable_kind.hop]
[box_kind.eight]
inputs = 8
outputs = 4
accepts = ["line"]
[[chain]]
code = "A"
link = "wire"
at = [0, 0]
"""


def cable(code, length, *, spare=False):
    return f'[[cable]]\ncode = "{code}"\nkind = "hop"\n{length}\nspare = {str(spare).lower()}\n'


def box(code, fed_from, hop, at):
    place = "" if at is None else f"at = [0, {at}]\n"
    return f'[[box]]\ncode = "{code}"\nkind = "eight"\nfed_from = "{fed_from}"\ncable = "{hop}"\n{place}'


@pytest.fixture
def said(tmp_path, monkeypatch, capsys):
    """What is printed of a plan whose text begins after the chain, and the plan's path."""
    monkeypatch.setenv("COLUMNS", "80")

    def say(text, head=None, **words):
        path = tmp_path / "plan.toml"
        begin = HEAD
        for old, new in (head or {}).items():
            begin = begin.replace(old, new)
        path.write_text(begin + text, encoding="utf-8")
        print_order(order_plan(path, **words))
        out = capsys.readouterr().out
        assert max(map(len, out.splitlines())) <= 80
        return " ".join(out.split())

    return say


TANGLED = cable("H1", "length_m = 25") + cable("H2", "length_m = 15") + cable("P1", "length_ft = 43", spare=True)


def test_a_shorter_order(said, tmp_path):
    text = TANGLED + box("S1", "A", "H1", 20) + box("S2", "S1", "H2", 10)
    words = said(text)
    assert "chain A: 28.11 m in another order; 40 m as planned" in words
    assert "hop cable length needs distance" in words
    assert "desk to S2 H2 15 m 12.5 m (41.1 ft) 10.0 m" in words
    assert "S2 to S1 P1 43 ft 12.5 m (41.1 ft) 10.0 m" in words
    assert "From the spares: P1. Set free: H1." in words
    assert "Slots move with the boxes: patch the desk anew for chain A." in words
    assert "Nothing written; --out FILE writes the changed plan." in words
    words = said(text, out=tmp_path / "out.toml")
    assert "out.toml: the plan with these changes. Its comments are as they were" in words


def test_other_cables_only(said):
    words = said(TANGLED.replace("15", "24") + box("S1", "A", "H2", 10) + box("S2", "S1", "H1", 20))
    assert "chain A: 37.11 m with other cables; 49 m as planned" in words
    assert "Slots move" not in words


def test_nothing_shorter(said, tmp_path):
    text = cable("H1", "length_m = 25") + box("S1", "A", "H1", 20)
    words = said(text)
    assert "chain A: 25 m as planned; the stock gives no shorter chain Nothing to write." in words
    assert "out.toml: the plan as it is." in said(text, out=tmp_path / "out.toml")


def test_cables_that_do_not_reach(said):
    words = said(cable("H1", "length_ft = 60") + cable("P1", "length_m = 30", spare=True) + box("S1", "A", "H1", 20))
    assert "no shorter chain H1, from desk to S1, has 60 ft; with the slack it needs 23.5 m (77.1 ft)." in words


def test_missing_lengths_in_metres_and_where_the_plan_writes_feet_in_feet(said):
    words = said(cable("H1", "length_m = 20") + box("S1", "A", "H1", 20))
    assert "chain A: 20 m as planned; the stock cannot do the shortest way" in words
    assert "desk to S1 none 23.5 m 20.0 m" in words
    assert "Missing: a cable of 23.5 m or more from desk to S1." in words
    words = said(cable("H1", "length_ft = 60") + box("S1", "A", "H1", 20))
    assert "Missing: a cable of 23.5 m (77.1 ft) or more from desk to S1." in words


def test_an_order_with_a_stop(said):
    """With the shorter cables the load hangs 26.5 m from the desk, where it has less than the 22 V that it wants."""
    text = cable("H1", "length_m = 12.5") + cable("H2", "length_m = 15") + cable("P1", "length_m = 14", spare=True)
    text += '[[supply]]\ncode = "M"\nvolts = 230\nbreaker_amps = 16\n'
    text += box("S1", "A", "H1", 10) + box("S2", "S1", "H2", 6) + 'supply = "M"\n'
    powered = {
        "max_hop_m = 50.0": "volts = 24.0\nmax_amps = 3.0",
        "[cable_kind.hop]": "[cable_kind.hop]\nloop_ohm_per_m = 0.1",
        "[[chain]]": "draw_w = 20.0\nmin_volts = 22.0\nlink_powered = true\n[[chain]]",
    }
    words = said(text, head=powered)
    assert "chain A: 27.5 m as planned; the shortest way would not work" in words
    assert "desk to S2 P1 14 m 8.1 m" in words
    assert "stop: S1 gets 21." in words
    assert "From the spares" not in words
    assert "Nothing to write." in words


def test_places_and_boxes(said):
    words = said(cable("H1", "length_m = 20") + box("S1", "A", "H1", None))
    assert "chain A: not ordered; places on the stage plan are missing Give at = [x, y] to S1." in words
    many = "".join(cable(f"H{k}", "length_m = 20") for k in range(1, 17))
    many += "".join(box(f"S{k}", f"S{k - 1}" if k > 1 else "A", f"H{k}", k) for k in range(1, 17))
    assert "chain A: not ordered; it has 16 boxes, and orders of up to 15 are worked out" in said(many)
