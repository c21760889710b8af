"""The state of a show: what stands, whatever the order in which entries arrived."""

import random
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from checkapp.journal import kinds, setup_kinds, state, story
from checkapp.journal.entry import Entry
from checkapp.journal.journal import Journal

RIG, SHOW, PLAN = "Barn Stage", "Night 1", "a" * 64
ITEMS = ("XL01", "XL02", "SB1", "LK01", "chain A")
LINES: Any = {
    "in 1": [("source in 1", "source"), ("XL01", "cable"), ("SB1", "box"), ("LK01", "hop"), ("chain A", "chain")],
    "in 2": [("source in 2", "source"), ("XL02", "cable"), ("SB1", "box"), ("LK01", "hop"), ("chain A", "chain")],
    "in 3": [("source in 3", "source"), ("chain A", "chain")],
}


def stand(story: Any, key: str | None = None) -> state.ShowState:
    return state.show_state(story.entries, RIG, SHOW, key)


def verdicts(story: Any, key: str | None = None) -> dict[str, str]:
    return {line: mark.verdict for line, mark in stand(story, key).lines.items()}


class Crew:
    """A story in which a rig is in use and a check is open."""

    def __init__(self, story: Any) -> None:
        self.story = story
        story.tell(kinds.rig(digest=PLAN, owner="SM", version=1, file=None, lines=LINES))
        story.tell(kinds.show(SHOW, venue="Barn", date="2031-05-02"))
        self.check = story.tell(kinds.check_opened()).id

    def mark(self, line: str, verdict: Any = "ok", device: str = "left", **more: Any) -> Entry:
        check = more.pop("check", self.check)
        return self.story.tell(kinds.mark(line, verdict, plan=more.pop("plan", PLAN), check=check, **more), device)

    def repair(self, item: str, action: Any = "mend", cleared: bool = True) -> Entry:
        return self.story.tell(kinds.repair(item, action, cleared=cleared))

    def swap(self, old: str, new: str, **more: Any) -> Entry:
        return self.story.tell(setup_kinds.swap(old, new), **more)

    def void(self, entry: Entry, device: str = "left") -> Entry:
        return self.story.tell(kinds.void(entry.id), device)


@pytest.fixture
def crew(story: Any) -> Crew:
    return Crew(story)


def test_of_nothing_there_is_nothing(story: Any) -> None:
    nothing = stand(story)
    assert (nothing.check, nothing.lines, nothing.show, nothing.signed_off) == (None, {}, None, False)
    assert state.shows([]) == ()


def test_the_latest_mark_of_a_line_stands_with_all_that_it_says(crew: Crew) -> None:
    crew.mark("in 1")
    last = crew.mark("in 1", "faulty", "right", symptom="hum", note="near the dimmer", scope="line and source")
    now = stand(crew.story)
    assert now.lines == {
        "in 1": state.LineMark(
            "in 1", "faulty", "hum", "near the dimmer", "line and source", PLAN, "JD", last.at, "right", last.id
        )
    }
    assert [mark.verdict for mark in now.marks] == ["ok", "faulty"]
    assert now.show is not None
    assert (now.show.venue, now.show.date) == ("Barn", "2031-05-02")


def test_a_wrong_clock_does_not_scramble_the_story(crew: Crew) -> None:
    crew.story.tell(kinds.mark("in 1", "faulty", plan=PLAN, check=crew.check), "left", now_ms=2_000_000_000_000)
    crew.story.tell(kinds.mark("in 1", "ok", plan=PLAN, check=crew.check), "right", now_ms=5)
    assert verdicts(crew.story) == {"in 1": "ok"}


def test_a_void_takes_back_and_a_void_of_it_restores(crew: Crew) -> None:
    crew.mark("in 1")
    faulty = crew.mark("in 1", "faulty")
    first = crew.void(faulty)
    assert verdicts(crew.story) == {"in 1": "ok"}
    second = crew.void(first)
    assert verdicts(crew.story) == {"in 1": "faulty"}
    crew.void(second)
    assert verdicts(crew.story) == {"in 1": "ok"}


