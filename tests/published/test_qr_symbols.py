"""QR symbols against the figures of ISO/IEC 18004."""

import numpy as np
import pytest
import qrcode
import zxingcpp
from qrcode.util import MODE_ALPHA_NUM, QRData

from checkapp.rig.codes import Tag
from checkapp.tags.parts import Code, Layout
from checkapp.tags.picture import picture
from checkapp.tags.qr import LEAST_MODULE_MM, QUIET_MODULES, symbol
from checkapp.tags.stock import Stock

# ISO/IEC 18004, table of capacities: version, alphanumeric characters at level Q. Versions 1 and 2 as printed there;
# the others from memory, and recomputed below from the code words that the standard gives each version at level Q.
CAPACITY_AT_Q = [(1, 16), (2, 29), (3, 47), (4, 67), (5, 87), (6, 108), (7, 125), (8, 157), (9, 189), (10, 221)]
# Data code words at level Q by version (ISO/IEC 18004, table of error correction characteristics; from memory).
DATA_WORDS_AT_Q = [13, 22, 34, 48, 62, 76, 88, 110, 132, 154]
DOT_MM_400 = 25.4 / 400


@pytest.mark.published
@pytest.mark.parametrize(("version", "most"), CAPACITY_AT_Q)
def test_capacity_in_alphanumeric_mode_at_level_q(version, most):
    assert symbol("A" * most).version == version
    assert symbol("A" * (most + 1)).version == version + 1


