"""What a terminal of 80 columns says of two plans."""

import pytest

from checkapp.rig.change import OtherCable, OtherPort, changed
from checkapp.rig.planfile import load_plan
from checkapp.show.comparing import compared
from checkapp.show.comparing_text import print_compared


@pytest.fixture
def said(monkeypatch, capsys):
    monkeypatch.setenv("COLUMNS", "80")

    def say(old, new):
        print_compared(compared(old, new))
        out = capsys.readouterr().out
        assert max(map(len, out.splitlines())) <= 80
        return "\n".join(line.rstrip() for line in out.splitlines())

    return say


@pytest.mark.snapshot
def test_a_cable_and_a_line(demo, said):
    text = said(demo, changed(demo, [OtherCable("LEFT", "HP21"), OtherPort("in 32", "RIGHT in 10")]))
    assert (
        text.split("\n\n", 2)[2]
        == """\
Boxes and hops
  what             was   becomes
  LEFT  hop cable  HP02  HP21

Plug lines, by box and port
  what                     was         becomes
  in 32 Bass guitar  port  RIGHT in 3  RIGHT in 10

Cables and sources: fetch, change, lay aside
  what         was  becomes
  HP02  spare  no   yes
  HP21  spare  yes  no

Check these 14 lines again, before the others
  lines                       why
  in 32 Bass guitar           RIGHT in 10, not RIGHT in 3
  in 37 to 45 and out 6 to 9  HP21, not HP02"""
    )


def test_nothing_has_changed(demo, said):
    assert "Nothing has changed" in said(demo, demo)


def test_one_line_alone(demo, said):
    assert "Check this line again, before the others" in said(demo, changed(demo, [OtherPort("in 32", "RIGHT in 10")]))


def test_nothing_to_check(demo, said):
    box = [one.model_copy(update={"place": "Quarry"}) for one in demo.plan.box]
    new = type(demo)(demo.plan.model_copy(update={"box": box}), demo.digest, demo.file)
    text = said(demo, new)
    assert text.endswith("No line has to be checked again: all run as before.")
    assert "place" in text


def test_a_line_that_is_in_the_way_comes_before_those_that_are_gone(demo, said):
    there = demo.line("in 32").port
    put = {"in 32": "RIGHT in 10", "in 36": there}
    inputs = [
        one.model_copy(update={"port": put.get(one.line, one.port)}) for one in demo.plan.input if one.number != 35
    ]
    text = said(demo, type(demo)(demo.plan.model_copy(update={"input": inputs}), demo.digest, demo.file))
    first, second = text.split("Unplug first\n")[1].splitlines()[1:3]
    assert first.split() == ["in", "32", "Bass", "guitar", "in", "the", "way", *there.split()]
    assert second.split()[:5] == ["in", "35", "Guitar", "vocal", "gone"]


def test_another_show_altogether_and_names_that_would_upset_a_terminal(demo, plans, said):
    small = load_plan(plans / "small.toml")
    odd = [one.model_copy(update={"name": "\x1b[31m[bold]Saw" + "x" * 90}) for one in small.plan.input]
    new = type(small)(small.plan.model_copy(update={"input": odd}), small.digest, small.file)
    text = said(demo, new)
    assert "\x1b" not in text
    assert "[bold]Saw" in text.replace("\n", "")
