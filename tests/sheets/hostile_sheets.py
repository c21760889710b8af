"""Files that are no spreadsheet, or one that is made to do harm: each is made here, and says what its answer names."""

from __future__ import annotations

import os
import struct
import zipfile
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from itertools import chain, islice, repeat
from pathlib import Path

MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
RELATIONS = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
PACKAGE = "http://schemas.openxmlformats.org/package/2006"
KIND = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"
LIST = '<sheetData><row r="1"><c r="A1" t="inlineStr"><is><t>Kick</t></is></c></row></sheetData>'
DTD = '<!DOCTYPE worksheet [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;&a;"><!ENTITY c "&b;&b;&b;&b;">]>'
OUTSIDE = '<!DOCTYPE worksheet [<!ENTITY a SYSTEM "file:///etc/passwd">]>'
CALLED = '<!DOCTYPE worksheet SYSTEM "http://127.0.0.1:9/a.dtd">'
LAST_ROW = 1_048_576
LOCKED = Path(__file__).with_name("locked.xlsx")
"""A list of two lines, encrypted by msoffcrypto-tool 6.1 (agile encryption, MS-OFFCRYPTO); password "secret"."""

Pieces = Iterable[str]


@dataclass(frozen=True)
class Hostile:
    """How a file is made, and a word of the message that answers it, or of a note when the file is read."""

    make: Callable[[Path], None]
    answer: str
    is_read: bool = False


def sheet(content: str = LIST, *, before: str = "") -> str:
    return f'<?xml version="1.0"?>{before}<worksheet xmlns="{MAIN}">{content}</worksheet>'


def book(count: int = 1) -> str:
    sheets = "".join(f'<sheet name="S{at}" sheetId="{at}" r:id="r{at}"/>' for at in range(1, count + 1))
    return f'<workbook xmlns="{MAIN}" xmlns:r="{RELATIONS}"><sheets>{sheets}</sheets></workbook>'


def parts(sheet_part: str | Pieces | bytes | None = None, *, count: int = 1) -> dict[str, str | Pieces | bytes]:
    """The parts of a workbook, as little as reads; all its sheets are one part."""
    one = '<Relationship Id="{}" Type="' + RELATIONS + '/{}" Target="{}"/>'
    listed = "".join(one.format(f"r{at}", "worksheet", "worksheets/sheet1.xml") for at in range(1, count + 1))
    others = one.format("t", "sharedStrings", "sharedStrings.xml") + one.format("f", "styles", "styles.xml")
    return {
        "[Content_Types].xml": f'<Types xmlns="{PACKAGE}/content-types"><Override PartName="/xl/workbook.xml"'
        f' ContentType="{KIND}"/></Types>',
        "xl/workbook.xml": book(count),
        "xl/_rels/workbook.xml.rels": f'<Relationships xmlns="{PACKAGE}/relationships">{listed}{others}'
        "</Relationships>",
        "xl/worksheets/sheet1.xml": sheet() if sheet_part is None else sheet_part,
    }


def zipped(path: Path, content: dict[str, str | Pieces | bytes]) -> None:
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as archive:
        for name, part in content.items():
            pieces = [part] if isinstance(part, str | bytes) else part
            with archive.open(name, "w", force_zip64=True) as opened:
                for piece in pieces:
                    opened.write(piece if isinstance(piece, bytes) else piece.encode())


def with_sheet(content: str | Pieces | bytes) -> Callable[[Path], None]:
    return lambda path: zipped(path, parts(content))


def with_parts(**others: str | Pieces | bytes) -> Callable[[Path], None]:
    """A sound workbook with parts more: ``xl__styles`` is xl/styles.xml."""
    return lambda path: zipped(path, parts() | {name.replace("__", "/") + ".xml": at for name, at in others.items()})


def only(*names: str, kind: str = "") -> Callable[[Path], None]:
    """An archive of empty parts, and of ``mimetype``."""
    return lambda path: zipped(path, ({"mimetype": kind} if kind else {}) | dict.fromkeys(names, "<a/>"))


def compound(*streams: str) -> Callable[[Path], None]:
    """A compound file (MS-CFB, from memory): header, one sector of its table, one of its directory."""
    header = bytes.fromhex("d0cf11e0a1b11ae1") + bytes(16) + struct.pack("<HHHHH", 62, 3, 0xFFFE, 9, 6) + bytes(6)
    header += struct.pack("<IIIIIIIII", 0, 1, 1, 0, 4096, 0xFFFFFFFE, 0, 0xFFFFFFFE, 0)
    header += struct.pack("<109I", 0, *repeat(0xFFFFFFFF, 108))
    table = struct.pack("<128I", 0xFFFFFFFD, 0xFFFFFFFE, *repeat(0xFFFFFFFF, 126))
    entries = b"".join(_entry(name, 2 if at else 5) for at, name in enumerate(("Root Entry", *streams)))
    return lambda path: _write(path, header + table + entries.ljust(512, b"\0"))


