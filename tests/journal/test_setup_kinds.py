"""Details of set-up's entries: what is drafted is read again, what is odd is passed over."""

import json
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from checkapp.journal import kinds, setup_kinds
from checkapp.journal.changes import read_change
from checkapp.journal.entry import NO_ENTRY, Entry, detail_text

EMPTY = Entry("0" * 16, "left", 1, "", "", "", "Barn", "Night 1", None, "JD", None, NO_ENTRY)
READERS: Any = (
    setup_kinds.read_placed,
    setup_kinds.read_connected,
    setup_kinds.read_swap,
    setup_kinds.read_move,
    setup_kinds.read_setting,
)


def entered(draft: kinds.Draft, **more: object) -> Entry:
    """The entry of a draft, with keys in its detail that this version does not know."""
    return replace(EMPTY, kind=draft.kind, subject=draft.subject, detail=detail_text({**draft.detail, **more}))


def test_placed_names_the_item() -> None:
    assert setup_kinds.placed("SB1") == ("placed", "SB1", {})
    assert setup_kinds.read_placed(entered(setup_kinds.placed("SB1"), later=1)) == "SB1"


def test_a_connection_is_read_as_drafted() -> None:
    draft = setup_kinds.connected("FN01 A", ("SB1 in 1", "SB1 in 2"), "right")
    assert draft == (
        *("connected", "FN01 A"),
        {"port": "SB1 in 1", "ports": ["SB1 in 1", "SB1 in 2"], "verdict": "right"},
    )
    assert setup_kinds.read_connected(entered(draft, later=1)) == setup_kinds.Connected(
        "FN01 A", ("SB1 in 1", "SB1 in 2"), "right"
    )
    with pytest.raises(ValueError, match="no port"):
        setup_kinds.connected("FN01 A", (), "right")


def test_a_connection_of_another_program_names_one_port() -> None:
    draft = kinds.Draft("connected", "HP01 A", {"port": "SB1 link in", "verdict": "wrong"})
    assert setup_kinds.read_connected(entered(draft)) == setup_kinds.Connected("HP01 A", ("SB1 link in",), "wrong")
    assert setup_kinds.read_connected(entered(draft, verdict="perhaps")) is None
    assert setup_kinds.read_connected(entered(draft, port=3)) is None


def test_a_swap_is_read_as_drafted() -> None:
    draft = setup_kinds.swap("SB1", "SB9", owner="TN", lines=("in 1", "in 2"))
    assert draft == ("swap", "SB1", {"new": "SB9", "owner": "TN", "lines": ["in 1", "in 2"]})
    assert setup_kinds.read_swap(entered(draft, later=1)) == setup_kinds.Swapped("SB1", "SB9", "TN", ("in 1", "in 2"))
    assert setup_kinds.read_swap(entered(setup_kinds.swap("A", "B"))) == setup_kinds.Swapped("A", "B", None, ())
    assert setup_kinds.read_swap(entered(draft, new=None)) is None


def test_a_move_is_read_as_drafted() -> None:
    path = [("source in 3", "source"), ("SB1 in 5", "port")]
    draft = setup_kinds.move("in 3", "SB1 in 3", "SB1 in 5", path)
    assert draft.detail == {"from": "SB1 in 3", "to": "SB1 in 5", "path": [list(item) for item in path]}
    assert setup_kinds.read_move(entered(draft, later=1)) == setup_kinds.Moved(
        "in 3", "SB1 in 3", "SB1 in 5", tuple(path)
    )
    assert setup_kinds.read_move(entered(draft, path=[1])) == setup_kinds.Moved("in 3", "SB1 in 3", "SB1 in 5", ())
    assert setup_kinds.read_move(entered(draft, to=None)) is None


def test_a_setting_is_a_note_that_others_can_read() -> None:
    draft = setup_kinds.set_on("SB1", "Clock", "in")
    assert draft == ("note", "SB1", {"text": "set: Clock, in", "setting": "Clock", "value": "in"})
    assert setup_kinds.read_setting(entered(draft, later=1)) == ("SB1", "Clock")
    assert setup_kinds.read_setting(entered(kinds.Draft("note", "SB1", {"text": "muddy"}))) is None


json_values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.text() | st.sampled_from(["right", "SB1 in 3", "XL07"]),
    lambda inner: (
        st.lists(inner)
        | st.dictionaries(
            st.sampled_from(
                ["port", "ports", "verdict", "new", "owner", "lines", "from", "to", "path", "setting", "value", "text"]
            ),
            inner,
        )
    ),
    max_leaves=10,
)


@given(st.sampled_from(["placed", "connected", "swap", "move", "note", "repair", "else"]), json_values)
def test_reading_never_falls_over_a_detail(kind: str, detail: object) -> None:
    entry = replace(EMPTY, kind=kind, subject="XL07", detail=json.dumps(detail))
    for read in READERS:
        found = read(entry)
        assert found is None or read.__name__ in (f"read_{kind}", "read_setting")
    assert read_change(entry) is None or kind in ("swap", "move", "repair")
    assert all(read(replace(entry, subject=None)) is None for read in READERS)