def test_a_repair_can_be_undone(crew: Crew) -> None:
    crew.mark("in 1", "faulty")
    crew.void(crew.repair("XL01"))
    assert verdicts(crew.story) == {"in 1": "faulty"}
    assert stand(crew.story).repairs == ()


def test_a_sign_off_can_be_undone(crew: Crew) -> None:
    crew.mark("in 1")
    end = crew.story.tell(kinds.check_signed_off([crew.check], []))
    assert stand(crew.story).signed_off
    crew.void(end)
    assert not stand(crew.story).signed_off
    assert verdicts(crew.story) == {"in 1": "ok"}


@pytest.mark.parametrize("action", ["reseat", "mend", "swap", "bypass"])
def test_a_cleared_repair_opens_the_faulty_lines_through_the_item_and_leaves_the_ok_ones(
    crew: Crew, action: str
) -> None:
    crew.mark("in 1", "faulty", symptom="silent")
    crew.mark("in 2")
    crew.mark("in 3", "faulty")
    crew.repair("SB1", action)
    now = stand(crew.story)
    assert verdicts(crew.story) == {"in 2": "ok", "in 3": "faulty"}
    assert {line: mark.symptom for line, mark in now.again.items()} == {"in 1": "silent"}
    assert [(repair.item, repair.action, repair.cleared) for repair in now.repairs] == [("SB1", action, True)]


def test_a_repaired_line_does_not_fall_back_to_an_older_ok(crew: Crew) -> None:
    crew.mark("in 1")
    crew.mark("in 1", "faulty")
    crew.repair("XL01")
    assert verdicts(crew.story) == {}
    crew.mark("in 1", "faulty")
    assert verdicts(crew.story) == {"in 1": "faulty"}
    crew.repair("XL01")
    crew.mark("in 1")
    assert verdicts(crew.story) == {"in 1": "ok"}


def test_a_repair_that_did_not_clear_or_lies_elsewhere_changes_nothing(crew: Crew) -> None:
    crew.repair("XL01")
    crew.mark("in 1", "faulty")
    crew.repair("XL01", cleared=False)
    crew.repair("XL02")
    crew.story.tell(kinds.repair("XL01", "mend", cleared=True), show="Night 2")
    crew.story.tell(kinds.repair("XL01", "mend", cleared=True), rig="Yard Stage")
    assert verdicts(crew.story) == {"in 1": "faulty"}


def test_the_path_is_that_of_the_plan_by_which_the_line_was_marked(crew: Crew) -> None:
    changed: Any = {"in 1": [("source in 1", "source"), ("XL55", "cable"), ("chain A", "chain")]}
    crew.story.tell(kinds.rig(digest="b" * 64, owner="SM", version=2, file=None, lines=changed))
    crew.mark("in 1", "faulty", plan=PLAN)
    crew.mark("in 2", "faulty", plan="not-known")
    crew.repair("XL55")
    crew.repair("XL02")
    assert verdicts(crew.story) == {"in 1": "faulty", "in 2": "faulty"}
    crew.repair("XL01")
    assert verdicts(crew.story) == {"in 2": "faulty"}


@pytest.mark.parametrize("verdict", ["ok", "faulty"])
@pytest.mark.parametrize("kind", ["swap", "repair"])
def test_after_a_swap_the_lines_through_it_are_to_be_marked_again(crew: Crew, verdict: Any, kind: str) -> None:
    crew.mark("in 1", verdict)
    crew.mark("in 2", verdict)
    if kind == "swap":
        crew.swap("XL01", "SP01")
    else:
        crew.story.tell(kinds.repair("XL01", "swap", cleared=True, replacement="SP01"))
    assert verdicts(crew.story) == {"in 2": verdict}
    assert {line: mark.verdict for line, mark in stand(crew.story).again.items()} == {"in 1": verdict}
    crew.mark("in 1")
    assert verdicts(crew.story) == {"in 1": "ok", "in 2": verdict}
    assert stand(crew.story).again == {}


