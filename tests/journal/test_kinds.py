"""Details: what is drafted is read again, what is odd is passed over."""

import json
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from checkapp.journal import kinds
from checkapp.journal.entry import NO_ENTRY, Entry, detail_text

EMPTY = Entry("0" * 16, "left", 1, "", "", "", "Barn", "Night 1", None, "JD", None, NO_ENTRY)
READERS = (kinds.read_rig, kinds.read_show, kinds.read_check, kinds.read_mark, kinds.read_repair)


def entered(draft: kinds.Draft, **more: object) -> Entry:
    """The entry of a draft, with keys in its detail that this version does not know."""
    return replace(EMPTY, kind=draft.kind, subject=draft.subject, detail=detail_text({**draft.detail, **more}))


def test_a_rig_is_read_as_drafted() -> None:
    lines: Any = {"in 1": [("source in 1", "source"), ("XL01", "cable")], "out 1": []}
    draft = kinds.rig(digest="a" * 64, owner="SM", version=3, file="barn.toml", lines=lines)
    assert (draft.kind, draft.subject) == ("rig", None)
    used = kinds.read_rig(entered(draft, later="key"))
    assert used == kinds.RigUsed(
        "a" * 64, "SM", 3, "barn.toml", {"in 1": (("source in 1", "source"), ("XL01", "cable")), "out 1": ()}
    )
    assert draft.detail["lines"] == {"in 1": [["source in 1", "source"], ["XL01", "cable"]], "out 1": []}


def test_a_show_is_read_as_drafted() -> None:
    draft = kinds.show("Night 1", venue="Barn", date="2031-05-02")
    assert draft == ("show", None, {"name": "Night 1", "venue": "Barn", "date": "2031-05-02"})
    assert kinds.read_show(entered(draft, later=[1])) == kinds.ShowNamed("Night 1", "Barn", "2031-05-02")


def test_a_check_is_read_as_drafted() -> None:
    assert kinds.check_opened() == ("check", None, {"state": "opened"})
    assert kinds.read_check(entered(kinds.check_opened())) == kinds.CheckStep(False, (), ())
    draft = kinds.check_signed_off(iter(["a" * 16]), ["in 3", "out 1"])
    assert draft.detail == {"state": "signed off", "checks": ["a" * 16], "open": ["in 3", "out 1"]}
    assert kinds.read_check(entered(draft)) == kinds.CheckStep(True, ("a" * 16,), ("in 3", "out 1"))


def test_a_mark_is_read_as_drafted() -> None:
    draft = kinds.mark(
        "in 7", "faulty", plan="a" * 64, check="c" * 16, symptom="wrong line", note="swapped", scope="line and source"
    )
    assert (draft.kind, draft.subject) == ("mark", "in 7")
    assert set(draft.detail) == {"verdict", "symptom", "note", "scope", "plan", "check"}
    assert kinds.read_mark(entered(draft, later=None)) == kinds.Mark(
        "in 7", "faulty", "wrong line", "swapped", "line and source", "a" * 64, "c" * 16
    )


def test_a_repair_is_read_as_drafted() -> None:
    draft = kinds.repair("XL07", "swap", replacement="XL99", cleared=True)
    assert draft == ("repair", "XL07", {"action": "swap", "with": "XL99", "cleared": True})
    assert kinds.read_repair(entered(draft, later=1)) == kinds.Repair("XL07", "swap", "XL99", True)


def test_a_repair_says_more_only_when_there_is_more_to_say() -> None:
    path = [("source in 3", "source"), ("SB1 in 5", "port")]
    draft = kinds.repair(
        "SB1 in 3", "bypass", replacement="SB1 in 5", cleared=True, owner="TN", lines=("in 3",), path=path
    )
    assert draft.detail == {
        **{"action": "bypass", "with": "SB1 in 5", "cleared": True},
        **{"owner": "TN", "lines": ["in 3"], "path": [list(item) for item in path]},
    }
    assert kinds.read_repair(entered(draft)) == kinds.Repair(
        "SB1 in 3", "bypass", "SB1 in 5", True, "TN", ("in 3",), tuple(path)
    )
    odd = kinds.read_repair(entered(draft, owner=1, lines="in 3", path=[["SB1 in 5"]]))
    assert odd == kinds.Repair("SB1 in 3", "bypass", "SB1 in 5", True, None, (), ())


