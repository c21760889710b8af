"""What to check first, as the command says it: the document, the words, and that nothing else changes."""

import math

import pytest

from checkapp.rig.codes import known_port
from checkapp.rig.planfile import load_plan
from checkapp.show import places, standing
from checkapp.show.checking_order import ORDERS, MinutesRefused, lines_in_order
from checkapp.show.first_lines import Asked
from checkapp.show.marking import Where, mark, repair

DEMO = places.shipped("plans") / "demo.toml"


@pytest.fixture
def where(tmp_path):
    return Where(DEMO, "Night 1", "JD", tmp_path / "journal.db")


@pytest.fixture
def checked(where):
    """Two lines of a box silent, eight others ok."""
    for line in ("in 17", "in 18"):
        mark(where, line, "faulty", symptom="silent")
    for number in range(1, 9):
        mark(where, f"in {number}", "ok")
    return where


def state(where, minutes=None, order="likely"):
    return standing.state_of(DEMO, None, where.journal, Asked(order, minutes))


def test_without_a_journal_every_line_is_as_new_and_none_is_made(where):
    found = state(where, 3)
    assert len(found.first.lines) == 10
    assert found.first.open == 60
    assert not where.journal.exists()
    assert standing.text_of(found)[0] == "Quarry Nights, Ledge Stage, no show yet: 0 ok, 0 faulty, 60 open"


def test_the_document_says_more_and_nothing_else(checked):
    plain = standing.document(standing.state_of(DEMO, None, checked.journal))
    more = standing.document(state(checked, 3))
    assert {key: more[key] for key in plain} == plain
    assert set(more) - set(plain) == {"order", "minutes", "first", "unfound", "unfound_before"}
    assert (more["order"], more["minutes"], len(more["first"])) == ("likely", 3, 10)
    assert all(set(one) == {"line", "probability"} for one in more["first"])


def test_the_likeliest_come_first_and_what_is_left_is_what_is_expected_of_the_others(checked):
    found, everything = state(checked, 3).first, dict(state(checked).first.lines)
    chances = [chance for _, chance in found.lines]
    assert chances == sorted(chances, reverse=True)
    assert chances[-1] >= max(chance for name, chance in everything.items() if name not in dict(found.lines)) - 1e-12
    assert {known_port(state(checked).rig.line(name).port).code for name, _ in found.lines[:6]} == {"STRINGS"}
    assert found.unfound_before == pytest.approx(math.fsum(everything.values()), abs=1e-12)
    assert found.unfound + math.fsum(chances) == pytest.approx(found.unfound_before, abs=1e-12)
    assert state(checked).first.unfound == 0.0
    assert len(everything) == 50


@pytest.mark.parametrize("order", ORDERS)
def test_every_order_leaves_the_marks_and_takes_the_open_lines_as_far_as_the_time_goes(checked, order):
    found = state(checked, 6, order)
    assert (found.count("ok"), found.count("faulty"), found.count(None)) == (8, 2, 50)
    ordered = lines_in_order(found.rig, order, found.marks, dict(state(checked).first.lines))
    assert [name for name, _ in found.first.lines] == [name for name in ordered if name not in found.marks][:20]


def test_the_words_fit_a_terminal_and_name_what_is_left(checked):
    lines = standing.text_of(state(checked, 1))
    assert lines[1].startswith("  faulty  in 17   Fiddle one")
    assert lines[3] == "  to check likeliest faulty first: 3 of 50 lines in 1 min"
    assert lines[4].startswith("  expected faulty lines left unfound: ")
    assert lines[5].startswith("       95 %  in 19   Cello, STRINGS in 3")
    assert len(lines) == 8
    everything = standing.text_of(state(checked, None, "walk"))
    assert everything[3] == "  to check by place, on a short walk: 50 lines"
    assert everything[4].startswith("  expected faulty lines left unfound: 0 of ")
    assert max(map(len, [*lines, *everything])) <= 80


def test_a_long_name_is_cut_at_the_edge_of_the_terminal(tmp_path):
    for name in ("small.toml", "kinds.toml"):
        text = (places.shipped("plans") / name).read_text()
        (tmp_path / name).write_text(text.replace('"Storyteller"', f'"{"A" * 90}"'))
    asked = Asked("list", 0.3)
    found = standing.state_of(tmp_path / "small.toml", None, tmp_path / "none.db", asked)
    assert standing.text_of(found)[-1].endswith("A...")
    assert len(standing.text_of(found)[-1]) == 80


def test_once_signed_off_it_tells_of_the_next_check(new_session, tmp_path, small_plan):
    session = new_session()
    session.open_rig(str(small_plan))
    session.start_check("Night 1", "", "2031-05-02", "JD")
    rig = load_plan(small_plan)
    for line in rig.lines:
        session.ok(line.line)
    asked = Asked("likely", 0.6)
    open_still = standing.state_of(small_plan, None, tmp_path / "journal.db", asked)
    assert standing.text_of(open_still)[-1] == "  no line is open"
    assert open_still.first.unfound_before == 0
    session.sign_off()
    cable = rig.lines[2].cable
    repair(Where(small_plan, "Night 1", "JD", tmp_path / "journal.db"), cable, "reseat")
    found = standing.state_of(small_plan, None, tmp_path / "journal.db", asked)
    assert found.count("ok") == len(rig.lines)
    assert found.first.lines[0][0] == rig.lines[2].line
    assert (
        standing.text_of(found)[1] == f"  the next check likeliest faulty first: 2 of {len(rig.lines)} lines in 0.6 min"
    )


@pytest.mark.parametrize("minutes", [0.0, -2.0, math.nan, math.inf])
def test_minutes_that_are_none_are_refused(where, minutes):
    with pytest.raises(MinutesRefused):
        state(where, minutes)


def test_without_minutes_and_order_nothing_is_asked():
    assert standing.asked_of(None, None) is None
    assert standing.asked_of(5.0, None) == Asked("likely", 5.0)
    assert standing.asked_of(None, "walk") == Asked("walk", None)
