"""Tests on the bench: what is logged and said."""

import json
import sqlite3

import pytest

from checkapp.rig.codes import Tag
from checkapp.rig.errors import UnknownCode
from checkapp.show.benching import Measured, NothingMeasured, OhmsRefused, UnknownItem, bench


@pytest.fixture
def journal(tmp_path):
    return tmp_path / "journal.db"


def logged(journal):
    with sqlite3.connect(journal) as opened:
        rows = opened.execute("select id, rig, subject, by, detail from entry where kind = 'bench'").fetchall()
    return [(id_, rig, subject, by, json.loads(detail)) for id_, rig, subject, by, detail in rows]


def test_a_measured_cable_is_compared_with_its_length_and_core(plans, journal):
    entry, words = bench("HP02", Measured(1.2, None), plans / "demo.toml", "JD", journal)
    assert words == "HP02: passed, 1.2 ohm; as its length and core give: 0.98 to 1.4 ohm at 20 C"
    assert logged(journal) == [(entry, "Quarry Nights, Ledge Stage", "HP02", "JD", {"ohms": 1.2, "pass": True})]


@pytest.mark.parametrize(
    ("ohms", "means"),
    [
        (2.4, "too high, 0.98 to 1.4 ohm at 20 C is right: corroded"),
        (0.3, "too low, 0.98 to 1.4 ohm at 20 C is right: "),
    ],
)
def test_what_it_means_when_it_is_not_as_it_should(plans, journal, ohms, means):
    _, words = bench("HP02", Measured(ohms, None), plans / "demo.toml", None, journal)
    assert words.startswith(f"HP02: failed, {ohms:g} ohm; {means}")
    assert logged(journal)[0][4]["pass"] is False


def test_the_verdict_of_who_tested_holds(plans, journal):
    _, words = bench("HP02", Measured(2.4, True), plans / "demo.toml", None, journal)
    assert words.startswith("HP02: passed, 2.4 ohm")
    _, words = bench("DI01", Measured(None, False), plans / "demo.toml", None, journal)
    assert words == "DI01: failed"


def test_without_a_plan_the_whole_tag_names_it(journal):
    entry, words = bench(Tag("TN", "HP22", "A").text, Measured(1.0, None), None, None, journal)
    assert words == "TN.HP22: passed, 1 ohm; what it should have is not known"
    assert logged(journal) == [(entry, None, "TN.HP22", None, {"ohms": 1.0, "pass": True})]


def test_what_cannot_be_logged_is_refused(plans, journal):
    plan = plans / "demo.toml"
    for measured, error in (
        (Measured(None, None), NothingMeasured),
        (Measured(-1.0, None), OhmsRefused),
        (Measured(float("nan"), None), OhmsRefused),
        (Measured(1.0, None, 900.0), OhmsRefused),
    ):
        with pytest.raises(error):
            list(bench("HP02", measured, plan, None, journal))
    with pytest.raises(UnknownCode):
        list(bench("NO99", Measured(1.0, None), plan, None, journal))
    with pytest.raises(UnknownItem):
        list(bench("HP02", Measured(1.0, None), None, None, journal))
    assert not journal.exists()