def _entry(name: str, kind: int) -> bytes:
    named = name.encode("utf-16-le") + b"\0\0"
    return named.ljust(64, b"\0") + struct.pack("<HBB", len(named), kind, 1) + b"\xff" * 12 + bytes(48)


def _write(path: Path, content: bytes) -> None:
    path.write_bytes(content)


def written(content: str | bytes) -> Callable[[Path], None]:
    return lambda path: _write(path, content.encode() if isinstance(content, str) else content)


def rows(form: str, count: int, end: str = "") -> Iterator[str]:
    """A sheet of ``count`` rows; in ``form`` the sign # is the number of the row."""
    yield f'<worksheet xmlns="{MAIN}"><sheetData><row r="1"><c r="A1"><v>1</v></c></row>'
    for begin in range(2, count + 1, 1000):
        yield "".join(form.replace("#", str(row)) for row in range(begin, min(begin + 1000, count + 1)))
    yield f"</sheetData>{end}</worksheet>"


def many(piece: str, count: int, begin: str = "", end: str = "") -> Iterator[str]:
    """``count`` times ``piece`` in an element of the sheet; # is a running number."""
    yield f'<worksheet xmlns="{MAIN}">{begin}'
    pieces = (piece.replace("#", str(at)) for at in range(count)) if "#" in piece else repeat(piece, count)
    while some := "".join(islice(pieces, 2000)):
        yield some
    yield f"{end}</worksheet>"


def changed(change: Callable[[bytes], bytes]) -> Callable[[Path], None]:
    """A sound workbook of 100 rows whose bytes are changed."""

    def make(path: Path) -> None:
        zipped(path, parts("".join(rows('<row r="#"><c r="A#"><v>#</v></c></row>', 100))))
        path.write_bytes(change(path.read_bytes()))

    return make


def _spoiled(content: bytes) -> bytes:
    """Some bytes in the midst of the packed sheet are others."""
    at = content.find(b"sheet1.xml") + 200
    return content[:at] + b"\xff" * 10 + content[at + 10 :]


def _lying(path: Path) -> None:
    """The directory says that the sheet unpacks to 1,000 bytes; it is 100 MB of blanks."""
    zipped(path, parts(chain([f'<worksheet xmlns="{MAIN}">'], repeat(" " * 100_000, 1000), [sheet()])))
    content = bytearray(path.read_bytes())
    at = content.rfind(b"xl/worksheets/sheet1.xml") - 46
    content[at + 24 : at + 28] = struct.pack("<I", 1000)
    path.write_bytes(content)


def _listed_often(path: Path) -> None:
    """One part of the archive is listed 40,000 times."""
    zipped(path, parts())
    content = path.read_bytes()
    begin, end = content.find(b"PK\1\2"), content.rfind(b"PK\5\6")
    entry = content[begin : content.find(b"PK\1\2", begin + 4)]
    listed = content[begin:end] + entry * 40_000
    tail = struct.pack("<IHHHHIIH", 0x06054B50, 0, 0, 0xFFFF, 0xFFFF, len(listed), begin, 0)
    path.write_bytes(content[:begin] + listed + tail)


def _encrypted(path: Path) -> None:
    zipped(path, parts())
    content = bytearray(path.read_bytes())
    content[content.find(b"PK\1\2") + 8] |= 1
    path.write_bytes(content)


def _sparse(path: Path) -> None:
    with path.open("wb") as file:
        file.truncate(3_000_000_000)


def _calls(path: Path) -> None:
    formulas = ("[1]Sheet1!A1", 'WEBSERVICE("http://127.0.0.1:9/")', "cmd|'/C calc'!A0", "'file:///etc/[passwd]a'!A1")
    cells = "".join(f'<c r="{"ABCD"[at]}1"><f>{form}</f><v>7</v></c>' for at, form in enumerate(formulas))
    zipped(path, parts(sheet(f'<sheetData><row r="1">{cells}</row></sheetData>')))


