"""The printed report read back: conclusions on the first page, all of it within the paper, few pages however much."""

from dataclasses import replace

import pypdfium2
import pytest

from checkapp.history.analysis import analysed
from checkapp.history.carried import carried
from checkapp.history.conclusions import conclusions, is_empty
from checkapp.history.lives import Life, Tally
from checkapp.history.printed import MOST_ROWS, printed
from checkapp.history.report_pdf import pdf_report
from checkapp.history.tables import tables
from checkapp.tongue import speaking

_A4 = (595.28, 841.89)  # ISO 216: 210 mm by 297 mm, in points


def read(content):
    return [" ".join(page.get_textpage().get_text_range().split()) for page in pypdfium2.PdfDocument(content)]


@pytest.fixture(scope="module")
def written(tour):
    return pdf_report(tour, "2031-05-01", "Spring tour")


@pytest.fixture(scope="module")
def pages(written):
    return read(written)


def test_conclusions_first(pages, tour):
    first = pages[0]
    for heading in ("Retire", "Test on the bench", "Gets worse", "Spares to carry", "Never confirmed", "Time"):
        assert heading in first
    worst = next(row for row in tour.items if row.advice == "retire")
    assert worst.life.item in first
    assert worst.reason in first
    assert f"{len(tour.tally.faults)} faults confirmed" in first
    assert f"{len(tour.tally.checks)} checks of 30 shows" in first


def test_spares_are_those_that_were_worked_out(pages, tour):
    told = [row for row in carried(tour) if row.count]
    assert told
    assert all(f"{row.kind} {row.count}" in pages[0] for row in told)


def test_spares_are_told_of_what_is_carried_and_after_enough_checks(tour):
    assert {row.kind for row in carried(tour)} == {"source", "cable", "hop", "box", "supply"}
    few = analysed(replace(tour.tally, checks=tour.tally.checks[:4]))
    ports = analysed(replace(tour.tally, lives=tuple(life for life in tour.tally.lives if life.kind == "port")))
    for history, words in ((few, "Not to be told after fewer than 5 checks."), (ports, "None are carried of")):
        spares = next(one for one in conclusions(history) if one.heading.startswith("Spares"))
        assert spares.lines[0].startswith(words)


def test_each_page_says_whose_it_is_when_and_which(pages):
    for number, page in enumerate(pages, 1):
        assert "Spring tour" in page
        assert "2031-05-01" in page
        assert f"page {number}/{len(pages)}" in page


def test_figures_then_tables_then_method(pages):
    text = " ".join(pages)
    order = ["Faults by kind", "The lives of", "How often the worst", "Faults in each show", "Items, worst first"]
    order += ["Spares for the next leg", "Checks, latest first", "Laplace test over"]
    places = [text.index(words) for words in order]
    assert places == sorted(places)
    assert all(source in pages[-1] for source in ("NIST/SEMATECH", "Technometrics 29", "Cox", "without a source"))


@pytest.mark.parametrize("which", ["tour", "huge", "nothing"])
def test_nothing_lies_outside_the_page(which, request):
    is_within_its_pages(pdf_report(request.getfixturevalue(which), "2031-05-01", "Tour"))


def is_within_its_pages(content):
    for page in pypdfium2.PdfDocument(content):
        assert page.get_size() == pytest.approx(_A4, abs=0.1)
        boxes = [one.get_bounds() for one in page.get_objects()]
        assert boxes
        assert min(box[0] for box in boxes) > 15
        assert min(box[1] for box in boxes) > 15
        assert max(box[2] for box in boxes) < _A4[0] - 15
        assert max(box[3] for box in boxes) < _A4[1] - 15


def test_in_german_all_of_it_is_german_and_whole(tour, nothing, english_left):
    with speaking("de"):
        content = pdf_report(tour, "2031-05-01", "Tour")
        (empty,) = read(pdf_report(nothing, "2031-05-01", "Tour"))
    is_within_its_pages(content)
    assert "Noch gibt es nichts zu sagen" in empty
    pages = pypdfium2.PdfDocument(content)
    said = "\n".join(page.get_textpage().get_text_range() for page in pages).partition("D. P. Gaver")[0].splitlines()
    own = ("Two chains", "Riser left", "swapped")  # what the log holds
    assert list(english_left(said, own)) == []
    assert not any("…" in line for line in said)
    text = " ".join(said)
    for words in ("geschrieben 01.05.2031", "Fehler bestätigt", "Nach einer Reparatur", "zu leise", "0,02", "Laplace"):
        assert words in text
    worst = next(row for row in tour.items if row.advice == "retire")
    assert "as often as its kind" in worst.reason  # of the same history, in English again


