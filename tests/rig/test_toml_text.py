"""A plan's data as text: read again they are the same data, whatever stands in them."""

import tomllib
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from checkapp.rig.planfile import load_plan
from checkapp.rig.sheet import MOST_COLUMNS
from checkapp.rig.toml_text import data_of, document, literal

PLANS = sorted(path for path in (Path(__file__).parents[2] / "plans").glob("*.toml") if path.name != "kinds.toml")
TEXTS = st.text(st.characters(exclude_categories=("Cs",)), max_size=40)
NUMBERS = st.floats(allow_nan=False, allow_infinity=False) | st.integers(-(2**63), 2**63 - 1)
VALUES = TEXTS | st.booleans() | NUMBERS | st.lists(NUMBERS, max_size=3) | st.dictionaries(TEXTS, TEXTS, max_size=3)


@given(VALUES)
@settings(deadline=None)
def test_a_value_read_again_is_the_same(value):
    read = tomllib.loads(f"x = {literal(value)}")["x"]
    assert read == value and type(read) is type(value)


@given(st.text(st.sampled_from(' \t\n\r"\\\x01\x7fäz\u2028'), min_size=900, max_size=1300), st.integers(1, 6))
@settings(deadline=None, max_examples=30)
def test_a_long_text_goes_over_lines_that_a_plan_may_have(text, times):
    written = literal(text * times)
    assert tomllib.loads(f"x = {written}")["x"] == text * times
    assert max(map(len, written.split("\n"))) < MOST_COLUMNS


@pytest.mark.parametrize("path", PLANS, ids=lambda path: path.stem)
def test_the_data_of_a_plan_written_again_are_the_same_plan(path, tmp_path):
    plan = load_plan(path).plan
    data = data_of(plan)
    data.pop("use", None)
    again = load_plan(tmp_path / "again.toml", document(data).encode()).plan
    assert again.model_copy(update={"use": plan.use}) == plan
    assert {**data_of(again), "use": 0} == {**data, "use": 0}


def test_what_is_not_written_stays_unwritten():
    data = tomllib.loads(
        '[rig]\nname = "A"\nowner = "B"\n[cable_kind.lead]\n[[cable]]\ncode = "X"\nkind = "lead"\nlength_m = 5'
    )
    plan = load_plan(Path("a.toml"), document(data).encode()).plan
    assert data_of(plan) == {"format": 1, **data}
