"""Plans put in a better order: what is asked, what is written, what is refused."""

import difflib
import math
import random
import re

import pytest

from checkapp.review.report import review
from checkapp.review.rules.chain import chain_length_m
from checkapp.rig.errors import UnknownCode
from checkapp.rig.planfile import load_plan
from checkapp.rig.writing import FileNotWritten
from checkapp.show import ordering
from checkapp.show.ordering import OutRefused, SlackRefused, document, order_plan, status

TWO_CHAINS = """format = 1
[rig]
name = "Two chains"
owner = "TC"
[link_kind.wire]
max_length_m = 900.0
[cable_kind.hop]
[box_kind.eight]
inputs = 8
outputs = 4
accepts = ["line"]
[[chain]]
code = "A"
link = "wire"
at = [0, 0]
[[chain]]
code = "B"
link = "wire"
at = [0, 0]
[[cable]]   # the long one
code = "H1"
kind = "hop"
length_m = 40.0
[[cable]]
code = "H2"
kind = "hop"
length_m = 30.0

# the spares
[[cable]]
code = "P1"
kind = "hop"
length_m = 15.0
spare = true   # in the trunk
[[box]]
code = "S1"
kind = "eight"
fed_from = "A"
cable = "H1"
at = [0, 10]
[[box]]
code = "S2"
kind = "eight"
fed_from = "B"
cable = "H2"
at = [0, 15]
"""


@pytest.fixture
def two_chains(tmp_path):
    path = tmp_path / "two.toml"
    path.write_text(TWO_CHAINS, encoding="utf-8")
    return path


@pytest.fixture
def mixed_up(tmp_path, plans):
    """The demo plan with the places of chain BACK's boxes dealt out anew: its order goes to and fro."""
    (tmp_path / "kinds.toml").write_bytes((plans / "kinds.toml").read_bytes())
    text = (plans / "demo.toml").read_text(encoding="utf-8")
    places = {"KEYS": "[3.0, 7.0]", "DRUM": "[-6.0, 5.0]", "BRASS": "[5.5, 4.5]", "STRINGS": "[-1.0, 6.5]"}
    for code, place in places.items():
        text, count = re.subn(
            rf'(?s)(\[\[box\]\]\ncode = "{code}".*?\nat = )\[[^]]*\]', rf"\g<1>{place}", text, count=1
        )
        assert count == 1
    text = text.replace(
        'code = "HP12"\nkind = "cord"\nlength_m = 12.0 ', 'code = "HP12"\nkind = "cord"\nlength_m = 16.0 '
    )
    path = tmp_path / "mixed.toml"
    path.write_text(text, encoding="utf-8")
    return path


def test_only_the_changed_values_differ_and_the_plan_works(mixed_up, tmp_path):
    out = tmp_path / "better.toml"
    before = mixed_up.read_bytes()
    found = order_plan(mixed_up, out=out)
    assert status(found) == 0
    assert found.written == out
    assert mixed_up.read_bytes() == before
    old, new = before.decode().splitlines(), out.read_bytes().decode().splitlines()
    changed = [line for line in difflib.ndiff(old, new) if line[0] in "+-"]
    assert len(changed) > 8
    for line in changed:
        assert re.match(r"[+-] (fed_from|cable|spare) = ", line), line
    taken_out = [line for line in changed if line[0] == "-"]
    added = [line for line in changed if line[0] == "+"]
    flags = [line for line in added if line == "+ spare = true"]
    assert len(added) - len(taken_out) == len(flags)
    again = load_plan(out)
    assert again.plan == found.new.plan
    assert not review(again).has_stop
    back = next(chain for chain in found.chains if chain.chain == "BACK")
    assert back.state == "shorter"
    assert [box.code for box in again.boxes_on("BACK")] == [hop.box for hop in back.hops] != list(back.boxes)
    assert back.order_m < back.now_m
    ordered_again = order_plan(out)
    assert [chain.state for chain in ordered_again.chains] == ["kept", "kept"]


def test_what_one_chain_sets_free_serves_the_others(two_chains):
    found = order_plan(two_chains)
    assert [(chain.state, chain.order_m) for chain in found.chains] == [("shorter", 15.0), ("kept", 30.0)]
    longer = two_chains.with_name("longer.toml")
    longer.write_text(TWO_CHAINS.replace("length_m = 40.0", "length_m = 20.0"), encoding="utf-8")
    found = order_plan(longer)
    assert [(chain.state, chain.order_m) for chain in found.chains] == [("shorter", 15.0), ("shorter", 20.0)]
    assert ("cable", "H1", "spare", True) not in found.edits  # set free by A, in use on B: never a spare
    assert sorted(found.edits) == [
        ("box", "S1", "cable", "P1"),
        ("box", "S2", "cable", "H1"),
        ("cable", "H2", "spare", True),
        ("cable", "P1", "spare", False),
    ]