def test_an_empty_journal_is_one_page_that_says_so(nothing):
    pages = read(pdf_report(nothing, "2031-05-01", "Tour"))
    assert len(pages) == 1
    assert "nothing to tell yet" in pages[0]
    assert "journal import" in pages[0]


def test_items_that_were_in_no_check_are_as_good_as_none():
    history = analysed(Tally((Life("A.1", "cable", 0), Life("A.2", "box", 0))))
    assert is_empty(history)
    assert not is_empty(analysed(Tally((Life("A.1", "cable", 0, bench=True),))))


def test_however_much_there_is_it_stays_a_few_pages(huge):
    pages = read(pdf_report(huge, "2031-05-01", "Tour"))
    assert len(pages) <= 15
    assert "page 1/" in pages[0]
    assert "Time" in pages[0]
    items = printed(huge)[0]
    assert len(items.rows) == MOST_ROWS
    left = huge.items[MOST_ROWS:]
    faults, exposures = sum(len(row.life.faults) for row in left), sum(row.life.exposures for row in left)
    where = "in the workbook and the CSV files"
    assert (
        items.rest == f"And {len(left)} more rows {where}: together {faults} faults in {exposures} checks of an item."
    )
    assert items.rest in " ".join(pages)


def test_of_items_only_those_that_failed_or_ask_for_something_are_printed():
    lives = [Life(f"SM.XL{number:02}", "cable", 30, (4,) if number == 3 else ()) for number in range(30)]
    pulled = Life("SM.XL99", "cable", 30, pulled_at="2031-04-01T10:00:00.000Z")
    items = printed(analysed(Tally((*lives, pulled))))[0]
    assert sorted(row.cells[0] for row in items.rows) == ["SM.XL03", "SM.XL99"]
    assert items.rest.startswith("And 29 more rows in the workbook")
    assert items.rest.endswith("together 0 faults in 870 checks of an item.")
    (none, rest) = (printed(analysed(Tally(tuple(lives[10:]))))[0], "None here; 20 rows in the workbook")
    assert none.rows == ()
    assert none.rest.startswith(rest)


def test_more_than_are_named_stand_where_it_is_said(huge):
    """What the first page does not name is in the workbook and the CSV files, whose tables have all items."""
    first = next(one for one in conclusions(huge, 1) if one.lines[-1].startswith("And "))
    assert first.lines[-1].endswith("more, in the workbook and the CSV files.")
    items = next(table for table in tables(huge) if table.name == "Items")
    assert len(items.rows) == len(huge.items)


def test_no_page_begins_with_what_is_said_of_the_rows_left_out(tour):
    """With 79 faults, 38 of them again, the faults fill a page to its end."""
    made = (tour.tally.faults * 2)[:79]
    again = [replace(fault, again=number < 38) for number, fault in enumerate(made)]
    for page in read(pdf_report(analysed(replace(tour.tally, faults=tuple(again))), "2031-05-01", "Tour")):
        assert not page.split("Tables", 1)[-1].lstrip().startswith(("And ", "None."))


def test_the_first_page_holds_the_conclusions_however_long_the_names(tour):
    lives = tuple(
        replace(life, item=f"{'LONG' * 8}.{life.item}", faults=(1, 2, 3, 4), pulled_at="2031-04-01T10:00:00.000Z")
        for life in tour.tally.lives[:40]
    )
    pages = read(pdf_report(analysed(replace(tour.tally, lives=lives)), "2031-05-01", "T" * 200))
    assert "A fault stayed open" in pages[0]


def test_what_was_pulled_and_what_failed_again_is_listed(tour):
    parts = {part.heading: part for part in printed(tour)}
    pulled = [row.life.item for row in tour.items if row.life.pulled_at]
    assert [row.cells[0] for row in parts["Pulled and not yet back"].rows] == pulled
    again = [fault.item for fault in reversed(tour.tally.faults) if fault.again]
    assert [row.cells[1] for row in parts["Failed again after a repair, latest first"].rows] == again[:MOST_ROWS]


@pytest.mark.closed_form
@pytest.mark.parametrize(("late", "said"), [(True, True), (False, False)])
def test_a_kind_whose_faults_come_late_gets_worse(late, said, tour):
    """20 faults in the last 3 of 30 checks, or in the middle of each of 20 checks evenly."""
    checks = tour.tally.checks
    at = [checks[27 + number % 3 if late else round(1.5 * number)].at for number in range(20)]
    fault = tour.tally.faults[0]
    faults = tuple(replace(fault, kind="cable", at=moment) for moment in sorted(at))
    history = analysed(replace(tour.tally, faults=faults))
    worse = next(one for one in conclusions(history) if one.heading == "Gets worse")
    assert any(line.startswith("All of kind cable") for line in worse.lines) is said


def test_the_same_history_gives_the_same_bytes(written, tour):
    assert pdf_report(tour, "2031-05-01", "Spring tour") == written
