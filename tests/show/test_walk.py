from checkapp.show.cautions import PHANTOM
from checkapp.show.walk import Walk, facts_of, line_rows, walk_view


def walk(rig, line, **more):
    return Walk(rig, "Night 1", {}, line, **more)


def test_the_view_names_number_name_port_cable_zone_level_and_phantom(demo):
    line = next(line for line in demo.lines if line.line.startswith("in") and line.phantom)
    view = walk_view(walk(demo, line.line))
    assert view.number == str(line.number)
    assert view.name == line.name
    facts = facts_of(demo, line)
    for word in (line.zone, line.port, line.level, "phantom"):
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
    assert walk_view(walk(demo, names[-1])).then == ()


def test_outputs_are_called_out(demo):
    assert walk_view(walk(demo, "out 1")).number == "out 1"


def test_every_line_is_in_the_list(demo):
    assert len(line_rows(walk(demo, "in 1"))) == len(demo.lines) == 60