def test_a_swap_of_a_box_opens_all_lines_through_it_and_a_move_its_line(crew: Crew) -> None:
    for line in LINES:
        crew.mark(line)
    crew.story.tell(setup_kinds.move("in 3", "desk in 3", "SB1 in 3", []))
    assert set(verdicts(crew.story)) == {"in 1", "in 2", "in 3"}, "in 3 has no port that it could leave"
    crew.swap("SB1", "SB9")
    assert set(verdicts(crew.story)) == {"in 3"}


def test_a_moved_line_is_to_be_marked_again(crew: Crew) -> None:
    lines: Any = {
        line: [(f"source {line}", "source"), (f"SB1 {line}", "port"), ("SB1", "box"), (f"desk {line}", "desk")]
        for line in ("in 1", "in 2")
    }
    crew.story.tell(kinds.rig(digest="b" * 64, owner="SM", version=2, file=None, lines=lines))
    crew.mark("in 1", "faulty", plan="b" * 64)
    crew.mark("in 2", plan="b" * 64)
    path = [*lines["in 1"][:1], ("SB1 in 5", "port"), *lines["in 1"][2:]]
    crew.story.tell(setup_kinds.move("in 1", "SB1 in 1", "SB1 in 5", path))
    assert verdicts(crew.story) == {"in 2": "ok"}
    crew.mark("in 1", plan="b" * 64)
    crew.story.tell(kinds.repair("SB1 in 5", "bypass", cleared=True, replacement="SB1 in 6", lines=["in 1"], path=path))
    assert verdicts(crew.story) == {"in 2": "ok"}


def test_swapped_back_or_undone_the_mark_speaks_again_of_what_the_line_runs_through(crew: Crew) -> None:
    crew.mark("in 1", "faulty")
    crew.mark("in 2")
    swap = crew.swap("LK01", "LK09")
    assert verdicts(crew.story) == {}
    crew.swap("LK09", "LK01")
    assert verdicts(crew.story) == {"in 1": "faulty", "in 2": "ok"}
    crew.swap("LK01", "LK08")
    assert verdicts(crew.story) == {}
    crew.void(crew.story.entries[-1])
    crew.void(swap)
    assert verdicts(crew.story) == {"in 1": "faulty", "in 2": "ok"}


def test_a_fault_that_a_swap_did_not_clear_stays_with_the_line_and_what_was_ok_is_open(crew: Crew) -> None:
    crew.mark("in 1", "faulty", symptom="silent")
    crew.mark("in 2")
    crew.story.tell(kinds.repair("LK01", "swap", cleared=False, replacement="LK09"))
    assert verdicts(crew.story) == {"in 1": "faulty"}
    crew.story.tell(kinds.repair("LK09", "swap", cleared=False, replacement="LK01"))
    assert verdicts(crew.story) == {"in 1": "faulty", "in 2": "ok"}
    crew.story.tell(kinds.repair("XL01", "swap", cleared=False, replacement="SP01"))
    crew.story.tell(kinds.repair("SP01", "mend", cleared=True))
    assert verdicts(crew.story) == {"in 2": "ok"}


def test_a_swap_speaks_for_the_lines_that_were_listened_to_and_taken_back_the_fault_is_still_there(crew: Crew) -> None:
    crew.mark("in 1", "faulty", symptom="silent")
    crew.mark("in 2", "faulty", symptom="silent")
    repair = kinds.repair("LK01", "swap", cleared=False, replacement="LK09")
    crew.story.tell(kinds.listened(repair, ["in 2"]))
    assert verdicts(crew.story) == {"in 2": "faulty"}
    crew.swap("LK09", "LK01")
    assert verdicts(crew.story) == {"in 1": "faulty", "in 2": "faulty"}


def test_an_old_mark_speaks_of_the_old_item_and_a_new_one_of_the_new(crew: Crew) -> None:
    """A repair counts for what a line ran through when it was marked, not for what the plan says or what runs now."""
    crew.swap("XL01", "SP01")
    crew.mark("in 1", "faulty")
    crew.repair("XL01")
    assert verdicts(crew.story) == {"in 1": "faulty"}
    crew.repair("SP01")
    assert verdicts(crew.story) == {}


