"""What lines ran through at each moment, by the paths of the plan and the changes alone."""

from typing import Any

from checkapp.journal import kinds, setup_kinds
from checkapp.journal.changes import changes_of
from checkapp.journal.kinds import Path
from checkapp.journal.ran import Ran

RIG = "Barn Stage"
HEAD = (("MC1", "source"), ("XL07", "cable"))
TAIL = (("SB1", "box"), ("LK01", "hop"), ("chain A", "chain"))
LINES: dict[str, Path] = {
    "in 7": (*HEAD, ("SB1 in 3", "port"), *TAIL, ("desk in 7", "desk")),
    "in 8": (("source in 8", "source"), ("XL08", "cable"), ("SB1 in 4", "port"), *TAIL, ("desk in 8", "desk")),
    "out 1": (("load out 1", "source"), ("SB11 out 1", "port"), ("SB11", "box"), ("desk out 1", "desk")),
}


def ran(story: Any) -> Ran:
    return Ran(LINES, changes_of(story.entries, RIG))


def names(path: Path) -> list[str]:
    return [name for name, _ in path]


def test_before_during_and_after_a_swap(story: Any) -> None:
    before = story.tell(kinds.mark("in 7", "faulty", plan="a" * 64, check=""))
    swap = story.tell(setup_kinds.swap("XL07", "SP01", lines=["in 7"]))
    after = story.tell(kinds.mark("in 7", "ok", plan="a" * 64, check=""))
    lines = ran(story)
    assert [names(lines.path("in 7", entry.order))[1] for entry in (before, swap, after)] == ["XL07", "XL07", "SP01"]
    assert lines.path("in 7") == (HEAD[0], ("SP01", "cable"), *LINES["in 7"][2:])
    assert lines.path("in 8") == LINES["in 8"]
    ((change, was, now),) = lines.after("in 7", before.order)
    assert (change.entry_id, names(was)[1], names(now)[1]) == (swap.id, "XL07", "SP01")
    assert list(lines.after("in 7", after.order)) == []


def test_a_box_takes_its_ports_with_it_and_no_other_box(story: Any) -> None:
    story.tell(setup_kinds.swap("SB1", "SB9"))
    assert names(ran(story).path("in 8")) == ["source in 8", "XL08", "SB9 in 4", "SB9", "LK01", "chain A", "desk in 8"]
    assert ran(story).path("out 1") == LINES["out 1"]


def test_a_hop_stays_a_hop(story: Any) -> None:
    story.tell(setup_kinds.swap("LK01", "LK09"))
    assert ("LK09", "hop") in ran(story).path("in 7")
    assert ("LK09", "hop") in ran(story).path("in 8")


def test_a_move_keeps_source_and_cable_and_takes_the_rest_from_its_entry(story: Any) -> None:
    path = [("MC0", "source"), ("SB2 in 1", "port"), ("SB2", "box"), ("chain B", "chain"), ("desk in 7", "desk")]
    story.tell(setup_kinds.swap("XL07", "SP01"))
    story.tell(setup_kinds.move("in 7", "SB1 in 3", "SB2 in 1", path))
    assert names(ran(story).path("in 7")) == ["MC1", "SP01", "SB2 in 1", "SB2", "chain B", "desk in 7"]


def test_a_move_without_a_path_changes_the_port_alone(story: Any) -> None:
    story.tell(setup_kinds.move("in 7", "SB1 in 3", "SB1 in 5", []))
    assert ran(story).path("in 7") == (*HEAD, ("SB1 in 5", "port"), *LINES["in 7"][3:])


def test_a_move_told_by_what_another_tablet_had_swapped_runs_through_the_new(story: Any) -> None:
    path = [*HEAD, ("SB1 in 5", "port"), *TAIL, ("desk in 7", "desk")]
    story.tell(setup_kinds.swap("SB1", "SB9"), "left")
    story.tell(setup_kinds.swap("LK01", "LK09"), "left")
    story.tell(setup_kinds.move("in 7", "SB1 in 3", "SB1 in 5", path), "right")
    assert names(ran(story).path("in 7"))[2:5] == ["SB9 in 5", "SB9", "LK09"]


def test_what_does_not_fit_changes_nothing(story: Any) -> None:
    for draft in (
        setup_kinds.swap("XL99", "SP01"),
        setup_kinds.swap("XL07", "XL08"),
        setup_kinds.swap("XL07", "SP01", lines=["in 8"]),
        setup_kinds.move("in 9", "SB1 in 3", "SB1 in 5", []),
        setup_kinds.move("in 7", "SB1 in 7", "SB1 in 5", []),
        setup_kinds.move("in 7", "SB1 in 3", "SB1 in 4", []),
    ):
        story.tell(draft)
    lines = ran(story)
    assert {line: lines.path(line) for line in LINES} == LINES
    assert lines.path("in 99") == ()


def test_the_later_of_two_swaps_of_one_item_holds_and_so_does_that_of_two_moves(story: Any) -> None:
    story.tell(setup_kinds.swap("XL07", "SP01"), "left")
    story.tell(setup_kinds.swap("XL07", "SP02"), "right")
    story.tell(setup_kinds.move("in 7", "SB1 in 3", "SB1 in 5", []), "left")
    story.tell(setup_kinds.move("in 7", "SB1 in 3", "SB1 in 6", []), "right")
    assert names(ran(story).path("in 7"))[1:3] == ["SP02", "SB1 in 6"]