@pytest.mark.closed_form
@pytest.mark.parametrize(("version", "words"), list(enumerate(DATA_WORDS_AT_Q, 1)))
def test_the_capacity_is_what_the_data_code_words_take(version, words):
    """Mode in 4 bits, count in 9 (11 from version 10 on), two characters in 11 bits, a last one alone in 6."""
    bits = 8 * words - 4 - (9 if version < 10 else 11)
    most = 2 * (bits // 11) + (bits % 11 >= 6)
    assert (version, most) in CAPACITY_AT_Q


@pytest.mark.independent
@pytest.mark.parametrize("most", [16, 29, 47, 67, 87])
def test_another_reader_finds_level_q_and_the_version(most):
    made = symbol("A" * most)
    image = np.pad(np.where(np.array(made.rows), 0, 255).astype(np.uint8), 4, constant_values=255)
    (found,) = zxingcpp.read_barcodes(image.repeat(4, 0).repeat(4, 1), formats=zxingcpp.BarcodeFormat.QRCode)
    assert (found.text, found.ec_level) == ("A" * most, "Q")


@pytest.mark.published
@pytest.mark.parametrize("most", [16, 29, 47, 67])
def test_modules_a_side(most):
    """ISO/IEC 18004: 4 V + 17 modules a side, 4 of white around."""
    made = symbol("A" * most)
    assert made.side == 4 * made.version + 17
    assert all(len(row) == made.side for row in made.rows)
    assert QUIET_MODULES == 4
    assert made.side_with_quiet == made.side + 8


@pytest.mark.published
def test_size_of_the_printed_example():
    """ISO/IEC 18004, worked example: 50 alphanumeric characters at level M, at 400 dpi 4 dots a module.

    Version 3, 7.366 mm, 9.398 mm with its white. Our tags are at level Q, where version 3 holds 47 characters; the
    geometry is the version's, so the same symbol at Q has the same size. That 50 characters at M are version 3 as
    well is asked of the library that makes our code words.
    """
    at_m = qrcode.QRCode(error_correction=qrcode.ERROR_CORRECT_M, border=0)
    at_m.add_data(QRData("A" * 50, mode=MODE_ALPHA_NUM))
    assert at_m.best_fit() == 3
    made = symbol("A" * 47)
    assert made.version == 3
    module_mm = 4 * DOT_MM_400
    assert made.side * module_mm == pytest.approx(7.366, abs=5e-4)
    assert made.side_with_quiet * module_mm == pytest.approx(9.398, abs=5e-4)


@pytest.mark.published
def test_the_printed_example_dot_by_dot():
    """The same 7.366 and 9.398 mm read off the picture for a printer of 400 dpi.

    Drawn from its geometry: as a tag it would be refused, for its modules of 0.254 mm are below our least.
    """
    stock = Stock(kind="roll", width_mm=60.0, height_mm=20.0, printer_dpi=400)
    made = Code(symbol("A" * 47), 4, 4 * stock.dot_mm, 30.0, 5.0)
    assert made.side_mm + 2 * made.quiet_mm == pytest.approx(9.398, abs=5e-4)
    dark = ~np.asarray(picture(Layout((made,), ()), stock))
    for axis in (0, 1):
        extent = np.flatnonzero(dark.any(axis=axis))
        assert (extent[-1] + 1 - extent[0]) * 25.4 / 400 == pytest.approx(7.366, abs=5e-4)
    assert made.module_mm < LEAST_MODULE_MM


@pytest.mark.published
def test_tags_of_up_to_16_characters_fit_version_1():
    """ISO/IEC 18004, table of capacities: 16 alphanumeric characters in version 1 at level Q."""
    assert symbol(Tag("SM", "SB1").text).version == 1
    assert symbol(Tag("SMWX", "ABCDEFGHI").text).version == 1
    assert symbol(Tag("SMWX", "ABCDEFGHIJ").text).version == 2
    assert symbol(Tag("SMWX", "ABCDEFGHIJ", "A", "7Q0Z").text).version == 2


@pytest.mark.published
def test_finder_patterns():
    """ISO/IEC 18004: three squares of 7 modules, a ring of 5 white within, a dark core of 3."""
    made = symbol("SM.SB1.C")
    finder = [
        "1111111",
        "1000001",
        "1011101",
        "1011101",
        "1011101",
        "1000001",
        "1111111",
    ]
    wanted = [[digit == "1" for digit in row] for row in finder]
    last = made.side - 7
    for row, column in ((0, 0), (0, last), (last, 0)):
        assert [list(made.rows[row + down][column : column + 7]) for down in range(7)] == wanted


@pytest.mark.published
@pytest.mark.parametrize("most", [16, 29, 47])
def test_timing_patterns_and_the_dark_module(most):
    """ISO/IEC 18004: row and column 6 alternate, dark first, between the finders; module (4 V + 9, 8) is dark."""
    made = symbol("A" * most)
    between = range(8, made.side - 8)
    assert [made.rows[6][at] for at in between] == [at % 2 == 0 for at in between]
    assert [made.rows[at][6] for at in between] == [at % 2 == 0 for at in between]
    assert made.rows[4 * made.version + 9][8]


# ISO/IEC 18004, table of format information: level Q with masks 0 to 7, error correction and XOR mask applied
# (from memory; each is the BCH (15, 5) word of its five bits, which the test reckons anew).
FORMATS_AT_Q = [0x355F, 0x3068, 0x3F31, 0x3A06, 0x24B4, 0x2183, 0x2EDA, 0x2BED]


@pytest.mark.published
def test_format_information_says_level_q_and_a_mask():
    words = set()
    for number in range(200):
        rows = symbol(f"SM.LK{number:03}.A.0").rows
        beside = [*((row, 8) for row in (0, 1, 2, 3, 4, 5, 7, 8)), *((8, column) for column in (7, 5, 4, 3, 2, 1, 0))]
        words.add(sum(rows[row][column] << bit for bit, (row, column) in enumerate(beside)))
    assert words <= set(FORMATS_AT_Q)
    assert len(words) >= 6


@pytest.mark.closed_form
def test_the_formats_are_words_of_the_bch_code():
    """Five bits, the remainder by x10+x8+x5+x4+x2+x+1, all of it with 101010000010010 added."""
    for mask, word in enumerate(FORMATS_AT_Q):
        data = 0b11 << 3 | mask
        rest = data << 10
        for bit in range(14, 9, -1):
            if rest >> bit & 1:
                rest ^= 0b10100110111 << bit - 10
        assert (data << 10 | rest) ^ 0b101010000010010 == word