def test_what_was_swapped_for_another_show_counts_while_the_check_is_open(crew: Crew) -> None:
    crew.mark("in 1")
    crew.swap("XL01", "SP01", show="Night 2")
    assert verdicts(crew.story) == {}


def test_what_was_swapped_after_the_sign_off_changes_nothing(crew: Crew) -> None:
    crew.mark("in 1", "faulty")
    crew.mark("in 2")
    crew.story.tell(kinds.check_signed_off([crew.check], ["in 3"]))
    crew.swap("SB1", "SB9")
    assert verdicts(crew.story) == {"in 1": "faulty", "in 2": "ok"}


def test_a_swap_is_seen_through_the_plan_by_which_the_line_was_marked(crew: Crew) -> None:
    later: Any = {"in 1": [("source in 1", "source"), ("SP01", "cable"), ("chain A", "chain")]}
    crew.swap("XL01", "SP01")
    crew.story.tell(kinds.rig(digest="b" * 64, owner="SM", version=2, file=None, lines=later))
    crew.mark("in 1", "ok", plan="b" * 64)
    crew.mark("in 2", "ok", plan="not-known")
    assert verdicts(crew.story) == {"in 1": "ok", "in 2": "ok"}
    crew.swap("XL02", "SP02")
    assert verdicts(crew.story) == {"in 1": "ok", "in 2": "ok"}, (
        "what a line ran through by an unknown plan is not known"
    )
    crew.swap("SP01", "SP03")
    assert verdicts(crew.story) == {"in 2": "ok"}


def test_without_an_open_check_the_one_signed_off_last_stands(crew: Crew) -> None:
    crew.mark("in 1", "faulty")
    crew.story.tell(kinds.check_signed_off([crew.check], ["in 2", "in 3"]))
    now = stand(crew.story)
    assert now.signed_off
    assert now.check is not None
    assert now.check.left_open == ("in 2", "in 3")
    assert verdicts(crew.story) == {"in 1": "faulty"}


def test_a_new_check_begins_with_no_marks_and_the_old_one_stays_readable(crew: Crew) -> None:
    crew.mark("in 1", "faulty")
    crew.story.tell(kinds.check_signed_off([crew.check], []))
    second = crew.story.tell(kinds.check_opened()).id
    assert verdicts(crew.story) == {}
    crew.mark("in 2", check=second)
    crew.repair("SB1")
    assert verdicts(crew.story) == {"in 2": "ok"}
    assert verdicts(crew.story, crew.check) == {"in 1": "faulty"}
    assert [check.key for check in stand(crew.story).checks] == [crew.check, second]
    with pytest.raises(KeyError):
        stand(crew.story, "no-such-check-000")


def test_two_tablets_that_each_opened_a_check_see_each_others_marks(crew: Crew) -> None:
    other = crew.story.tell(kinds.check_opened(), "right").id
    crew.mark("in 1", "faulty")
    crew.mark("in 1", "ok", "right", check=other)
    crew.mark("in 2", "ok", "right", check=other)
    now = stand(crew.story)
    assert {line: mark.device for line, mark in now.lines.items()} == {"in 1": "right", "in 2": "right"}
    assert now.check is not None
    assert now.check.ids == (crew.check, other)


def test_undo_takes_this_devices_latest_mark_of_the_open_check(crew: Crew) -> None:
    first = crew.mark("in 1")
    second = crew.mark("in 2", "faulty")
    crew.mark("in 3", "ok", "right")
    target = state.undo_target(stand(crew.story), "left")
    assert target is not None
    assert target.entry_id == second.id
    crew.void(second)
    target = state.undo_target(stand(crew.story), "left")
    assert target is not None
    assert target.entry_id == first.id
    crew.void(first)
    assert state.undo_target(stand(crew.story), "left") is None
    assert state.undo_target(stand(crew.story), "right") is not None
    crew.story.tell(kinds.check_signed_off([crew.check], []))
    assert state.undo_target(stand(crew.story), "right") is None


