import tomllib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from checkapp.rig.locate import Places

TEXT = '''# a comment with [brackets] and = signs
format = 1
use = [
  "a.toml", # ] not the end
  "b.toml" ]

[rig]
name = """two
lines "quoted" """"
owner = 'SM'
[box_kind."with space"]
inputs = 8
[cable_kind]
xlr = { ways = 1, note = [1,
2] }
[[box]]
code = "A"
[[box]]
code = "B" # = 3
settings."the switch" = "own"
[[box.inner]]
x = 1
[[box.inner]]
x = 2
[diagnose]
hear.cable = { silent = 0.35, "wrong line" = 0.02 }
'''


@pytest.mark.parametrize(
    ("path", "line"),
    [
        (("format",), 2),
        (("use", 0), 4),
        (("use", 1), 5),
        (("rig", "name"), 8),
        (("rig", "owner"), 10),
        (("box_kind", "with space"), 11),
        (("box_kind", "with space", "inputs"), 12),
        (("cable_kind", "xlr", "ways"), 14),
        (("cable_kind", "xlr", "note", 1), 15),
        (("box", 0), 16),
        (("box", 0, "code"), 17),
        (("box", 1, "code"), 19),
        (("box", 1, "settings", "the switch"), 20),
        (("box", 1, "inner", 0, "x"), 22),
        (("box", 1, "inner", 1, "x"), 24),
        (("diagnose", "hear", "cable", "wrong line"), 26),
        (("box", 1, "missing"), 18),
        (("nowhere",), 1),
    ],
)
def test_everything_is_found_on_its_line(path, line):
    assert tomllib.loads(TEXT)
    assert Places(TEXT).line(path) == line


VALUES = st.sampled_from(
    ['"a # b"', "'it # s'", "1", "[1,\n 2]", '"""x\n"y"\n"""', "{ a = 1 }", "true", "2031-05-02 10:00:00"]
)
KEYS = st.sampled_from(["a", "b-c", '"d e"', "'f.g'", "h"])


@given(st.lists(st.tuples(st.sampled_from(["one", "two"]), st.dictionaries(KEYS, VALUES, max_size=4)), max_size=8))
def test_every_key_of_generated_lists_of_tables_is_on_the_line_where_it_was_written(tables):
    rows, expected, counts = [], {}, {}
    for table, pairs in tables:
        index = counts.get(table, 0)
        counts[table] = index + 1
        rows.append(f"[[{table}]] # {table}")
        expected[table, index] = len("\n".join(rows).split("\n"))
        for key, value in pairs.items():
            rows.append(f"{key} = {value}")
            expected[table, index, key.strip("\"'")] = len("\n".join(rows).split("\n")) - value.count("\n")
    text = "\n".join(rows)
    assert tomllib.loads(text) is not None
    places = Places(text)
    assert {path: places.line(path) for path in expected} == expected
