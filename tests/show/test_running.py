"""The rig as it runs: swaps and moves made on a plan, on a later one, and by two tablets at once."""

from itertools import count

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from checkapp.journal.changes import changes_of
from checkapp.journal.clock import at_text, next_clock
from checkapp.journal.entry import NO_ENTRY, Entry, detail_text
from checkapp.journal.journal import Journal
from checkapp.journal.kinds import void
from checkapp.journal.ran import Ran
from checkapp.journal.setup_kinds import move, swap
from checkapp.rig.change import CannotChange
from checkapp.rig.codes import known_port
from checkapp.rig.errors import UnknownCode
from checkapp.rig.occupied import free_cables, free_ports, ports_used
from checkapp.rig.planfile import load_plan
from checkapp.rig.swapped import swapped
from checkapp.show.recording import Recorder
from checkapp.show.running import as_run, move_draft, swap_draft


class Log:
    """Entries of one rig, written one after the other by tablets that see each other's clock."""

    def __init__(self, rig):
        self.rig, self.entries = rig, []
        self._clock = next_clock("000000000000-0000", 1)

    def tell(self, draft, by="JD", device="left"):
        number = len(self.entries) + 1
        self._clock = next_clock(self._clock, number)
        entry = Entry(
            id=f"told-{number:012d}",
            device=device,
            seq=number,
            at=at_text(number),
            clock=self._clock,
            kind=draft.kind,
            rig=self.rig.name,
            show="Night 1",
            subject=draft.subject,
            by=by,
            detail=detail_text(draft.detail),
            previous=NO_ENTRY,
        )
        self.entries.append(entry)
        return entry

    def run(self, rig=None):
        return as_run(rig or self.rig, changes_of(self.entries, self.rig.name))

    def swap(self, old, new, owner=None, **more):
        return self.tell(swap_draft(self.run().rig, old, new, owner), **more)

    def move(self, line, port, **more):
        return self.tell(move_draft(self.run().rig, line, port), **more)


@pytest.fixture
def log(small_plan):
    return Log(load_plan(small_plan))


@pytest.fixture
def rewrite(small_plan, tmp_path):
    """The small plan with some of its text replaced: a later version of it."""
    (tmp_path / "kinds.toml").write_bytes(small_plan.with_name("kinds.toml").read_bytes())
    numbers = count(1)

    def write(*pairs):
        text = small_plan.read_text()
        for old, new in pairs:
            assert old in text
            text = text.replace(old, new)
        path = tmp_path / f"plan{next(numbers)}.toml"
        path.write_text(text)
        return load_plan(path)

    return write


def names(rig, line):
    return [item.name for item in rig.path(line)]


def cable_of(run, line):
    return run.rig.line(line).cable


def test_without_changes_the_rig_runs_as_planned(log):
    run = log.run()
    assert run.rig is run.planned is log.rig
    assert (run.made, run.left_out) == ((), ())


def test_a_swap_is_made_in_the_copy_and_the_plan_stays(log):
    log.swap("LD01", "LD09")
    run = log.run()
    assert names(run.rig, "in 1")[1] == "LD09"
    assert names(run.planned, "in 1")[1] == "LD01"
    assert run.rig.digest == log.rig.digest
    assert [change.what.new for change in run.made] == ["LD09"]
    assert run.left_out == ()


def test_swapped_back_it_runs_as_planned_and_so_it_does_when_the_swap_is_undone(log):
    log.swap("LD01", "LD09")
    log.swap("LD09", "LD01")
    assert log.run().rig.path("in 1") == log.rig.path("in 1")
    last = log.swap("LD01", "LD09")
    log.tell(void(last.id))
    assert log.run().rig.path("in 1") == log.rig.path("in 1")
    assert log.run().left_out == ()


def test_a_hired_box_brings_its_ports_and_moves_go_on_from_there(log):
    log.swap("STOVE", "SB9", "TN")
    log.move("in 1", "SB9 in 6")
    run = log.run()
    assert names(run.rig, "in 1")[2:4] == ["SB9 in 6", "SB9"]
    assert run.rig.owner_of("SB9") == "TN"
    assert run.left_out == ()
    assert run.resolve("sb9 in 2") == "SB9 in 2"
    assert run.resolve("tn.sb9.m") == "SB9"


def test_what_is_out_of_the_rig_can_still_be_named(log):
    log.swap("STOVE", "SB9")
    run = log.run()
    assert "STOVE" not in run.rig.items
    assert run.resolve("stove") == "STOVE"
    with pytest.raises(UnknownCode, match="SB9"):
        run.resolve("SB8")


