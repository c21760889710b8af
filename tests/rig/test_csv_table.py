"""Tables as people save them: encoding, delimiter, heading, and each row's line."""

import codecs
import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from checkapp.rig import csv_table
from checkapp.rig.csv_table import TableRefused, read_table

WANTED = ("date", "show", "note")
TEXT = 'Date;Show;Note\r\n2.5.2031;Zoë\'s;"one; two"\r\n\r\n;;\r\n3.5.2031;Köln;“quoted”\r\n'


def table(content, wanted=WANTED):
    return read_table(content.encode() if isinstance(content, str) else content, "t.csv", wanted)


def refused(content):
    with pytest.raises(TableRefused) as caught:
        table(content)
    (line,) = caught.value.lines
    return line


@pytest.mark.parametrize("sign", [",", ";", "\t"])
@pytest.mark.parametrize(
    ("mark", "encoding"),
    [
        (b"", "utf-8"),
        (codecs.BOM_UTF8, "utf-8"),
        (codecs.BOM_UTF16_LE, "utf-16-le"),
        (codecs.BOM_UTF16_BE, "utf-16-be"),
        (b"", "utf-16-le"),
        (b"", "utf-16-be"),
        (b"", "cp1252"),
    ],
)
def test_encoding_and_delimiter_are_found(mark, encoding, sign):
    found = table(mark + TEXT.replace(";", sign).encode(encoding))
    assert found.columns == WANTED
    assert [(row.line, *row.cells.values()) for row in found.rows] == [
        (2, "2.5.2031", "Zoë's", f"one{sign} two"),
        (5, "3.5.2031", "Köln", "“quoted”"),
    ]


def test_the_delimiter_is_that_of_the_heading_not_the_most_frequent_sign():
    found = table("date;note\n1;a,b,c,d,e,f,g\n2;h,i,j,k\n")
    assert [row.cells["note"] for row in found.rows] == ["a,b,c,d,e,f,g", "h,i,j,k"]


def test_lines_above_the_heading_are_passed_over():
    found = table("Line checks of the barn\n\nkept by,JD\nDATE , Show,Other\n1,2,3\n")
    assert found.columns == ("date", "show", "other")
    assert [(row.line, row.cells["other"]) for row in found.rows] == [(5, "3")]


def test_a_cell_on_several_lines_and_short_rows():
    found = table('date,show,note\n1,2,"a\nb"\n3,4\n')
    assert [(row.line, row.cells["note"]) for row in found.rows] == [(2, "a\nb"), (4, "")]


def test_a_column_without_a_name_is_numbered():
    assert table("date,show,,\n1,2,x,y\n").columns == ("date", "show", "column 3", "column 4")


def test_a_row_with_too_many_cells_is_a_fault_of_its_own():
    found = table("date,note\n1,two, or three\n2,fine,\n")
    assert [row.line for row in found.rows] == [3]
    assert [str(fault).partition(";")[0] for fault in found.faults] == ["t.csv:2: has 3 cells where 2 are named"]


@pytest.mark.parametrize(
    ("content", "said"),
    [
        ("", "t.csv:1: no line names the columns; begin with a line such as date,show,note"),
        ("a,b,c\n1,2,3\n", "t.csv:1: no line names the columns; begin with a line such as date,show,note"),
        ("date,show,date\n1,2,3\n", 't.csv:1: there are two columns "date"; give each a name of its own'),
    ],
)
def test_what_is_no_table(content, said):
    assert refused(content) == said


def test_a_quote_that_is_not_closed_is_found_on_its_line():
    assert refused('date,show\n1,2\n3,"four\n5,6\n').startswith("t.csv:3: is no row of a table")


def test_bytes_that_are_no_text():
    assert refused(b"date,show\n1,\x81\n").startswith("t.csv:2: is no text (byte 0x81)")
    assert refused(codecs.BOM_UTF8 + b"date,show\n\n1,\xff\n").startswith("t.csv:3: is no text (byte 0xff)")


def test_a_huge_file_is_refused(monkeypatch):
    monkeypatch.setattr(csv_table, "MOST_BYTES", 1_000_000)
    assert "larger than 1 MB" in refused(b"x" * 1_000_001)


cells = st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0\r"), max_size=12)


@given(
    st.lists(st.tuples(cells, cells, cells), max_size=6),
    st.sampled_from(csv_table.DELIMITERS),
    st.sampled_from(["utf-8", "utf-8-sig", "utf-16"]),
)
def test_what_is_written_is_read(rows, sign, encoding):
    file = io.StringIO()
    csv.writer(file, delimiter=sign).writerows([WANTED, *rows])
    found = table(file.getvalue().encode(encoding))
    expected = [tuple(cell.strip() for cell in row) for row in rows]
    assert [tuple(row.cells.values()) for row in found.rows] == [row for row in expected if any(row)]


@given(st.binary(max_size=200) | st.text(max_size=100).map(lambda text: f"date,show\n{text}".encode(errors="replace")))
def test_never_falls_over_anything(content):
    try:
        table(content)
    except TableRefused as error:
        assert all("\n" not in line for line in error.lines)
