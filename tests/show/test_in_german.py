"""One show in English and in German: all that is read is in German, all that is written is the same."""

import re
from dataclasses import fields, is_dataclass

import pytest

from checkapp.rig.measures import use_units
from checkapp.show.history_views import Chosen
from checkapp.show.recording import open_journal
from checkapp.show.session import Session
from checkapp.tongue import use, words

DATA = {*words.STATUSES, *words.SYMPTOMS, *words.ITEM_KINDS, *words.ACTIONS, "move"}
"""Words that a screen says by `shown_word`."""


NAMES = re.compile(r"[0-9a-f]{24}")


def story(session, plan):
    """Everything that a tablet shows at a show with faults."""
    yield session.rigs()
    yield session.open_rig(str(plan))
    yield session.picture()
    rig = session.rig
    for item in [*list(rig.boxes)[:4], *list(rig.cables)[:3], *rig.supplies, *[f"chain {code}" for code in rig.chains]]:
        yield session.card(item)
    yield session.card("in 1")
    yield session.card("DESK")
    yield session.set_up("Night 1", "Barn", "2031-05-02", "JD")
    setup = session.setup
    for text in [*list(rig.boxes)[:2], f"{next(iter(rig.cables))} A", f"{next(iter(rig.cables))} B", "nothing"]:
        yield setup.scan(text)
    yield setup.undo()
    yield setup.mode("swap")
    yield setup.scan(next(iter(rig.cables)))
    yield setup.mode("move")
    yield setup.scan("in 1")
    yield setup.mode("check")
    first, second, third = (line.line for line in rig.lines[:3])
    yield session.start_check("Night 1", "Barn", "2031-05-02", "JD")
    yield session.ok(first)
    yield session.faulty(second, "silent", "")
    yield session.faulty(third, "wrong line", "")
    yield session.line_list()
    sheet = session.faults.view()
    yield sheet
    yield session.faults.begin(sheet.next)
    yield session.faults.give_up()
    item = next(row.works[0].item for row in sheet.suspects if row.works)
    yield session.faults.repair("swap", item)
    yield session.faults.untagged()
    yield session.faults.ok()
    yield session.faults.pulled(item)
    yield session.fault_list()
    yield session.walk_again()
    yield session.undo()
    yield session.reorder("likely", 10.0)
    yield session.summary()
    yield session.sign_off()
    yield session.rig_view()
    yield session.card(item)
    history = session.history.opened()
    yield history
    yield session.history.view(Chosen())
    yield session.history.life(history.rows[0].item)
    yield session.tablets.view()
    yield session.changeover.choices()


def strings(value):
    if isinstance(value, str):
        yield value
    elif is_dataclass(value):
        for field in fields(value):
            yield from strings(getattr(value, field.name))
    elif isinstance(value, tuple | list):
        for one in value:
            yield from strings(one)


def told(tmp_path, code, plan):
    """All that is read in a language, and what is written into the journal meanwhile."""
    use(code)
    path = tmp_path / f"{code}.db"
    session = Session(path, home=tmp_path / code)
    try:
        read = {text for view in story(session, plan) for text in strings(view)}
    finally:
        session.close()
    with open_journal(path, home=tmp_path / code) as journal:
        kept = [(one.kind, one.rig, one.show, one.subject, one.by, one.detail) for one in journal.entries()]
    return read, [NAMES.sub("", repr(row)) for row in kept]


@pytest.fixture(scope="module")
def both_told(tmp_path_factory, plans):
    folder = tmp_path_factory.mktemp("languages")
    said = {code: told(folder, code, plans / "demo.toml") for code in ("en", "de")}
    use("en")
    return said


def test_all_that_is_read_is_in_german(both_told, plans, texts_of, english_left):
    read, _ = both_told["de"]
    left = english_left(read - DATA, texts_of(plans / "demo.toml"))
    assert [text for text in left if "Quarry Nights" not in text] == []


def test_what_is_written_is_the_same_in_every_language(both_told):
    assert len(both_told["en"][1]) > 10
    assert both_told["en"][1] == both_told["de"][1]


def test_english_has_no_german(both_told):
    assert sorted(text for text in both_told["en"][0] if re.search(r"\b(und|der|die|das|ist|nicht|ohne)\b", text)) == []


def test_lengths_and_cross_sections_are_in_the_units_that_were_chosen(tmp_path, plans):
    use_units("ft", "awg")
    try:
        read, written = told(tmp_path, "en", plans / "demo.toml")
    finally:
        use_units()
    assert sorted(text for text in read if re.search(r"[0-9] (m|mm2)\b", text)) == []
    assert any(re.search(r"[0-9] ft\b", text) for text in read)
    assert any(re.search(r"[0-9] AWG\b", text) for text in read)
    assert len(written) > 10