def test_a_later_plan_that_has_the_swap_already_needs_no_words(log, rewrite):
    log.swap("LD01", "LD09")
    run = log.run(rewrite(('cable = "LD01"', 'cable = "LD09"')))
    assert (cable_of(run, "in 1"), run.made, run.left_out) == ("LD09", (), ())


def test_so_does_one_that_has_the_end_of_a_row_of_swaps_and_moves(log, rewrite):
    log.swap("LD01", "LD09")
    log.swap("LD09", "LX1", "TN")
    log.move("in 1", "STOVE in 6")
    log.swap("STOVE", "SB9", "TN")
    log.move("in 1", "SB9 in 7")
    run = log.run(
        rewrite(
            ('code = "LD01"', 'code = "LX1"\nowner = "TN"'),
            ('cable = "LD01"', 'cable = "LX1"'),
            ("STOVE in 1", "SB9 in 7"),
            ("STOVE", "SB9"),
        )
    )
    assert (run.made, run.left_out) == ((), ())


def test_a_later_plan_that_does_not_have_it_is_changed_in_the_same_way(log, rewrite):
    log.swap("LD01", "LD09")
    log.move("in 2", "STOVE in 6")
    run = log.run(rewrite(("version = 2", "version = 3"), ('name = "Fiddle"', 'name = "Viola"')))
    assert (cable_of(run, "in 1"), run.rig.line("in 2").port, run.left_out) == ("LD09", "STOVE in 6", ())


def test_a_cable_that_a_later_plan_has_in_another_place_stays_there(log, rewrite):
    """Mended and used for another line: the swap of long ago must not take it out there."""
    log.swap("LD01", "LD09")
    later = rewrite(('cable = "LD01"', 'cable = "LD0X"'), ('cable = "LD02"', 'cable = "LD01"'), ('"LD0X"', '"LD02"'))
    run = log.run(later)
    assert (cable_of(run, "in 1"), cable_of(run, "in 2")) == ("LD02", "LD01")
    assert run.left_out == ("LD09 in for LD01, JD: LD01 has another place in this plan",)


def test_what_a_later_plan_does_not_have_at_all_is_left_out_in_words(log, rewrite):
    log.swap("LD01", "LD09")
    log.move("in 6", "STOVE in 6")
    later = rewrite(("LD01", "LD41"), ('port = "STOVE in 8"', 'port = "STOVE in 7"'))
    assert log.run(later).left_out == (
        "LD09 in for LD01, JD: LD01 is not in use",
        "in 6 moved to STOVE in 6, JD: in 6 is on STOVE in 7 in this plan",
    )


def test_a_line_that_is_gone_cannot_move(log, rewrite):
    log.move("in 6", "STOVE in 6")
    run = log.run(rewrite(("number = 6", "number = 9")))
    assert run.left_out == ("in 6 moved to STOVE in 6, JD: there is no in 6",)


def test_of_two_tablets_that_swap_one_item_the_later_in_the_story_holds(log):
    planned = log.rig
    log.tell(swap_draft(planned, "LD01", "LD09"), "JD", "left")
    log.tell(swap_draft(planned, "LD01", "LX1", "TN"), "AB", "right")
    run = log.run()
    assert (cable_of(run, "in 1"), run.rig.cables["LD09"].spare) == ("LX1", False)
    assert run.left_out == ("LD09 in for LD01, JD: later LX1 in for LD01, AB, which holds",)
    log.entries.reverse()
    assert log.run().left_out == run.left_out


def test_of_two_tablets_that_move_one_line_the_later_in_the_story_holds(log):
    planned = log.rig
    log.tell(move_draft(planned, "in 1", "STOVE in 6"), "JD", "left")
    log.tell(move_draft(planned, "in 1", "STOVE in 7"), "AB", "right")
    assert log.run().rig.line("in 1").port == "STOVE in 7"
    assert log.run().left_out == ("in 1 moved to STOVE in 6, JD: later in 1 moved to STOVE in 7, AB, which holds",)


def test_the_same_told_by_two_tablets_is_made_once(log):
    planned = log.rig
    for device in ("left", "right"):
        log.tell(swap_draft(planned, "LD01", "LD09"), device=device)
        log.tell(move_draft(planned, "in 2", "STOVE in 6"), device=device)
    run = log.run()
    assert (len(run.made), run.left_out) == (2, ())


def test_one_spare_is_not_put_in_twice(log):
    planned = log.rig
    log.tell(swap_draft(planned, "LD01", "LD09"), "JD", "left")
    log.tell(swap_draft(planned, "LD02", "LD09"), "AB", "right")
    run = log.run()
    assert (cable_of(run, "in 1"), cable_of(run, "in 2")) == ("LD09", "LD02")
    assert run.left_out == ("LD09 in for LD02, AB: LD09 is in use: in 1",)


