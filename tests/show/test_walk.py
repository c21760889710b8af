import random

import pytest

from checkapp.journal.state import LineMark
from checkapp.show.cautions import PHANTOM
from checkapp.show.views import Coming
from checkapp.show.walk import Walk, facts_of, line_rows, status_of, walk_view


def walk(rig, line, **more):
    return Walk(rig, "Night 1", {}, line, **more)


def test_the_view_names_number_name_port_cable_zone_level_and_phantom(demo):
    line = next(line for line in demo.lines if line.line.startswith("in") and line.phantom)
    view = walk_view(walk(demo, line.line))
    assert view.number == str(line.number)
    assert view.name == line.name
    facts = facts_of(demo, line)
    assert view.say == f"{line.zone}, {line.port}"
    for word in (line.level, "phantom"):
        assert word in facts
    assert any(fact.startswith(line.cable) for fact in facts)
    assert view.caution == PHANTOM


def test_no_caution_without_phantom(demo):
    line = next(line for line in demo.lines if line.line.startswith("in") and not line.phantom)
    assert walk_view(walk(demo, line.line)).caution == ""


def test_the_run_goes_from_source_to_desk(demo):
    for line in demo.lines:
        run = walk_view(walk(demo, line.line)).run
        assert run[0].kind == "source"
        assert run[-1].kind == "desk"
        assert [item.name for item in run] == [item.name for item in demo.path(line.line)]


def test_the_next_two_lines_can_be_read_out(demo):
    names = [line.line for line in demo.lines]
    view = walk_view(walk(demo, names[0]))
    assert view.then == tuple(f"{demo.line(name).number}  {demo.line(name).name}" for name in names[1:3])
    assert walk_view(walk(demo, names[-2])).then == tuple(
        f"{n}" for n in ("out 12  " + demo.lines[-1].name, "1  Kick in")
    )
    marks = dict.fromkeys(names[1:-1], object())
    assert len(walk_view(Walk(demo, "Night 1", {}, names[0], only=None)).then) == 2
    assert tuple(Walk(demo, "Night 1", marks, names[0]).coming()) == (names[-1], names[0])


def test_what_is_coming_is_what_the_line_that_is_read_out_next_then_shows(demo):
    names = [line.line for line in demo.lines]
    for at, name in enumerate(names[:-2]):
        coming, after = walk_view(walk(demo, name)).coming, walk_view(walk(demo, names[at + 1]))
        message = f"{name} ok, saved"
        assert coming == Coming(after.run, after.facts, after.say, after.progress, after.then, message)
    marks = {name: LineMark(name, "ok", None, None, "line", None, None, "", "TA", name) for name in names}
    assert walk_view(Walk(demo, "Night 1", marks, names[0])).coming == Coming()


def test_outputs_are_called_out(demo):
    assert walk_view(walk(demo, "out 1")).number == "out 1"


def test_every_line_is_in_the_list(demo):
    assert len(line_rows(walk(demo, "in 1"))) == len(demo.lines) == 60


def test_in_another_order_it_goes_on_from_the_line_that_it_is_at_and_what_was_marked_stays(demo):
    names = [line.line for line in demo.lines]
    marks = dict.fromkeys(("in 1", "in 59", "in 5"), object())
    for order in (names[::-1], ["in 5", "in 9", "in 7"], []):
        turned = Walk(demo, "Night 1", marks, "in 9", order=tuple(order))
        assert sorted(turned.names) == sorted(names)
        assert turned.names[: len(order)] == tuple(order)
        assert set(turned.open) == set(names) - set(marks)
        assert turned.line == "in 9"
    assert Walk(demo, "Night 1", {}, "in 9", order=tuple(names[::-1])).next_open() == "in 8"
    assert Walk(demo, "Night 1", {}, "in 9", order=("in 5", "in 9", "in 7")).step(1) == "in 7"
    assert walk_view(Walk(demo, "Night 1", {}, "in 9", order=("in 9", "in 7", "in 2"))).then[1].startswith("2  ")
    assert [row.line for row in line_rows(walk(demo, "in 1", order=tuple(names[::-1])))] == names[::-1]


def test_an_order_of_another_plan_names_no_line_that_is_not_there(demo):
    assert Walk(demo, "Night 1", {}, "in 1", order=("in 900", "in 2")).names[:2] == ("in 2", "in 1")


def marked(line, chance, against=None):
    verdict = chance.choice(("ok", "faulty"))
    return LineMark(line, verdict, None, None, "line", None, "JD", "", "left", f"{line} {against is None}", against)


@pytest.mark.independent
@pytest.mark.parametrize("seed", range(5))
def test_each_line_is_counted_once_as_it_stands(demo, seed):
    chance = random.Random(seed)
    names = [line.line for line in demo.lines]
    marks = {name: marked(name, chance) for name in chance.sample([*names, "in 900", "out 77"], seed * 12)}
    for name in chance.sample(list(marks), len(marks) // 3):
        marks[name] = marked(name, chance, marks[name])
    unsaved = frozenset(mark.entry_id for mark in marks.values() if chance.random() < 0.2)
    for saved in (frozenset(), unsaved):
        at_work = Walk(demo, "Night 1", marks, "in 1", unsaved=saved)
        view = walk_view(at_work)
        stands = [status_of(marks.get(name), saved) for name in names]
        waiting = [name for name in names if name in marks and marks[name].entry_id in saved]
        assert (view.ok, view.faulty, view.open) == tuple(map(stands.count, ("ok", "faulty", "open")))
        assert view.waiting == len(waiting)
        assert view.waiting + view.disputed == stands.count("look")
        assert at_work.disputed == {n for n in names if n in marks and marks[n].against and n not in waiting}
        assert (view.marked + view.open, len(at_work.open)) == (len(names), view.open)
