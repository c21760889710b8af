"""Reports into files: a line of words for each, refused with words, whole or not at all."""

import csv
import re

import openpyxl
import pypdfium2
import pytest

from checkapp.history.analysis import analysed
from checkapp.history.lives import Life, Tally
from checkapp.rig.errors import CheckappError
from checkapp.rig.writing import FileNotWritten
from checkapp.show.history_reporting import ReportNameWrong, write_reports
from checkapp.tongue import tr


@pytest.fixture(scope="module")
def history():
    return analysed(Tally((Life("SM.XL01", "cable", 30, (3, 9, 12)), Life("SM.XL02", "cable", 30))))


def written(history, pdf=None, xlsx=None, csv_dir=None, **more):
    out = {"pdf": pdf, "xlsx": xlsx, "csv_dir": csv_dir}
    return write_reports(history, **out, today="2031-05-01", title=lambda: tr("Fault history"), **more)


def test_all_three(history, tmp_path):
    out = {"pdf": tmp_path / "h.pdf", "xlsx": tmp_path / "h.xlsx", "csv_dir": tmp_path / "tables"}
    said = written(history, **out)
    pages = pypdfium2.PdfDocument(out["pdf"])
    assert "SM.XL01" in pages[1].get_textpage().get_text_range()
    assert openpyxl.load_workbook(out["xlsx"])["Items"]["A2"].value == "SM.XL01"
    with (out["csv_dir"] / "items.csv").open(encoding="utf-8", newline="") as file:
        assert len(list(csv.DictReader(file))) == 2
    names = [out["pdf"], out["xlsx"], *sorted(out["csv_dir"].iterdir())]
    assert sorted(line.split(": ")[0] for line in said) == sorted(str(name) for name in names)
    assert any(line.endswith("items.csv: 2 rows") for line in said)


def test_in_german_the_paper_alone_is_german(history, tmp_path):
    out = {"pdf": tmp_path / "h.pdf", "xlsx": tmp_path / "h.xlsx", "csv_dir": tmp_path / "tables"}
    said = written(history, **out, language="de")
    assert "conclusions, figures, tables, method" in said[0]
    first = pypdfium2.PdfDocument(out["pdf"])[0].get_textpage().get_text_range()
    assert "Fehlerverlauf" in first
    assert "2 Stücke im Einsatz" in first
    book = openpyxl.load_workbook(out["xlsx"])
    assert (book.properties.title, book["Items"]["B2"].value) == ("Fault history", "cable")
    for path in out["csv_dir"].iterdir():
        assert not re.search("Fehler|Kabel|Checks eines", path.read_text(encoding="utf-8"))


def test_nothing_asked_for_nothing_written(history, tmp_path):
    assert written(history) == []
    assert not list(tmp_path.iterdir())


def test_nothing_to_tell_is_said(tmp_path):
    lines = written(analysed(Tally(())), pdf=tmp_path / "h.pdf", xlsx=tmp_path / "h.xlsx")
    assert all(line.endswith(", there is nothing to tell yet") for line in lines)
    assert len(pypdfium2.PdfDocument(tmp_path / "h.pdf")) == 1


@pytest.mark.parametrize(("what", "name", "right"), [("pdf", "h.txt", ".pdf"), ("xlsx", "h.xls", ".xlsx")])
def test_a_name_that_does_not_end_right_is_refused_before_anything_is_written(history, tmp_path, what, name, right):
    with pytest.raises(ReportNameWrong, match=f"{name}.*end it in {right}"):
        written(history, **{"csv_dir": tmp_path / "tables", what: tmp_path / name})
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize("where", ["pdf", "xlsx", "csv_dir"])
def test_a_folder_that_is_not_there_is_said(history, tmp_path, where):
    with pytest.raises(CheckappError, match=r"gone.*cannot be written.*name a file in a folder that is yours"):
        written(history, **{where: tmp_path / "gone" / {"csv_dir": "tables"}.get(where, f"h.{where}")})


def test_a_file_in_the_place_of_the_folder_is_kept_and_said(history, tmp_path):
    place = tmp_path / "tables"
    place.write_text("mine")
    with pytest.raises(FileNotWritten, match="tables"):
        written(history, csv_dir=place)
    assert place.read_text() == "mine"


def test_a_report_replaces_the_one_before_and_leaves_nothing_beside(history, tmp_path):
    out = tmp_path / "h.xlsx"
    written(analysed(Tally(())), xlsx=out)
    written(history, xlsx=out)
    assert openpyxl.load_workbook(out)["Items"].max_row == 3
    assert [path.name for path in tmp_path.iterdir()] == ["h.xlsx"]


def test_where_one_cannot_be_written_the_old_ones_stay(history, tmp_path):
    pdf, gone = tmp_path / "h.pdf", tmp_path / "gone" / "h.xlsx"
    pdf.write_text("old")
    with pytest.raises(FileNotWritten, match=r"gone.*cannot be written"):
        written(history, pdf=pdf, xlsx=gone, csv_dir=tmp_path / "tables")
    assert pdf.read_text() == "old"
    assert [path.name for path in tmp_path.iterdir()] == ["h.pdf"]