def test_a_void_names_what_it_undoes() -> None:
    assert kinds.void("b" * 16) == ("void", "b" * 16, {})


def test_a_detail_says_no_less_than_its_kind_must() -> None:
    mark = kinds.mark("in 7", "ok", plan="a" * 64, check="c" * 16)
    assert kinds.read_mark(entered(mark, verdict="perhaps")) is None
    assert kinds.read_mark(replace(entered(mark), subject=None)) is None
    assert kinds.read_check(entered(kinds.check_opened(), state=["opened"])) is None
    assert kinds.read_repair(entered(kinds.repair("X", "mend", cleared=True), action=1)) is None
    assert kinds.read_repair(entered(kinds.repair("X", "mend", cleared=True), cleared="yes")) == kinds.Repair(
        "X", "mend", None, False
    )
    assert all(read(replace(EMPTY, kind="mark", detail="[1]", subject="in 1")) is None for read in READERS)


@pytest.mark.parametrize("path", [5, "XL01", [["XL01"]], [["XL01", 1]], ["ab"], [["a", "b", "c"]]])
def test_a_path_that_cannot_be_read_is_left_out(path: object) -> None:
    draft = kinds.rig(digest="a" * 64, owner="SM", version=None, file=None, lines={})
    used = kinds.read_rig(entered(draft, lines={"in 1": path, "in 2": [["XL02", "cable"]]}))
    assert used is not None
    assert used.lines == {"in 2": (("XL02", "cable"),)}


def test_half_a_character_from_somewhere_else_can_be_shown() -> None:
    text = '{"verdict":"ok","note":"a\\ud800b"}'
    mark = kinds.read_mark(replace(EMPTY, kind="mark", subject="in 1", detail=text))
    assert mark is not None
    assert mark.note == "a?b"


keys = st.sampled_from(
    [
        *("verdict", "symptom", "note", "scope", "plan", "check", "state", "checks", "open"),
        *("action", "with", "cleared", "name", "venue", "date", "digest", "lines"),
    ]
)
json_values = st.recursive(
    st.none()
    | st.booleans()
    | st.integers()
    | st.floats()
    | st.text()
    | st.sampled_from(["ok", "opened", "signed off"]),
    lambda inner: st.lists(inner) | st.dictionaries(keys, inner),
    max_leaves=10,
)


@given(st.sampled_from(["rig", "show", "check", "mark", "repair", "void", "else"]), json_values)
def test_reading_never_falls_over_a_detail(kind: str, detail: object) -> None:
    entry = replace(EMPTY, kind=kind, subject="in 1", detail=json.dumps(detail))
    for read in READERS:
        found = read(entry)
        assert found is None or read.__name__ == f"read_{kind}"


def test_a_rig_entry_tells_whose_hired_gear_is_and_where_boxes_stand() -> None:
    plain = kinds.rig(digest="a" * 64, owner="SM", version=1, file=None, lines={})
    hired = plain._replace(detail={**plain.detail, "owners": {"XL09": "HX"}, "places": {"SB1": "Stage left"}})
    full = kinds.rig(
        digest="a" * 64,
        owner="SM",
        version=1,
        file=None,
        lines={},
        owners={"XL09": "HX"},
        places={"SB1": "Stage left"},
    )
    assert full == hired
    assert not {"owners", "places"} & plain.detail.keys()
    used, before = kinds.read_rig(entered(full)), kinds.read_rig(entered(plain, owners={"XL09": 3}, places=[]))
    assert used is not None
    assert (used.owners, used.places) == ({"XL09": "HX"}, {"SB1": "Stage left"})
    assert before is not None
    assert (before.owners, before.places) == ({}, {})
