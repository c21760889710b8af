"""Where a set-up stands: several tablets at once, in any order of arrival, all of it undoable."""

import random
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from checkapp.journal import kinds, setup_kinds
from checkapp.journal.entry import Entry
from checkapp.journal.journal import Journal
from checkapp.journal.setup_state import SETUP_KINDS, SetupState, read_setup_state, setup_state

RIG, SHOW = "Barn Stage", "Night 1"


def stand(story: Any) -> SetupState:
    return setup_state(story.entries, RIG, SHOW)


class Crew:
    """People who set up and tell what they do."""

    def __init__(self, story: Any) -> None:
        self.story = story

    def place(self, item: str, device: str = "left") -> Entry:
        return self.story.tell(setup_kinds.placed(item), device)

    def connect(self, end: str, *ports: str, verdict: Any = "right", device: str = "left") -> Entry:
        return self.story.tell(setup_kinds.connected(end, ports, verdict), device)

    def void(self, entry: Entry, device: str = "left") -> Entry:
        return self.story.tell(kinds.void(entry.id), device)


@pytest.fixture
def crew(story: Any) -> Crew:
    return Crew(story)


def found(story: Any) -> dict[str, dict[str, str]]:
    return {
        end: {port: made.verdict for port, made in by_port.items()}
        for end, by_port in stand(story).connected.items()
        if by_port
    }


def test_of_nothing_there_is_nothing(story: Any) -> None:
    assert stand(story) == SetupState()
    assert stand(story).undo_target("left") is None
    assert not stand(story).is_in("HP01 A", "SB1 link in")


def test_what_is_placed_and_set_is_known_with_who_and_when(crew: Crew) -> None:
    entry = crew.place("SB1", "right")
    setting = crew.story.tell(setup_kinds.set_on("SB1", "Clock", "in"))
    crew.story.tell(kinds.Draft("note", "SB1", {"text": "muddy"}))
    now = stand(crew.story)
    made = now.placed["SB1"]
    assert (made.by, made.at, made.device, made.entry_id, made.entry_ids) == (
        *("JD", entry.at, "right", entry.id),
        (entry.id,),
    )
    assert (now.settings["SB1"]["Clock"].verdict, now.settings["SB1"]["Clock"].entry_id) == ("in", setting.id)
    assert len(now.steps) == 2


def test_an_entry_speaks_for_all_its_ports_and_an_end_can_go_to_several_places(crew: Crew) -> None:
    crew.connect("FN01 A", "SB1 in 1", "SB1 in 2")
    crew.connect("FN01 A", "SB2 in 7", verdict="ticked")
    now = stand(crew.story)
    assert found(crew.story) == {"FN01 A": {"SB1 in 1": "right", "SB1 in 2": "right", "SB2 in 7": "ticked"}}
    assert all(now.is_in("FN01 A", port) for port in ("SB1 in 1", "SB1 in 2", "SB2 in 7"))
    assert not now.is_in("FN01 A", "SB1 in 3")


def test_a_later_wrong_takes_a_right_away_and_a_later_right_the_wrong(crew: Crew) -> None:
    crew.connect("HP01 B", "SB1 link in")
    wrong = crew.connect("HP01 B", "SB2", verdict="wrong", device="right")
    assert not stand(crew.story).is_in("HP01 B", "SB1 link in")
    assert stand(crew.story).connected["HP01 B"]["SB2"].entry_id == wrong.id
    crew.connect("HP01 B", "SB1 link in", device="right")
    assert found(crew.story) == {"HP01 B": {"SB1 link in": "right"}}
    crew.connect("HP01 B", "SB1 link in", verdict="wrong")
    assert not stand(crew.story).is_in("HP01 B", "SB1 link in")


def test_a_wrong_does_not_touch_other_ends(crew: Crew) -> None:
    crew.connect("HP01 A", "chain A")
    crew.connect("HP01 B", "SB2", verdict="wrong")
    assert stand(crew.story).is_in("HP01 A", "chain A")


def test_what_is_undone_never_was_and_comes_back_when_that_is_undone(crew: Crew) -> None:
    crew.connect("HP01 B", "SB1 link in")
    wrong = crew.connect("HP01 B", "SB2", verdict="wrong")
    undone = crew.void(wrong)
    assert stand(crew.story).is_in("HP01 B", "SB1 link in")
    crew.void(undone)
    assert not stand(crew.story).is_in("HP01 B", "SB1 link in")


def test_to_take_something_back_by_hand_all_its_entries_are_undone(crew: Crew) -> None:
    """Two tablets that did not see each other said the same, after the end had been found in a wrong place."""
    crew.connect("HP01 B", "SB2", verdict="wrong")
    crew.connect("HP01 B", "SB1 link in", device="left")
    crew.connect("HP01 B", "SB1 link in", device="right")
    crew.place("SB1", "left")
    crew.place("SB1", "right")
    now = stand(crew.story)
    assert now.connected["HP01 B"]["SB1 link in"].device == "right"
    for entry_id in (*now.connected["HP01 B"]["SB1 link in"].entry_ids, *now.placed["SB1"].entry_ids):
        crew.story.tell(kinds.void(entry_id))
    assert (found(crew.story), stand(crew.story).placed) == ({}, {})