def test_what_a_later_chain_sets_free_serves_an_earlier_one(tmp_path):
    """A, 10 m out, gets the 30 m of B when B has taken the spare; the figures of both are against the plan."""
    path = tmp_path / "plan.toml"
    text = TWO_CHAINS.replace("[0, 10]", "[0, 9]").replace("[0, 15]", "[0, 8]").replace("40.0", "14.0")
    path.write_text(
        text.replace("30.0", "12.0").replace("= 15.0", "= 11.0").replace("[0, 9]", "[0, 9.5]"), encoding="utf-8"
    )
    found = order_plan(path)
    assert [(chain.state, chain.now_m, chain.order_m) for chain in found.chains] == [
        ("shorter", 14.0, 12.0),
        ("shorter", 12.0, 11.0),
    ]
    assert [hop.cable.code for chain in found.chains for hop in chain.now] == ["H1", "H2"]
    assert sorted(found.edits) == [
        ("box", "S1", "cable", "H2"),
        ("box", "S2", "cable", "P1"),
        ("cable", "H1", "spare", True),
        ("cable", "P1", "spare", False),
    ]


def random_plan(chance):
    """Three chains, the last of them from a box of the first, and spares that they share."""
    text = TWO_CHAINS[: TWO_CHAINS.index("[[chain]]")]
    text += '[[chain]]\ncode = "A"\nlink = "wire"\nat = [0, -9]\n[[chain]]\ncode = "B"\nlink = "wire"\nat = [3, -9]\n'
    text += '[[chain]]\ncode = "C"\nlink = "wire"\nfrom = "A1"\n'
    for chain in "ABC":
        for number in range(1, chance.randint(2, 5)):
            code, feed = f"{chain}{number}", f"{chain}{number - 1}" if number > 1 else chain
            metres = chance.choice([12.0, 25.0, 30.0, 45.0])
            text += f'[[cable]]\ncode = "H{code}"\nkind = "hop"\nlength_m = {metres}\n'
            text += f'[[box]]\ncode = "{code}"\nkind = "eight"\nfed_from = "{feed}"\ncable = "H{code}"\n'
            text += f"at = [{chance.uniform(-9, 9):.2f}, {chance.uniform(0, 9):.2f}]\n"
    for number in range(5):
        metres = chance.choice([5.0, 10.0, 20.0])
        text += f'[[cable]]\ncode = "P{number}"\nkind = "hop"\nlength_m = {metres}\nspare = true\n'
    return text


@pytest.mark.parametrize("seed", range(40))
def test_random_plans_never_get_longer_and_are_done_in_one_go(tmp_path, seed):
    path, out = tmp_path / "plan.toml", tmp_path / "out.toml"
    path.write_text(random_plan(random.Random(seed)), encoding="utf-8")
    found = order_plan(path, out=out)
    assert (found.written is None) == (not found.edits and status(found) == 1)
    old, new = load_plan(path), load_plan(out if found.written else path)
    for chain in found.chains:
        metres = [chain_length_m(rig, rig.chains[chain.chain]) for rig in (old, new)]
        assert metres[0] == pytest.approx(chain.now_m)
        assert metres[1] == pytest.approx(chain.order_m if chain.state == "shorter" else chain.now_m)
        assert metres[1] <= metres[0] + 1e-9
        assert sorted(box.code for box in new.boxes_on(chain.chain)) == sorted(chain.boxes)
    used = {box.cable for box in new.boxes.values()}
    assert {cable.code for cable in new.cables.values() if cable.spare} == new.cables.keys() - used
    assert not any(chain.edits for chain in order_plan(out if found.written else path).chains)


def test_one_chain_only(two_chains):
    found = order_plan(two_chains, chain="b", slack_m=0)
    assert [(chain.chain, chain.state, chain.order_m) for chain in found.chains] == [("B", "kept", 30.0)]
    with pytest.raises(UnknownCode, match='no chain "X"; the plan has A, B'):
        order_plan(two_chains, chain="X")


@pytest.mark.parametrize("slack_m", [-0.1, math.nan, math.inf, 1000.1])
def test_slack_that_is_no_length(two_chains, slack_m):
    with pytest.raises(SlackRefused, match="from 0 to 1000 m"):
        order_plan(two_chains, slack_m=slack_m)