def large() -> dict[str, Hostile]:
    """Those that take seconds to make: for the check by hand."""
    blanks = chain([f'<worksheet xmlns="{MAIN}">'], repeat(" " * 1_000_000, 1000), ["</worksheet>"])
    empty = '<row r="#" spans="1:3" ht="15" customHeight="1"><c r="A#" s="1"/><c r="B#" s="1"/><c r="C#" s="1"/></row>'
    wide = "".join(f'<c r="{letters(at)}#"><v>4.5</v></c>' for at in range(1, 201))
    one, merged = '<row r="#"><c r="A#"><v>1</v></c></row>', '<mergeCell ref="A1:XFD1048576"/>' * 20_000
    unsaved = f'<row r="#">{"<c><f>A1</f></c>" * 50}</row>'
    short = chain([f'<sst xmlns="{MAIN}">'], many("<si><t>a#</t></si>", 1_700_000), ["</sst>"])
    cells = many('<c r="A#"/>', 3_300_000, "<sheetData><row>", "</row></sheetData>")
    return {
        "bomb_of_1_GB.xlsx": Hostile(with_sheet(blanks), "unpacks to more"),
        "bomb_that_lies.xlsx": Hostile(_lying, "damaged archive"),
        "rows_empty.xlsx": Hostile(with_sheet(rows('<row r="#"/>', LAST_ROW)), "1 rows", is_read=True),
        "rows_with_formats.xlsx": Hostile(with_sheet(rows(empty, LAST_ROW)), "1 rows", is_read=True),
        "rows_200_wide.xlsx": Hostile(with_sheet(rows(f'<row r="#">{wide}</row>', 5000)), "5000 rows", is_read=True),
        "rows_too_many.xlsx": Hostile(with_sheet(rows(one, 300_000)), "below: not read", is_read=True),
        "cells_too_many.xlsx": Hostile(with_sheet(cells), "elements"),
        "texts_too_many.xlsx": Hostile(with_parts(xl__sharedStrings=short), "elements"),
        "texts_too_long.xlsx": Hostile(with_parts(xl__sharedStrings=_long_texts()), "letters"),
        "names_too_many.xlsx": Hostile(with_sheet(many("<a#/>", 1_000_000)), "longer than"),
        "merged_over_each_other.xlsx": Hostile(with_sheet(rows(one, 5000, merged)), "merged cells"),
        "merged_marks_open.xlsx": Hostile(with_sheet(_open_marks()), "1 rows", is_read=True),
        "values_too_many.xlsx": Hostile(with_sheet(many(_valued(), 2_000_000)), "MB of cells"),
        "lines_too_many.xlsx": Hostile(with_sheet(_line_ends()), "MB of cells"),
        "brackets.xlsx": Hostile(with_sheet(_brackets()), "without a result", is_read=True),
        "columns_hidden.xlsx": Hostile(
            with_sheet(many('<col min="1" max="16384" hidden="1" width="#"/>', 300_000, "<cols>", f"</cols>{LIST}")),
            "column A: hidden",
            is_read=True,
        ),
        "formulas_without_results.xlsx": Hostile(with_sheet(rows(unsaved, 9000)), "more such notes", is_read=True),
        "text_of_20_MB.csv": Hostile(written("a;b\n" * 5_000_000), "MB"),
        "rows_without_end.csv": Hostile(written("a;b\n" * 3_900_000), "not read", is_read=True),
        "row_without_end.csv": Hostile(written("a," * 2_000_000), "more than 1000000 letters"),
        "cell_without_end.csv": Hostile(written('"' + "a\n" * 2_000_000), "close each"),
        "rows_wide.csv": Hostile(written(("a," * 400_000 + "\n") * 19), "not read", is_read=True),
        "not_latin.csv": Hostile(written("🎤;" + "ж" * 7_000 + "\n" + "ж;б\n" * 2_000_000), "not read", is_read=True),
    }


def _valued() -> str:
    """An element with eleven attributes."""
    others = " ".join(f'{name}=""' for name in "bdefghijkl")
    return f'<c a="#" {others}/>'


def _line_ends() -> Iterator[str]:
    """Text between the elements, of nothing but line ends and letters."""
    yield f'<worksheet xmlns="{MAIN}">'
    lines = ["".join("\n" if bit == "0" else "a" for bit in bin(at)[2:]) for at in range(1000)]
    for at in range(12_000):
        yield "".join(lines[at % 500 :]) + os.urandom(900).hex()
    yield "</worksheet>"


