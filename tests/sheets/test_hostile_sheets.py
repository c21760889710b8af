"""What is no spreadsheet, or made to do harm, gets one clear message; nothing but the file is opened."""

import random
import sys
from pathlib import Path

import pytest

from checkapp.rig.errors import FileRefused
from checkapp.sheets import archive, grid, xml_part
from checkapp.sheets.errors import SheetRefused
from checkapp.sheets.reading import read_sheets

sys.path.append(str(Path(__file__).parent))
import hostile_sheets

SMALL = hostile_sheets.small()
HOME = (sys.prefix, sys.base_prefix, str(Path(grid.__file__).parents[1]))
_touched: list[str] = []
_is_listening = False


def _listen(event, given):
    """An audit hook cannot be taken away again: it only listens while a file is read."""
    if not _is_listening:
        return
    if event.startswith(("socket", "subprocess", "os.system", "os.exec", "os.posix_spawn", "os.fork", "urllib")):
        _touched.append(event)
    elif event == "open" and isinstance(given[0], str) and not given[0].startswith(HOME):
        _touched.append(given[0])


sys.addaudithook(_listen)


def read(path):
    """The sheets, or the lines of the message; nothing else was opened, started or called meanwhile."""
    global _is_listening
    _touched.clear()
    _is_listening = True
    try:
        return read_sheets(path), ()
    except SheetRefused as error:
        return (), error.lines
    finally:
        _is_listening = False
        assert set(_touched) <= {str(path)}


@pytest.mark.parametrize("name", SMALL)
def test_the_answer_is_one_message(name, tmp_path):
    file, path = SMALL[name], tmp_path / name
    file.make(path)
    sheets, lines = read(path)
    assert bool(sheets) is file.is_read
    said = [note for sheet in sheets for note in sheet.notes] if file.is_read else lines
    assert file.is_read or len(lines) == 1
    assert all(line.startswith(f"{path}:") and "; " in line for line in lines)
    assert not file.answer or any(file.answer in line for line in said)


def test_what_calls_out_has_its_saved_value(tmp_path):
    SMALL["calls_out.xlsx"].make(tmp_path / "a.xlsx")
    (sheet,) = read_sheets(tmp_path / "a.xlsx")
    assert sheet.rows[0].cells == ("7", "7", "7", "7")
    assert len(sheet.notes) == 4


@pytest.mark.parametrize(
    ("limit", "most", "piece", "words"),
    [
        ("MOST_ELEMENTS", 5000, "<c/>", "more than 5000 elements"),
        ("MOST_NAMES", 500, "<a#/>", "longer than workbooks have"),
        ("MOST_DEPTH", 64, "<a>", "too deep"),
        ("MOST_BYTES", 50_000, "a\n", "MB of cells"),
    ],
)
def test_elements_are_counted_while_they_are_unpacked(monkeypatch, tmp_path, limit, most, piece, words):
    monkeypatch.setattr(xml_part, limit, most)
    hostile_sheets.with_sheet(hostile_sheets.many(piece, 30_000))(tmp_path / "a.xlsx")
    _, lines = read(tmp_path / "a.xlsx")
    assert words in lines[0]


def test_bytes_are_counted_while_they_are_unpacked(monkeypatch, tmp_path):
    hostile_sheets.with_sheet(hostile_sheets.many("<c/>", 100_000))(tmp_path / "a.xlsx")
    with (tmp_path / "a.xlsx").open("rb") as file:
        unpacked = archive.open_archive(file, "a.xlsx")
        monkeypatch.setattr(archive, "MOST_UNPACKED_BYTES", 300_000)
        with pytest.raises(SheetRefused) as caught:
            list(unpacked.pieces("xl/worksheets/sheet1.xml"))
    assert "unpacks to more" in caught.value.lines[0]
    assert unpacked.unpacked_bytes < 400_000


def test_empty_rows_below_the_last_are_passed_over(monkeypatch, tmp_path):
    monkeypatch.setattr("checkapp.sheets.sheet_part.MOST_ROWS", 100)
    form = '<row r="#"><c r="A#" s="1"/></row>'
    merged = '<mergeCell ref="A1:D1"/>'
    hostile_sheets.with_sheet(hostile_sheets.rows(form, 20_000, merged))(tmp_path / "a.xlsx")
    (sheet,) = read_sheets(tmp_path / "a.xlsx")
    assert [row.cells for row in sheet.rows] == [("1",)]
    assert sheet.rows[0].merged
    assert sheet.notes == ()


def test_any_changed_bytes_give_sheets_or_one_message(tmp_path):
    """400 workbooks with some bytes changed: of the archive's own marks, or of the XML before it is packed."""
    chance = random.Random(8)
    path = tmp_path / "a.xlsx"
    hostile_sheets.changed(bytes)(path)
    sound = path.read_bytes()
    texts = hostile_sheets.parts(hostile_sheets.sheet('<cols><col min="1"/></cols>' + hostile_sheets.LIST))
    refused = 0
    for number in range(400):
        if number % 2:
            content = bytearray(sound)
            for _ in range(chance.randint(1, 8)):
                content[chance.randrange(len(content))] = chance.randrange(256)
            path.write_bytes(content)
        else:
            part = chance.choice(list(texts))
            text = bytearray(texts[part].encode())
            begin = chance.randrange(len(text))
            text[begin : begin + chance.randint(0, 9)] = chance.choice([b"", b"<", b'"', b"&", b"\xff", b"9999999999"])
            hostile_sheets.zipped(path, texts | {part: bytes(text)})
        try:
            read_sheets(path)
        except FileRefused as error:
            refused += 1
            assert len(error.lines) == 1
    assert refused > 100
