"""Plans edited in place: the changed values change and nothing else does, however the file is laid out."""

import random

import pytest

from checkapp.rig.edit import Edit, edited, edits_between, with_edits
from checkapp.rig.planfile import load_plan

AWKWARD = '''# cable = "not this one"
cable = [ {code="Q1", kind = "hop", length_m=9, spare = true}, # an inline table
  { code = 'Q2', kind = "hop", length_m = 9 } , # and another
]
format = 1
rig = { name = """a rig
[[box]]
code = "B1"
fed_from = "nowhere" """, owner = "TR" }
chain = [{ code = "A", link = "wire", at = [0, 0] }]
[link_kind]
wire.max_length_m = 100
[cable_kind."hop"]
[box_kind]
  [box_kind.eight]   # indented
  inputs = 8
  outputs = 0
  accepts = ["line"]

  [[ box ]]   # B1
    code = "B1"
    kind = "eight"
    fed_from = 'A'      # from the desk = "A"
    "cable" = """Q2"""  # beside the value
    settings."Output switch" = "own"

    # a comment about B2
[["box"]]
cable="Q1"#tight
code="B2"
fed_from="B1"
kind="eight"
at=[1,2]
  [box.settings]
  lamps = "dim"
'''
EDITS = (
    Edit("box", "B1", "fed_from", "B2"),
    Edit("box", "B1", "cable", "Q1"),
    Edit("box", "B2", "fed_from", "A"),
    Edit("box", "B2", "cable", "Q2"),
    Edit("cable", "Q1", "spare", False),
    Edit("cable", "Q2", "spare", True),
)
PAIRS = (
    ("length_m=9, spare = true}", "length_m=9, spare = false}"),
    ("length_m = 9 } ,", "length_m = 9, spare = true } ,"),
    ("fed_from = 'A' ", "fed_from = 'B2' "),
    ('"""Q2"""  #', '"""Q1"""  #'),
    ('cable="Q1"#', 'cable="Q2"#'),
    ('fed_from="B1"\nkind', 'fed_from="A"\nkind'),
)


@pytest.mark.parametrize("newline", ["\n", "\r\n"])
@pytest.mark.parametrize("mark", ["", "\ufeff"])
def test_an_awkward_plan_changes_where_it_should_and_nowhere_else(tmp_path, newline, mark):
    path = tmp_path / "plan.toml"
    old = (mark + AWKWARD).replace("\n", newline)
    expected = AWKWARD
    for before, after in PAIRS:
        assert expected.count(before) == 1
        expected = expected.replace(before, after)
    path.write_bytes(old.encode())
    rig = load_plan(path)
    new = edited(old.encode(), EDITS)
    assert new.decode() == (mark + expected).replace("\n", newline)
    again = load_plan(path, new)
    assert again.plan == with_edits(rig, EDITS).plan
    assert [box.code for box in again.boxes_on("A")] == ["B2", "B1"]
    assert set(edits_between(rig, again)) == set(EDITS)
    assert edited(new, edits_between(again, rig)).decode().replace(", spare = false", "") == old.replace(
        ", spare = false", ""
    )


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ('[[cable]]\ncode = "C"\n\n# next\n[rig]\n', '[[cable]]\ncode = "C"\nspare = true\n\n# next\n[rig]\n'),
        ('[[cable]]\ncode = "C"', '[[cable]]\ncode = "C"\nspare = true'),
        ('[[cable]]\r\ncode = "C" # x\r\n', '[[cable]]\r\ncode = "C" # x\r\nspare = true\r\n'),
        ('[[cable]]\n\t code = """\nC""" # y\n', '[[cable]]\n\t code = """\nC""" # y\n\t spare = true\n'),
        ('cable=[{code="C"}]', 'cable=[{code="C", spare = true}]'),
        ('[[cable]]\nspare=false#no\ncode = "C"', '[[cable]]\nspare=true#no\ncode = "C"'),
    ],
)
def test_a_field_that_is_not_there_yet(old, new):
    assert edited(old.encode(), [Edit("cable", "C", "spare", True)]).decode() == new