def test_the_plan_is_overwritten_only_when_it_is_named(two_chains):
    order_plan(two_chains)
    assert two_chains.read_text(encoding="utf-8") == TWO_CHAINS
    two_chains.chmod(0o640)
    found = order_plan(two_chains, out=two_chains)
    assert found.written == two_chains
    assert two_chains.stat().st_mode & 0o777 == 0o640
    assert two_chains.read_text(encoding="utf-8") == (
        TWO_CHAINS.replace('cable = "H1"', 'cable = "P1"')
        .replace("spare = true   # in the trunk", "spare = false   # in the trunk")
        .replace("length_m = 40.0\n", "length_m = 40.0\nspare = true\n")
    )
    assert order_plan(two_chains, out=two_chains).written is None
    assert [path.name for path in two_chains.parent.iterdir()] == ["two.toml"]


def test_a_plan_that_is_best_is_copied_and_one_without_an_answer_is_not(two_chains, tmp_path):
    out = tmp_path / "out.toml"
    assert order_plan(two_chains, chain="B", out=out).written == out
    assert out.read_bytes() == two_chains.read_bytes()
    lost = tmp_path / "lost.toml"
    lost.write_text(TWO_CHAINS.replace("at = [0, 15]\n", ""), encoding="utf-8")
    found = order_plan(lost, chain="B", out=tmp_path / "none.toml")
    assert (found.written, status(found)) == (None, 1)
    assert not (tmp_path / "none.toml").exists()
    found = order_plan(lost, out=tmp_path / "some.toml")
    assert ([chain.state for chain in found.chains], status(found)) == (["shorter", "no place"], 1)
    assert load_plan(tmp_path / "some.toml").boxes["S1"].cable == "P1"


def test_a_plan_that_uses_files_is_written_beside_them(mixed_up, tmp_path):
    (tmp_path / "below").mkdir()
    for out in (tmp_path / "below" / "x.toml", tmp_path / "none" / "x.toml"):
        with pytest.raises(OutRefused, match=r"uses kinds\.toml.*write it to .*x\.toml"):
            order_plan(mixed_up, out=out)
    kinds = (tmp_path / "kinds.toml").read_bytes()
    with pytest.raises(OutRefused, match=r"kinds\.toml is a file that the plan uses"):
        order_plan(mixed_up, out=tmp_path / "kinds.toml")
    assert (tmp_path / "kinds.toml").read_bytes() == kinds
    assert list((tmp_path / "below").iterdir()) == []


def test_a_plan_that_uses_nothing_is_written_anywhere(two_chains, tmp_path):
    (tmp_path / "below").mkdir()
    order_plan(two_chains, out=tmp_path / "below" / "x.toml")
    assert load_plan(tmp_path / "below" / "x.toml").boxes["S1"].cable == "P1"
    with pytest.raises(FileNotWritten, match="cannot be written"):
        order_plan(two_chains, out=tmp_path / "none" / "x.toml")


@pytest.mark.parametrize("later", [TWO_CHAINS.replace("40.0", "41.0"), "no plan", None])
def test_a_plan_that_changes_meanwhile_is_not_written(two_chains, tmp_path, monkeypatch, later):
    def meanwhile(rig, code, slack_m):
        two_chains.unlink(missing_ok=True)
        if later is not None:
            two_chains.write_text(later, encoding="utf-8")
        return order_chain(rig, code, slack_m)

    order_chain = ordering.order_chain
    monkeypatch.setattr(ordering, "order_chain", meanwhile)
    with pytest.raises(OutRefused, match="was changed while"):
        order_plan(two_chains, out=tmp_path / "out.toml")
    assert not (tmp_path / "out.toml").exists()


def test_the_document_says_what_stands_afterwards(two_chains):
    found = document(order_plan(two_chains))
    assert found["written"] is None
    one, other = found["chains"]
    assert (one["old_m"], one["new_m"], one["order"], one["state"]) == (40.0, 15.0, ["S1"], "shorter")
    assert one["shortest"]["hops"] == [
        {"from": "desk", "to": "S1", "distance_m": 10.0, "needed_m": 12.5, "cable": "P1", "length_m": 15.0}
    ]
    assert one["old"]["hops"][0]["cable"] == "H1"
    assert (other["old_m"], other["new_m"], other["order"], other["state"]) == (30.0, 30.0, ["S2"], "kept")