def _brackets() -> Iterator[str]:
    """Cells with formulas that are all openings of what is looked for."""
    yield f'<worksheet xmlns="{MAIN}"><sheetData><row r="1">'
    for _ in range(3000):
        yield f'<c r="A1"><f>{"[" * 4000}{"|" * 4000}{os.urandom(200).hex()}</f></c>'
    yield "</row></sheetData></worksheet>"


def _open_marks() -> Iterator[str]:
    """Below the last row that is read, 20 MB of beginnings of merged ranges that never close."""
    yield f'<worksheet xmlns="{MAIN}"><sheetData><row r="1"><c><v>1</v></c></row><row r="20000">'
    for _ in range(2000):
        yield f"<mergeCell {os.urandom(40).hex()}" * 100


def letters(column: int) -> str:
    return (chr(64 + (column - 1) // 26) if column > 26 else "") + chr(65 + (column - 1) % 26)


def small() -> dict[str, Hostile]:
    """Those that are made in a moment: for the test run."""
    return _archives() | _parts() | _kinds()


def _archives() -> dict[str, Hostile]:
    blanks = chain([f'<worksheet xmlns="{MAIN}">'], repeat(" " * 1_000_000, 10), ["</worksheet>"])
    other = parts() | {"xl/media/a.png": repeat(b"\0" * 1_000_000, 20)}
    return {
        "cut.xlsx": Hostile(changed(lambda content: content[: len(content) // 2]), "damaged archive"),
        "cut_in_the_list.xlsx": Hostile(changed(lambda content: content[:-30]), "damaged archive"),
        "changed_bytes.xlsx": Hostile(changed(_spoiled), "damaged archive"),
        "zeros_inside.xlsx": Hostile(changed(lambda content: content[:200] + bytes(600) + content[800:]), "damaged"),
        "no_directory.xlsx": Hostile(written(b"PK\3\4" + bytes(2000)), "damaged archive"),
        "empty_archive.xlsx": Hostile(written(b"PK\5\6" + bytes(18)), "no workbook"),
        "listed_often.xlsx": Hostile(_listed_often, "list of parts is too long"),
        "parts_too_many.xlsx": Hostile(
            lambda path: zipped(path, parts() | {f"a/{at}": "" for at in range(2100)}), "2104 parts"
        ),
        "bomb_of_10_MB.xlsx": Hostile(with_sheet(blanks), "unpacks to more"),
        "bomb_in_a_picture.xlsx": Hostile(lambda path: zipped(path, other), "unpacks to more"),
    }


def _parts() -> dict[str, Hostile]:
    wide = sheet(
        f'<sheetData><row r="1"><c r="XFD1"><v>{"9" * 300}</v></c><c r="ZZZZ9"><v>nan</v></c></row></sheetData>'
    )
    bottom = sheet(f'<sheetData><row r="{LAST_ROW}"><c r="A{LAST_ROW}"><v>1</v></c></row></sheetData>')
    renamed = {
        name.replace("sheet1.xml", "sheet1"): str(part).replace("sheet1.xml", "sheet1")
        for name, part in parts(sheet("&c;", before=DTD)).items()
    }
    types = parts() | {"[Content_Types].xml": "<Types/>"}
    no_sheet = {name: part for name, part in parts().items() if "sheet1" not in name}
    return {
        "entities_in_the_sheet.xlsx": Hostile(with_sheet(sheet("&c;", before=DTD)), "document type"),
        "entities_in_utf_16.xlsx": Hostile(
            with_sheet(sheet("&c;", before=DTD).replace('"?>', '" encoding="UTF-16"?>').encode("utf-16")),
            "document type",
        ),
        "entities_in_the_texts.xlsx": Hostile(with_parts(xl__sharedStrings=f"{DTD}<worksheet/>"), "document type"),
        "entities_under_another_name.xlsx": Hostile(lambda path: zipped(path, renamed), "document type"),
        "entities_elsewhere.xlsx": Hostile(with_parts(docProps__core=f"{DTD}<worksheet/>"), "document type"),
        "entity_from_a_file.xlsx": Hostile(with_sheet(sheet("&a;", before=OUTSIDE)), "document type"),
        "document_type_from_the_net.xlsx": Hostile(with_sheet(sheet(before=CALLED)), "document type"),
        "no_xml.xlsx": Hostile(with_sheet("Kick, Snare"), "no XML"),
        "cut_xml.xlsx": Hostile(with_sheet(sheet()[:-30]), "no XML"),
        "unknown_encoding.xlsx": Hostile(with_sheet('<?xml version="1.0" encoding="klingon"?><a/>'), "no XML"),
        "no_sheet_part.xlsx": Hostile(lambda path: zipped(path, no_sheet), "without its part"),
        "no_sheets.xlsx": Hostile(lambda path: zipped(path, parts() | {"xl/workbook.xml": book(0)}), "without a sheet"),
        "no_types.xlsx": Hostile(lambda path: zipped(path, types), "", is_read=True),
        "sheets_too_many.xlsx": Hostile(lambda path: zipped(path, parts(count=5000)), "5000 sheets"),
        "deep.xlsx": Hostile(with_sheet(many("<a>", 200_000)), "too deep"),
        "tag_of_3_MB.xlsx": Hostile(with_sheet(chain(['<worksheet a="'], _noise(3_000_000))), "longer than"),
        "comment_of_3_MB.xlsx": Hostile(with_sheet(chain(["<!-- "], _noise(3_000_000))), "longer than"),
        "row_at_the_bottom.xlsx": Hostile(with_sheet(bottom), "below: not read", is_read=True),
        "far_cells.xlsx": Hostile(with_sheet(wide), "right of it: not read", is_read=True),
        "calls_out.xlsx": Hostile(_calls, "from outside this workbook", is_read=True),
    }


def _noise(letters: int) -> Iterator[str]:
    """Letters that do not pack far enough to look like a bomb."""
    for _ in range(0, letters, 10_000):
        yield os.urandom(5000).hex()


def _long_texts() -> Iterator[str]:
    """Texts of 30,000 letters each that do not pack far enough to look like a bomb; some are not Latin."""
    yield f'<sst xmlns="{MAIN}">'
    for _ in range(900):
        yield f"<si><t>🎤{os.urandom(15_000).hex()}</t></si>"
    yield "</sst>"


def _kinds() -> dict[str, Hostile]:
    opened = "application/vnd.oasis.opendocument."
    return {
        "protected.xlsx": Hostile(compound("EncryptionInfo", "EncryptedPackage"), "protected by a password"),
        "locked.xlsx": Hostile(written(LOCKED.read_bytes()), "protected by a password"),
        "protected_archive.xlsx": Hostile(_encrypted, "protected by a password"),
        "old.xls": Hostile(compound("Workbook"), "(.xls)"),
        "very_old.xls": Hostile(compound("Book"), "(.xls)"),
        "old.doc": Hostile(compound("WordDocument", "1Table"), "(.doc)"),
        "mail.msg": Hostile(compound("__properties_version1.0"), "another document"),
        "binary.xlsb": Hostile(only("[Content_Types].xml", "xl/workbook.bin"), "(.xlsb)"),
        "open.ods": Hostile(only("content.xml", kind=f"{opened}spreadsheet"), "(.ods)"),
        "open.odt": Hostile(only("content.xml", kind=f"{opened}text"), "(.odt)"),
        "text.docx": Hostile(only("[Content_Types].xml", "word/document.xml"), "(.docx)"),
        "slides.pptx": Hostile(only("[Content_Types].xml", "ppt/presentation.xml"), "(.pptx)"),
        "other.numbers": Hostile(only("Index/Document.iwa", "Metadata/a.plist"), "(.numbers"),
        "files.zip": Hostile(only("list.csv"), "no workbook"),
        "paper.pdf": Hostile(written(b"%PDF-1.7\n"), "PDF"),
        "picture.csv": Hostile(written(b"\x89PNG\r\n\x1a\n" + bytes(200)), "picture"),
        "page.xls": Hostile(written("<html><table><tr><td>1</td></tr></table></html>"), "web page"),
        "page_16.xls": Hostile(written("<html></html>".encode("utf-16")), "web page"),
        "nothing.csv": Hostile(written(b""), "is empty"),
        "noise.csv": Hostile(written(bytes(range(256)) * 20), "text"),
        "open_quote.csv": Hostile(written('1,"Kick\n2,Snare\n'), "close each"),
        "long_cell.csv": Hostile(written("1," + "a" * 200_000), "no row of a table"),
        "huge.xlsx": Hostile(_sparse, "larger than"),
        "folder.xlsx": Hostile(lambda path: path.mkdir(), "is a folder"),
        "pipe.csv": Hostile(lambda path: os.mkfifo(path), "not an ordinary file"),
        "device.csv": Hostile(lambda path: path.symlink_to("/dev/zero"), "not an ordinary file"),
        "gone.csv": Hostile(lambda path: path.symlink_to(path.parent / "nowhere"), "no such file"),
    }