def test_no_edits_no_change_and_no_such_code():
    assert edited(AWKWARD.encode(), []) == AWKWARD.encode()
    with pytest.raises(KeyError, match="B9"):
        edited(AWKWARD.encode(), [Edit("box", "B9", "cable", "Q1")])


BELOW = {"+spare": True}
"""A flag that stands on a line of its own below the entry."""


def laid_out(chance, boxes, cables):
    """A plan's text in a random layout: the same chance gives the same layout for any values of the same fields."""
    newline = chance.choice(["\n", "\r\n"])
    rows = ["format = 1", "[rig]", 'name = "x"', 'owner = "X"']
    rows += [
        "[link_kind.wire]",
        "max_length_m = 99",
        "[cable_kind.hop]",
        "[box_kind.eight]",
        "inputs = 0",
        "outputs = 1",
    ]
    rows += ["[[chain]]", 'code = "A"', 'link = "wire"']
    entries = [("box", code, fields) for code, fields in boxes.items()]
    entries += [("cable", code, fields) for code, fields in cables.items()]
    chance.shuffle(entries)
    for table, code, fields in entries:
        indent, quote = chance.choice(["", "  ", "\t"]), chance.choice(['"', "'", '"""', "'''"])
        rows.append(f"{indent}[[{table}]]{chance.choice(['', ' # = ] '])}")
        below = fields == BELOW
        pairs = [("code", code), ("kind", "eight" if table == "box" else "hop"), *({} if below else fields).items()]
        if table == "cable":
            pairs.append(("length_m", chance.choice([5, 7.5])))
        places = chance.sample(range(len(pairs) + 3), len(pairs) + 3)
        for _, (key, value) in sorted(zip(places, pairs, strict=False)):
            shown = f"{quote}{value}{quote}" if isinstance(value, str) else str(value).lower()
            key = chance.choice([key, f'"{key}"'])
            rows.append(f"{indent}{key}{chance.choice(['', ' '])}={chance.choice(['', '  '])}{shown}")
            rows[-1] += chance.choice(["", "  ", " # \"cable\" = 'x'"])
        rows += [f"{indent}spare = true"] if below else []
        rows += chance.choice([[], [""], ["", "# spare = true", ""]])
    return newline.join(rows) + chance.choice(["", newline])


def fed(order, cables):
    """What boxes write: the feeds of a chain in this order, and the cables that they have."""
    feeds = dict(zip(order, ["A", *order], strict=False))
    return {code: {"fed_from": feeds[code], "cable": cables[code]} for code in sorted(order)}


def test_random_layouts_keep_every_other_byte(tmp_path):
    for seed in range(200):
        chance = random.Random(seed)
        count = chance.randint(1, 5)
        codes = [f"B{k}" for k in range(count)]
        order = chance.sample(codes, count)
        stock = [f"C{k}" for k in range(count + 2)]
        chosen = chance.sample(stock, count)
        marked = {code: chance.random() < 0.5 for code in stock}
        old_boxes = fed(codes, dict(zip(codes, stock, strict=False)))
        new_boxes = fed(order, dict(zip(codes, chosen, strict=True)))
        old_cables = {code: {"spare": code in stock[count:]} if marked[code] else {} for code in stock}
        new_cables = {code: {"spare": code not in chosen} if marked[code] else {} for code in stock}
        for code in stock:
            if not marked[code] and code not in chosen:
                new_cables[code] = BELOW
        old = laid_out(random.Random(-seed - 1), old_boxes, old_cables).encode()
        new = laid_out(random.Random(-seed - 1), new_boxes, new_cables).encode()
        edits = [Edit("box", code, field, value) for code in codes for field, value in new_boxes[code].items()]
        edits += [
            Edit("cable", code, field.strip("+"), value) for code in stock for field, value in new_cables[code].items()
        ]
        assert edited(old, edits).decode() == new.decode()
        path = tmp_path / "plan.toml"
        assert load_plan(path, new).plan == with_edits(load_plan(path, old), edits).plan