def test_shows_are_known_by_rig_and_name_and_the_last_made_is_last(story: Any) -> None:
    story.tell(kinds.show("Night 1", venue="Barn", date="2031-05-02"))
    story.tell(kinds.show("Night 2", venue="Yard", date="2031-05-03"), show="Night 2")
    story.tell(kinds.show("Night 1", venue="Hall"), rig="Yard Stage")
    story.tell(kinds.show("Night 1", venue="Big Barn", date="2031-05-02"))
    story.tell(kinds.check_opened(), show="Night 0")
    gone = story.tell(kinds.show("Night 9"), show="Night 9")
    story.tell(kinds.void(gone.id), show="Night 9")
    found = state.shows(story.entries, RIG)
    assert [(show.name, show.venue, show.date) for show in found] == [
        ("Night 1", "Big Barn", "2031-05-02"),
        ("Night 2", "Yard", "2031-05-03"),
        ("Night 0", None, None),
    ]
    assert len(state.shows(story.entries)) == 4


def test_rigs_are_known_by_digest(crew: Crew) -> None:
    crew.story.tell(kinds.rig(digest="b" * 64, owner="SM", version=2, file=None, lines={}))
    crew.story.tell(kinds.rig(digest="c" * 64, owner="SM", version=1, file=None, lines={}), rig="Yard Stage")
    assert list(story.rigs_used(crew.story.entries, RIG)) == [PLAN, "b" * 64]
    assert len(story.rigs_used(crew.story.entries)) == 3


def test_kinds_and_details_that_are_not_known_are_passed_over(crew: Crew) -> None:
    crew.mark("in 1")
    before = stand(crew.story)
    told = crew.story.entries[-1]
    for number, (kind, detail) in enumerate(
        [("placed", "{}"), ("mark", "[]"), ("mark", None), ("check", '{"state":"paused"}'), ("repair", "{"), ("", "1")]
    ):
        odd = replace(
            told, id=f"odd-{number:013d}", seq=told.seq + 1, clock="ffffffffffff-0000", kind=kind, detail=detail
        )
        crew.story.entries.append(odd)
    assert stand(crew.story) == before


def test_it_reads_from_a_journal_what_it_needs(journal: Journal, crew: Crew) -> None:
    crew.mark("in 1", "faulty")
    crew.mark("in 2", "faulty")
    crew.repair("XL01")
    crew.mark("in 3")
    crew.swap("chain A", "chain B")
    crew.mark("in 1", "ok")
    crew.swap("XL01", "SP01", show="Night 2")
    for entry in crew.story.entries:
        journal.append(
            entry.kind,
            now_ms=1_900_000_000_000 + entry.seq,
            new_id=entry.id,
            rig=entry.rig,
            show=entry.show,
            subject=entry.subject,
            by=entry.by,
            detail=entry.details,
        )
    read = state.read_show_state(journal, RIG, SHOW)
    assert read == state.show_state(journal.entries(), RIG, SHOW)
    assert list(read.lines) == ["in 2", "in 3"]
    assert list(read.again) == ["in 1"]


moves = st.lists(
    st.tuples(
        st.sampled_from(["mark", "mark", "mark", "mark", "void", "repair", "swap", "open", "sign"]),
        st.sampled_from(["left", "right", "third"]),
        st.integers(0, 10**6),
        st.integers(0, 10**6),
        st.booleans(),
    ),
    max_size=25,
)


