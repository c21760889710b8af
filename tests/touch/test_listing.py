"""Lists as plain dicts."""

from dataclasses import replace

from checkapp.touch import listing
from checkapp.touch.widgets import notice, rows, tasks


def test_every_row_names_a_row_class_and_sets_only_what_that_has(views, window):
    check = views["summary"][1]
    rig = views["rig"][1]
    place = views["setup"][1].places[0]
    made = [
        listing.heading("Findings"),
        listing.words("A sentence."),
        listing.caution("Mind the gap."),
        *map(listing.key, views["picture"][1].keys),
        listing.choice("Night 1", "going on", "go on", lambda: None),
        *(listing.finding(found) for found in rig.findings),
        *listing.whole_check(check, None),
        listing.notice("ok", "Correct.", "Lead vocal", lambda: None),
        listing.place(place),
        listing.task(place.rows[0], True, lambda: None, lambda: None),
    ]
    kinds = {kind.__name__: kind for kind in (*rows.ROWS, *tasks.ROWS, notice.ListedNotice)}
    assert {row["kind"] for row in made} == set(kinds)
    for row in made:
        widget = kinds[row["kind"]]()
        assert all(widget.property(name, True) is not None for name in row if name != "kind"), row
        assert rows.height_for(row, 300.0) >= 16


def test_a_finding_has_shape_and_word(views):
    made = [listing.finding(found) for found in views["rig"][1].findings]
    assert [(row["status"], row["word"]) for row in made] == [("faulty", "stop"), ("look", "caution"), ("note", "note")]


def test_findings_bear_the_numbers_that_they_have_in_the_picture(views):
    made = listing.numbered(views["rig"][1].findings)
    assert [row["word"] for row in made] == ["1  stop", "2  caution", "3  note"]


def test_a_line_says_its_status_in_words_and_leads_to_itself(views):
    rows_shown, here = views["lines"][1].rows, views["lines"][1].here
    went = []
    made = [listing.line(row, went.append, here) for row in rows_shown]
    assert made[0]["said"] == "ok, JD"
    assert made[2]["said"] == "open"
    assert [row["number"] for row in made if row["here"]] == ["18"]
    made[4]["tapped"]()
    assert went == [rows_shown[4].line]


def test_a_check_that_is_read_leads_nowhere(views):
    made = listing.whole_check(views["past"][1], None)
    assert all(row["tapped"] is None for row in made if row["kind"] == "ListedLine")


def test_a_whole_check_lists_every_line_once_under_its_heading(views):
    check = views["summary"][1]
    made = listing.whole_check(check, None)
    assert [row["text"] for row in made if row["kind"] == "ListedHeading"] == [
        "Faulty: 30",
        "Open: 30",
        "Ok: 30",
    ]
    assert len([row for row in made if row["kind"] == "ListedLine"]) == 90
    none_faulty = replace(check, faulty=())
    assert listing.whole_check(none_faulty, None)[1]["text"] == "Open: 30"
