"""A plan file brought to other data: the data are right whatever is changed, and what is the same stays as written."""

import copy
import random
import tomllib
from pathlib import Path

import pytest

from checkapp.rig.rewrite import rewritten
from checkapp.rig.toml_text import KINDS, LISTS

PLANS = sorted((Path(__file__).parents[2] / "plans").glob("*.toml"))
TEXT = """# The head of the file.
format = 1

[rig]
name = "Barn"    # as on the door
owner = "BN"

# --- Cables ---

# The ordinary one.
[cable_kind.lead]

[cable_kind.hop]
ways = 1  # default

# the long one
[[cable]]
code = "A1"
kind = "hop"
length_m = 15     # measured

  [[cable]]
  code = "A2"
  kind = "lead"
  length_m = 5.0

# --- Boxes ---

[[box]]
code = "B1"
kind = "k"
fed_from = "A"
at = [
  1.0,  # to the left
  2.0,
]
settings = { "Output switch" = "own", Pad = "off" }

[[box]]
code = "B2"
kind = "k"
fed_from = "B1"
[box.settings]
Pad = "on"     # always

[diagnose]
prior.cable = 0.02
"""


def changed(change, text=TEXT):
    data = tomllib.loads(text)
    change(data)
    return rewritten(text.encode(), data).decode(), data


def keyed(data):
    """Entries by their names, for a plan's meaning does not hang on their order in the file."""
    names = ("code", "number", "name")
    return {
        table: sorted(content, key=lambda entry: [str(entry.get(name)) for name in names])
        if table in LISTS
        else content
        for table, content in data.items()
        if content not in ({}, [])
    }


@pytest.mark.parametrize("path", PLANS, ids=lambda path: path.stem)
def test_the_same_data_leave_every_byte(path):
    content = path.read_bytes()
    assert rewritten(content, tomllib.loads(content.decode())) == content


@pytest.mark.parametrize(
    ("change", "old", "new"),
    [
        (lambda data: data["rig"].update(name='Hall "2"'), 'name = "Barn" ', 'name = "Hall \\"2\\"" '),
        (lambda data: data["cable"][0].update(length_m=15.5), "length_m = 15 ", "length_m = 15.5 "),
        (lambda data: data["cable"][0].update(length_m=15.0), "", ""),
        (lambda data: data["cable"][1].update(spare=True), "= 5.0\n", "= 5.0\n  spare = true\n"),
        (lambda data: data["cable"][0].update(code="A9"), 'code = "A1"', 'code = "A9"'),
        (lambda data: data["cable"][1].pop("length_m"), "  length_m = 5.0\n", ""),
        (
            lambda data: data["cable_kind"]["lead"].update(ways=2),
            "[cable_kind.lead]\n",
            "[cable_kind.lead]\nways = 2\n",
        ),
        (lambda data: data["cable_kind"].pop("lead"), "# The ordinary one.\n[cable_kind.lead]\n\n", ""),
        (
            lambda data: data["cable_kind"].update({"two words": {"ways": 3}}),
            "ways = 1  # default\n",
            'ways = 1  # default\n\n[cable_kind."two words"]\nways = 3\n',
        ),
        (lambda data: data["box"][0]["settings"].update(Pad="on"), 'Pad = "off"', 'Pad = "on"'),
        (lambda data: data["box"][0]["settings"].pop("Pad"), ', Pad = "off" }', " }"),
        (lambda data: data["box"][1]["settings"].update(Pad="off"), 'Pad = "on"  ', 'Pad = "off"  '),
        (lambda data: data["box"][1]["settings"].update(Lock="x"), "always\n", 'always\nLock = "x"\n'),
        (lambda data: data["box"][1].pop("settings"), '[box.settings]\nPad = "on"     # always\n\n', ""),
        (
            lambda data: data["cable"].pop(0),
            '# the long one\n[[cable]]\ncode = "A1"\nkind = "hop"\nlength_m = 15     # measured\n\n',
            "",
        ),
        (
            lambda data: data["cable"].insert(1, {"code": "N", "kind": "lead", "length_m": 1.0}),
            "# measured\n",
            '# measured\n\n[[cable]]\ncode = "N"\nkind = "lead"\nlength_m = 1.0\n',
        ),
        (
            lambda data: data["cable"].insert(0, {"code": "N", "kind": "lead", "length_m": 1.0}),
            "# the long one\n",
            '[[cable]]\ncode = "N"\nkind = "lead"\nlength_m = 1.0\n\n# the long one\n',
        ),
        (lambda data: data["cable"].reverse(), "", ""),
        (lambda data: data["diagnose"]["prior"].update(cable=0.5), "cable = 0.02", "cable = 0.5"),
        (lambda data: data.pop("diagnose"), "[diagnose]\nprior.cable = 0.02\n", ""),
        (lambda data: data.update(use=["a.toml"]), "format = 1\n", 'format = 1\nuse = ["a.toml"]\n'),
        (
            lambda data: data.update(input=[{"number": 1, "name": "Kick"}]),
            "0.02\n",
            '0.02\n\n[[input]]\nnumber = 1\nname = "Kick"\n',
        ),
    ],
)
def test_a_change_touches_its_own_place_alone(change, old, new):
    assert old == "" or TEXT.count(old) == 1
    written, data = changed(change)
    assert written == (TEXT.replace(old, new) if old else TEXT)
    assert keyed(tomllib.loads(written)) == keyed(data)