def play(crew: Crew, played: list[tuple[str, str, int, int, bool]]) -> None:
    story, checks = crew.story, [crew.check]
    for move, device, one, other, yes in played:
        if move == "mark":
            check = (checks[one % len(checks)], "", "not-known-000000")[min(other % 8, 2) if other % 8 < 3 else 0]
            line = list(LINES)[one % len(LINES)]
            story.tell(kinds.mark(line, "ok" if yes else "faulty", plan=PLAN, check=check), device, now_ms=other)
        elif move == "void":
            story.tell(kinds.void(story.entries[one % len(story.entries)].id), device, now_ms=other)
        elif move == "repair":
            story.tell(kinds.repair(ITEMS[one % len(ITEMS)], "mend", cleared=yes), device, now_ms=other)
        elif move == "swap":
            old, new = (("XL01", "SP01"), ("SP01", "XL01"), ("SB1", "SB9"), ("LK01", "SP01"))[one % 4]
            draft = kinds.repair(old, "swap", cleared=other % 2 == 0, replacement=new)
            story.tell(setup_kinds.swap(old, new) if yes else draft, device, now_ms=other)
        elif move == "open":
            checks.append(story.tell(kinds.check_opened(), device).id)
        else:
            named = [check for number, check in enumerate(checks) if other >> number & 1]
            story.tell(kinds.check_signed_off(named, []), device)


@given(moves, st.randoms(use_true_random=False))
@settings(deadline=None)
def test_the_order_of_arrival_does_not_matter(new_story: Any, played: Any, chance: random.Random) -> None:
    crew = Crew(new_story())
    play(crew, played)
    arrived = [*crew.story.entries, *chance.sample(crew.story.entries, len(crew.story.entries) // 2)]
    chance.shuffle(arrived)
    now = state.show_state(arrived, RIG, SHOW)
    assert now == stand(crew.story)
    for check in now.checks:
        assert state.show_state(arrived, RIG, SHOW, check.key) == stand(crew.story, check.key)
    assert state.shows(arrived) == state.shows(crew.story.entries)


def by_definition(entries: list[Entry], check_ids: set[str]) -> dict[str, str]:
    """The open check's verdicts told a second way: line by line, asking of each mark whether it still counts."""

    def undone(entry: Entry) -> bool:
        return any(
            void.kind == "void" and void.subject == entry.id and void.order > entry.order and not undone(void)
            for void in entries
        )

    def repaired(mark: Entry) -> bool:
        path = {name for name, _ in LINES[mark.subject]}
        return any(
            entry.kind == "repair"
            and entry.details["cleared"]
            and entry.subject in path
            and entry.order > mark.order
            and not undone(entry)
            for entry in entries
        )

    found = {}
    for line in LINES:
        marks = [
            entry
            for entry in entries
            if entry.kind == "mark"
            and entry.subject == line
            and entry.details["check"] in check_ids
            and not undone(entry)
        ]
        if marks:
            last = max(marks, key=lambda entry: entry.order)
            if last.details["verdict"] == "ok" or not repaired(last):
                found[line] = str(last.details["verdict"])
    return found


@pytest.mark.independent
@given(moves)
@settings(deadline=None)
def test_it_says_what_the_definition_says(new_story: Any, played: Any) -> None:
    crew = Crew(new_story())
    play(
        crew,
        [
            move
            for move in played
            if move[0] not in ("open", "sign", "swap") and (move[0] != "mark" or move[3] % 8 == 0)
        ],
    )
    opening = next(entry for entry in crew.story.entries if entry.id == crew.check)
    voided = any(entry.subject == opening.id for entry in crew.story.entries)
    if not voided:
        assert verdicts(crew.story) == by_definition(crew.story.entries, {crew.check})


@given(st.lists(st.tuples(st.sampled_from(list(LINES)), st.booleans()), min_size=1, max_size=12))
@settings(deadline=None)
def test_undo_walks_back_the_way_it_came(new_story: Any, marks: list[tuple[str, bool]]) -> None:
    crew = Crew(new_story())
    seen = [stand(crew.story).lines]
    for line, ok in marks:
        crew.mark(line, "ok" if ok else "faulty")
        seen.append(stand(crew.story).lines)
    seen.pop()
    voids = []
    while (target := state.undo_target(stand(crew.story), "left")) is not None:
        voids.append(crew.story.tell(kinds.void(target.entry_id)))
        assert stand(crew.story).lines == seen.pop()
    assert seen == []
    everything = {line: "ok" if ok else "faulty" for line, ok in marks}
    for void in reversed(voids):
        crew.void(void)
    assert verdicts(crew.story) == everything