def test_a_swap_of_a_cable_opens_both_its_ends_and_those_of_the_new_one(crew: Crew) -> None:
    crew.connect("XL07 A", "SB1 in 3")
    crew.connect("XL07 B", "MC1")
    crew.connect("XL70 A", "SB1 in 30")
    swap = crew.story.tell(setup_kinds.swap("XL07", "SP01"))
    assert found(crew.story) == {"XL70 A": {"SB1 in 30": "right"}}
    crew.connect("SP01 A", "SB1 in 3")
    crew.story.tell(setup_kinds.swap("SP01", "XL07"))
    assert found(crew.story) == {"XL70 A": {"SB1 in 30": "right"}}
    crew.void(swap)
    assert "XL07 B" not in found(crew.story), "the swap back was not undone"


def test_a_swap_that_is_undone_opens_nothing(crew: Crew) -> None:
    crew.connect("XL07 A", "SB1 in 3")
    crew.void(crew.story.tell(setup_kinds.swap("XL07", "SP01")))
    assert stand(crew.story).is_in("XL07 A", "SB1 in 3")


@pytest.mark.parametrize("repaired", [True, False])
def test_a_swap_of_a_box_opens_everything_at_it(crew: Crew, repaired: bool) -> None:
    crew.place("SB1")
    crew.place("SB2")
    crew.story.tell(setup_kinds.set_on("SB1", "Clock", "in"))
    crew.connect("HP01 B", "SB1 link in")
    crew.connect("XL07 A", "SB1 in 3")
    crew.connect("MU A", "SB1 in 5", "SB2 in 1")
    crew.connect("MU B", "SB1")
    crew.connect("XL08 A", "SB11 in 3")
    swap = kinds.repair("SB1", "swap", cleared=True, replacement="SB9") if repaired else setup_kinds.swap("SB1", "SB9")
    crew.story.tell(swap)
    now = stand(crew.story)
    assert (set(now.placed), now.settings) == ({"SB2"}, {})
    assert found(crew.story) == {"MU A": {"SB2 in 1": "right"}, "XL08 A": {"SB11 in 3": "right"}}


def test_a_move_opens_both_ports_and_leaves_the_far_end(crew: Crew) -> None:
    crew.connect("XL07 A", "SB1 in 3")
    crew.connect("XL07 B", "MC1")
    crew.connect("XL09 A", "SB1 in 5", verdict="wrong")
    crew.connect("XL10 A", "SB1 in 30")
    crew.story.tell(setup_kinds.move("in 7", "SB1 in 3", "SB1 in 5", []))
    assert found(crew.story) == {"XL07 B": {"MC1": "right"}, "XL10 A": {"SB1 in 30": "right"}}


def test_undo_takes_this_devices_latest_step_and_says_what_it_was(crew: Crew) -> None:
    crew.place("SB1")
    crew.connect("HP01 B", "SB1 link in")
    crew.connect("HP02 B", "SB2", verdict="wrong")
    crew.story.tell(setup_kinds.set_on("SB1", "Clock", "in"))
    crew.story.tell(setup_kinds.swap("XL07", "SP01"))
    crew.story.tell(setup_kinds.move("in 3", "SB1 in 3", "SB1 in 5", []))
    crew.place("SB2", "right")
    crew.story.tell(kinds.repair("XL08", "swap", cleared=True, replacement="SP02"))
    told = []
    while (step := stand(crew.story).undo_target("left")) is not None:
        told.append(step.words)
        crew.story.tell(kinds.void(step.entry_id))
    assert told == [
        "in 3 moved to SB1 in 5",
        "SP01 in for XL07",
        "SB1: Clock set",
        "HP02 B not in SB2",
        "HP01 B in SB1 link in",
        "SB1 placed",
    ]
    assert stand(crew.story).undo_target("right") is not None
    assert set(stand(crew.story).placed) == {"SB2"}


def test_other_shows_and_rigs_are_passed_over(crew: Crew) -> None:
    crew.story.tell(setup_kinds.placed("SB1"), show="Night 2")
    crew.story.tell(setup_kinds.placed("SB1"), rig="Yard Stage")
    assert stand(crew.story) == SetupState()


def test_it_reads_from_a_journal_what_it_needs(journal: Journal, crew: Crew) -> None:
    crew.place("SB1")
    crew.connect("XL07 A", "SB1 in 3")
    crew.connect("XL08 A", "SB1 in 4")
    crew.story.tell(setup_kinds.set_on("SB1", "Clock", "in"))
    crew.story.tell(setup_kinds.move("in 7", "SB1 in 3", "SB1 in 5", []))
    crew.story.tell(kinds.repair("XL08", "swap", cleared=True, replacement="SP01"))
    crew.void(crew.place("SB2"))
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
    read = read_setup_state(journal, RIG, SHOW)
    assert read == setup_state(journal.entries(), RIG, SHOW)
    assert (set(read.placed), set(read.settings)) == ({"SB1"}, {"SB1"})
    assert set(SETUP_KINDS) == {"placed", "connected", "swap", "move", "note", "repair", "void"}


