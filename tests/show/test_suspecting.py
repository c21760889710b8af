"""Suspects from the journal and from a CSV: the document, the words, repairs, swaps and free ports."""

import io
from pathlib import Path

import pytest

from checkapp.diagnose.posterior import diagnose
from checkapp.rig.planfile import load_plan
from checkapp.show import suspecting
from checkapp.show.marking import Where, mark, repair
from checkapp.show.recording import UnknownShow
from checkapp.show.suspects_text import heading, next_words, percent, print_suspects, rows

DEMO = Path(__file__).parents[2] / "plans" / "demo.toml"


@pytest.fixture
def where(tmp_path):
    return Where(DEMO, "Night 1", "JD", tmp_path / "journal.db")


def found_in(where):
    return suspecting.suspects_of(DEMO, None, where.journal)


def chance(found, name):
    return next((one.probability for one in found.diagnosis.suspects if one.item.name == name), None)


def by_marks(tmp_path, text):
    (tmp_path / "marks.csv").write_text(f"line,verdict,symptom\n{text}")
    return suspecting.suspects_by_marks(DEMO, tmp_path / "marks.csv")


def test_with_nothing_marked_every_item_of_every_path_has_its_prior(tmp_path):
    found = suspecting.suspects_of(DEMO, None, tmp_path / "none.db")
    rig = load_plan(DEMO)
    on_paths = {item.name for line in rig.lines for item in rig.path(line.line)}
    told = suspecting.document(found)
    assert {one["item"] for one in told["suspects"]} == on_paths
    assert chance(found, "LD01") == pytest.approx(0.01, abs=1e-12)
    assert (told["none"], told["left_out"]) == (1.0, 0.0)
    assert heading(found) == "Quarry Nights, Ledge Stage: no line is marked faulty; nothing to blame"
    assert not (tmp_path / "none.db").exists()
    with pytest.raises(UnknownShow):
        suspecting.suspects_of(DEMO, "Night 9", tmp_path / "none.db")


def test_the_journal_and_a_file_with_the_same_marks_say_the_same(where, tmp_path):
    for line, symptom in (("in 17", "silent"), ("in 18", "silent"), ("in 19", "hum")):
        mark(where, line, "faulty", symptom=symptom)
    mark(where, "in 20", "ok")
    ours = suspecting.document(found_in(where))
    theirs = suspecting.document(
        by_marks(tmp_path, "in 17,faulty,silent\nin 18,faulty,silent\nin 19,faulty,hum\nin 20,ok,\n")
    )
    assert ours == theirs
    assert set(ours) == {"suspects", "none", "left_out", "next"}
    assert set(ours["suspects"][0]) == {"item", "kind", "probability"}
    assert {"test", "line", "swap", "minutes", "bits"} <= set(ours["next"][0])
    chances = [one["probability"] for one in ours["suspects"]]
    assert chances == sorted(chances, reverse=True)
    assert min(chances) >= suspecting.LEAST


def test_a_swap_is_a_test_and_the_old_cable_is_blamed_when_it_helped(where):
    mark(where, "in 1", "ok")
    mark(where, "in 33", "faulty", symptom="crackle")
    before = chance(found_in(where), "LD23")
    repair(where, "LD23", "swap", other="LD73")
    mark(where, "in 33", "ok")
    found = found_in(where)
    heard = [(one.verdict, [item.name for item in one.path if item.kind == "cable"]) for one in found.heard[-2:]]
    assert heard == [("faulty", ["LD23"]), ("ok", ["LD73"])]
    after = next(one for one in diagnose_all(found) if one.item.name == "LD23").probability
    assert after > before
    assert found.faulty == ()


def diagnose_all(found):
    """The suspects with those that are on no line any more."""
    from checkapp.diagnose.chances import chances_of

    paths = {line.line: found.rig.path(line.line) for line in found.rig.lines}
    paths |= {f"then {number}": one.path for number, one in enumerate(found.heard)}
    return diagnose(paths, found.heard, chances_of(found.rig.plan.diagnose)).suspects


def test_a_repair_in_place_takes_the_blame_away(where):
    mark(where, "in 33", "faulty", symptom="crackle")
    assert chance(found_in(where), "LD23") > 0.1
    repair(where, "LD23", "reseat")
    assert chance(found_in(where), "LD23") == pytest.approx(0.01, abs=1e-12)


def test_the_words_say_who_and_why_and_what_next(tmp_path, capsys):
    found = by_marks(tmp_path, "in 17,faulty,silent\nin 18,faulty,silent\nin 19,faulty,silent\nin 1,ok,\nin 20,ok,\n")
    assert heading(found) == "Quarry Nights, Ledge Stage: faulty are in 17 to 19"
    told = list(rows(found))
    assert told[0][0] in ("HP13", "HP14")
    assert "all 3 faulty lines run through it" in told[0][3]
    assert "ok through it" in told[0][3]
    assert all("faulty line" in row[3] for row in told)
    assert next_words(found)[0] == "next"
    print_suspects(found)
    said = capsys.readouterr().out
    assert "HP13" in said
    assert "nothing on these lines is to blame: under 1 %" in said
    assert max(map(len, io.StringIO(said))) < 200


def test_a_move_goes_to_a_port_that_is_free(tmp_path):
    found = by_marks(tmp_path, "in 33,faulty,silent\n")
    free = dict(suspecting._free(found.rig, "in 33"))
    used = {line.port for line in found.rig.lines}
    assert free
    assert not set(free) & used
    for port, path in free.items():
        assert port in [item.name for item in path]


@pytest.mark.parametrize(
    ("probability", "words"), [(0.713, "71 %"), (0.004, "under 1 %"), (0.999, "over 99 %"), (0.01, "1 %")]
)
def test_a_chance_in_words(probability, words):
    assert percent(probability) == words
