"""What speaks for and against a suspect, in words."""

from pathlib import Path

from checkapp.journal.heard import HeardMark
from checkapp.rig.planfile import load_plan
from checkapp.show.suspect_words import named, speaks_against, speaks_for

RIG = load_plan(Path(__file__).parents[2] / "plans" / "small.toml")
LINES = [line.line for line in RIG.lines]


def heard(**verdicts):
    """``in_1="ok"``, ``in_2="hum"``: a symptom or ``faulty`` for a faulty line."""
    told = []
    for name, said in verdicts.items():
        line = name.replace("_", " ")
        verdict, symptom = ("ok", None) if said == "ok" else ("faulty", None if said == "faulty" else said)
        told.append(HeardMark(line, tuple(tuple(item) for item in RIG.path(line)), verdict, symptom))
    return told


def box_of(line):
    return next(item.name for item in RIG.path(line) if item.kind == "box")


def test_all_faulty_lines_run_through_a_box():
    told = heard(in_1="silent", in_2="silent", in_3="silent")
    assert speaks_for(RIG, box_of("in 1"), told) == "all 3 faulty lines run through it: in 1 to 3, each silent"
    assert speaks_against(RIG, box_of("in 1"), told) == ""


def test_only_some_do_and_they_were_not_heard_alike():
    told = heard(in_1="silent", in_2="hum", in_3="ok", in_4="ok")
    source = RIG.path("in 1")[0].name
    assert speaks_for(RIG, source, told) == "1 of 2 faulty lines runs through it: in 1, silent"
    assert speaks_for(RIG, box_of("in 1"), told) == "all 2 faulty lines run through it: in 1 to 2"
    assert speaks_against(RIG, box_of("in 1"), told) == "in 3 to 4 are ok through it"


def test_one_faulty_line_without_a_symptom():
    told = heard(in_2="faulty", in_4="ok")
    box = box_of("in 2")
    assert speaks_for(RIG, box, told) == "the faulty line runs through it: in 2"
    assert speaks_against(RIG, box, told) == "in 4 is ok through it"


def test_an_item_of_which_nothing_was_heard():
    told = heard(in_1="ok")
    assert speaks_for(RIG, "nothing", told) == ""


def test_many_lines_here_and_there_are_told_by_how_many():
    assert named(RIG, ["in 1", "in 2"]) == "in 1 to 2"
    apart = LINES[::2]
    assert len(apart) > 3
    assert named(RIG, apart) == f"{len(apart)} lines from {apart[0]} on"