def test_line_ends_and_mark_stay():
    text = "\ufeff" + TEXT.replace("\n", "\r\n")
    data = tomllib.loads(TEXT)
    data["cable"].append({"code": "N", "kind": "lead", "length_m": 1.0})
    data["rig"]["version"] = 2
    written = rewritten(text.encode(), data).decode()
    assert written.startswith("\ufeff# The head") and "\n" not in written.replace("\r\n", "")
    assert keyed(tomllib.loads(written.removeprefix("\ufeff"))) == keyed(data)


@pytest.mark.parametrize(
    "text",
    [
        '[rig]\nname = "A"\nowner = "B"',
        'rig = { name = "A", owner = "B" }\nsource = [ { code = "S1" }, { code = "S2" } ]',
        'rig.name = "A"\nrig.owner = "B"\nbox_kind.a.inputs = 2\nbox_kind.b = {inputs=1, outputs=1}',
        '[rig]\nname = "A"\nowner = "B"\n[[source]]\ncode = "S1"\n[[box]]\ncode = "X"\n[[source]]\ncode = "S2"\n# end',
    ],
)
def test_however_the_file_is_written_the_data_are_right(text):
    def change(data):
        data["rig"].update(version=3)
        data["rig"].pop("owner")
        data["source"] = [{"code": "S0"}, {"code": "S2", "kind": "DI"}, {"code": "S3"}]
        data["box_kind"] = {"b": {"inputs": 1}, "c": {"outputs": 4}}

    written, data = changed(change, text)
    assert keyed(tomllib.loads(written)) == keyed(data)


@pytest.mark.parametrize("seed", range(12))
def test_whatever_is_changed_the_data_are_right_and_comments_of_the_rest_stay(seed):
    chance = random.Random(seed)
    text = (PLANS[0].parent / "demo.toml").read_text()
    data = tomllib.loads(text)
    kept = copy.deepcopy(data)
    for _ in range(chance.randint(1, 12)):
        _change(chance, data)
    written = rewritten(text.encode(), data).decode()
    assert keyed(tomllib.loads(written)) == keyed(data)
    lost = [line for line in text.split("\n") if line.startswith("# --- ") and line not in written]
    assert not lost and keyed(kept) == keyed(tomllib.loads(text))


def _change(chance, data):
    table = chance.choice([name for name in LISTS if data.get(name)])
    entries = data[table]
    place = chance.randrange(len(entries))
    match chance.randrange(5):
        case 0:
            entries.pop(place)
        case 1:
            entries.insert(place, {**entries[place], "name": "new", "code": f"N{chance.random()}", "number": place})
        case 2:
            entries[place]["note"] = chance.choice(["a \\ b", 'say "x"', "two\nlines", "=1+1"])
        case 3:
            entries[place].pop(chance.choice(list(entries[place])[1:] or ["x"]), None)
        case 4:
            kinds = data.setdefault(chance.choice(KINDS), {})
            kinds[chance.choice(["a", "b c", "d"])] = {"ways": place}