def test_a_move_on_a_box_that_another_tablet_swapped_goes_to_the_new_box(log):
    planned = log.rig
    log.tell(swap_draft(planned, "STOVE", "SB9"), device="left")
    log.tell(move_draft(planned, "in 1", "STOVE in 6"), device="right")
    assert (log.run().rig.line("in 1").port, log.run().left_out) == ("SB9 in 6", ())


def test_words_of_others_that_say_no_lines_and_no_path_are_taken_as_they_are(log):
    log.tell(swap("LD01", "LD09"))
    log.tell(move("in 2", "STOVE in 2", "STOVE in 6", []))
    run = log.run()
    assert (cable_of(run, "in 1"), run.rig.line("in 2").port) == ("LD09", "STOVE in 6")


def test_a_recorder_reads_the_rig_anew_only_when_something_was_changed(small_plan, tmp_path):
    with Journal.open(tmp_path / "journal.db", new_device="left", create=True) as journal:
        recorder = Recorder(journal, load_plan(small_plan))
        assert recorder.running() is recorder.rig
        entry = recorder.write(swap_draft(recorder.rig, "LD01", "LD09"), "Night 1", "JD")
        running = recorder.running()
        assert names(running, "in 1")[1] == "LD09"
        assert recorder.running() is running
        assert Recorder(journal, recorder.rig).running().path("in 1") == running.path("in 1")
        (told,) = journal.entries(kind="rig")
        assert told.details["lines"]["in 1"][1] == ["LD01", "cable"]
        recorder.write(void(entry.id), "Night 1", "JD")
        assert recorder.running().path("in 1") == recorder.rig.path("in 1")


steps = st.lists(
    st.tuples(st.sampled_from(["lead", "box", "source", "move", "sync"]), st.booleans(), st.integers(0, 10**6)),
    max_size=14,
)


def draft_of(what, rig, number, new):
    """A swap or a move that a crew could make on a rig as its tablet knows it; None: not this one."""
    if what == "move":
        line = rig.lines[number % len(rig.lines)]
        used, direction = ports_used(rig), known_port(line.port).direction
        ports = [port for box in rig.boxes.values() for port in free_ports(rig, box, direction, used)]
        return move_draft(rig, line.line, str(ports[number % len(ports)])) if ports else None
    if what == "lead":
        olds = sorted({line.cable for line in rig.lines if line.cable})
        spares = [cable.code for cable in free_cables(rig) if cable.kind == "lead"]
    elif what == "source":
        olds, spares = sorted({line.source for line in rig.lines if getattr(line, "source", None)}), []
    else:
        olds, spares = (
            sorted({item.name for line in rig.lines for item in rig.path(line.line) if item.kind == "box"}),
            [],
        )
    old = olds[number % len(olds)]
    code = spares[number % len(spares)] if spares and number % 2 else f"N{new}"
    swapped(rig, old, code)
    return swap_draft(rig, old, code)


def played(demo, told):
    """A log that two tablets wrote, each with what it knew of the other's at that time."""
    log, known = Log(demo), {True: [], False: []}
    for new, (what, left, number) in enumerate(told):
        if what == "sync":
            known[left] = list(log.entries)
            continue
        rig = as_run(demo, changes_of(known[left], demo.name)).rig
        try:
            draft = draft_of(what, rig, number, new)
        except CannotChange:
            continue
        if draft is not None:
            known[left].append(log.tell(draft, device="left" if left else "right"))
    return log


@given(steps, st.randoms(use_true_random=False))
@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_paths_by_the_journal_alone_are_those_of_the_rig_and_the_order_of_arrival_does_not_matter(
    demo, tmp_path, plan_text, told, chance
):
    """And the rig that comes out is one that a plan file may hold."""
    path = tmp_path / "plan.toml"
    log = played(demo, told)
    changes = changes_of(log.entries, demo.name)
    run = as_run(demo, changes)
    chance.shuffle(log.entries)
    assert changes_of(log.entries, demo.name) == changes
    ran = Ran({line.line: demo.path(line.line) for line in demo.lines}, changes)
    for line in run.rig.lines:
        assert ran.path(line.line) == run.rig.path(line.line)
    left = {"use": True, "box": {"__all__": {"settings"}}}
    data = run.rig.plan.model_dump(mode="json", by_alias=True, exclude_none=True, exclude_defaults=True, exclude=left)
    path.write_text(plan_text(data), encoding="utf-8")
    assert load_plan(path).plan.model_dump(exclude=left) == run.rig.plan.model_dump(exclude=left)


def test_the_property_above_sees_conflicts(demo):
    told = [("lead", True, 2), ("lead", False, 3), ("box", True, 0), ("move", False, 0), ("move", True, 1)] * 2
    run = played(demo, told).run()
    assert run.made
    assert run.left_out