ENDS = ("XL07 A", "FN01 A", "HP01 B")
PORTS = ("SB1 in 1", "SB1 in 2", "SB2 in 1", "SB1 link in", "SB2")
moves = st.lists(
    st.tuples(
        st.sampled_from(["place", "connect", "connect", "connect", "set", "swap", "move", "repair", "void"]),
        st.sampled_from(["left", "right", "third"]),
        st.integers(0, 10**6),
        st.integers(0, 10**6),
    ),
    max_size=25,
)


def play(crew: Crew, played: Any) -> None:
    story = crew.story
    for what, device, one, other in played:
        draft = {
            "place": setup_kinds.placed(("SB1", "SB2", "SB9")[one % 3]),
            "connect": setup_kinds.connected(
                ENDS[one % 3], PORTS[other % 5 :][: 1 + one % 2], ("right", "wrong", "ticked")[other % 3]
            ),
            "set": setup_kinds.set_on(("SB1", "SB9")[one % 2], "Clock", "in"),
            "swap": setup_kinds.swap(("SB1", "SB9", "XL07", "FN01")[one % 4], ("SB9", "SB1", "SP1", "SP2")[one % 4]),
            "move": setup_kinds.move("in 1", PORTS[one % 3], PORTS[(one + 1) % 3], []),
            "repair": kinds.repair("XL07", "swap", cleared=True, replacement="SP1"),
            "void": kinds.void(story.entries[one % len(story.entries)].id if story.entries else "none"),
        }[what]
        story.tell(draft, device, now_ms=other)


@given(moves, st.randoms(use_true_random=False))
@settings(deadline=None)
def test_the_order_of_arrival_does_not_matter(new_story: Any, played: Any, chance: random.Random) -> None:
    crew = Crew(new_story())
    play(crew, played)
    arrived = [*crew.story.entries, *chance.sample(crew.story.entries, len(crew.story.entries) // 2)]
    chance.shuffle(arrived)
    now = setup_state(arrived, RIG, SHOW)
    assert now == stand(crew.story)
    assert [list(by_port) for by_port in now.connected.values()] == [
        list(by_port) for by_port in stand(crew.story).connected.values()
    ]


def by_definition(entries: list[Entry]) -> set[tuple[str, str]]:
    """What is in, told a second way: the last word on the port is right, and none on the end is wrong since a right."""

    def undone(entry: Entry) -> bool:
        return any(
            void.kind == "void" and void.subject == entry.id and void.order > entry.order and not undone(void)
            for void in entries
        )

    def opened(entry: Entry, end: str, port: str) -> bool:
        """Whether a swap or a move opens that end or that port."""
        if entry.kind == "move":
            return port in (entry.details["from"], entry.details["to"])
        new = str(entry.details["new" if entry.kind == "swap" else "with"])
        cable, box = end.split(" ")[0], port.split(" ")[0]
        return any(name in (entry.subject, new) for name in (cable, box))

    standing = sorted((entry for entry in entries if not undone(entry)), key=lambda entry: entry.order)
    said = [entry for entry in standing if entry.kind == "connected"]
    opening = [entry for entry in standing if entry.kind in ("swap", "move", "repair")]
    found = set()
    for end in ENDS:
        for port in PORTS:
            right = [
                entry
                for entry in said
                if entry.subject == end and port in entry.details["ports"] and entry.details["verdict"] != "wrong"
            ]
            if not right or any(entry.order > right[-1].order and opened(entry, end, port) for entry in opening):
                continue
            since = max(entry.order for entry in said if entry.subject == end and entry.details["verdict"] != "wrong")
            wrong = [
                (entry, place)
                for entry in said
                if entry.subject == end and entry.details["verdict"] == "wrong"
                for place in entry.details["ports"]
                if not any(later.order > entry.order and opened(later, end, place) for later in opening)
            ]
            astray = any(entry.order > since for entry, _ in wrong)
            if not astray and not any(entry.order > right[-1].order and place == port for entry, place in wrong):
                found.add((end, port))
    return found


@pytest.mark.independent
@given(moves)
@settings(deadline=None)
def test_what_is_in_is_what_the_definition_says(new_story: Any, played: Any) -> None:
    crew = Crew(new_story())
    play(crew, played)
    now = stand(crew.story)
    assert {(end, port) for end in ENDS for port in PORTS if now.is_in(end, port)} == by_definition(crew.story.entries)


@given(moves)
@settings(deadline=None)
def test_undo_walks_back_the_way_it_came(new_story: Any, played: Any) -> None:
    crew = Crew(new_story())
    seen = [stand(crew.story)]
    for move in played:
        if move[0] not in ("void", "repair"):
            play(crew, [(move[0], "left", *move[2:])])
            seen.append(stand(crew.story))
    assert stand(crew.story) == seen.pop()
    while (step := stand(crew.story).undo_target("left")) is not None:
        crew.story.tell(kinds.void(step.entry_id))
        assert stand(crew.story) == seen.pop()
    assert seen == []
