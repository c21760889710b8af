"""QR symbols of tags: read back by another library, drawn as rectangles, sized in printer dots."""

import numpy as np
import pytest
import qrcode
import zxingcpp
from hypothesis import given, settings
from hypothesis import strategies as st
from qrcode.util import MODE_ALPHA_NUM, QRData, lost_point

from checkapp.tags.qr import LEAST_MODULE_MM, bars, least_side_mm, module_dots, symbol

payloads = st.text("ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789.-", min_size=1, max_size=29)


@pytest.mark.independent
@settings(max_examples=60, deadline=None)
@given(payloads)
def test_another_library_reads_what_was_put_in(text):
    made = symbol(text)
    image = np.pad(np.where(np.array(made.rows), 0, 255).astype(np.uint8), 4, constant_values=255)
    (found,) = zxingcpp.read_barcodes(image.repeat(4, 0).repeat(4, 1), formats=zxingcpp.BarcodeFormat.QRCode)
    assert found.text == text
    assert found.ec_level == "Q"


@settings(max_examples=60, deadline=None)
@given(payloads)
def test_the_bars_cover_each_dark_module_once_and_no_white_one(text):
    made = symbol(text)
    covered = np.zeros((made.side, made.side), int)
    for bar in bars(made):
        covered[bar.row : bar.row + bar.height, bar.column : bar.column + bar.width] += 1
    assert (covered == np.array(made.rows, int)).all()


@pytest.mark.independent
@settings(max_examples=40, deadline=None)
@given(st.text("ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789$%*+-./: ", min_size=1, max_size=160))
def test_the_modules_are_those_of_the_library_with_the_mask_that_was_chosen(text):
    """Reached from one mask by what differs between masks, and the same as drawn with that mask from the start."""
    drawn = []
    for mask in range(8):
        code = qrcode.QRCode(error_correction=qrcode.ERROR_CORRECT_Q, border=0, mask_pattern=mask)
        code.add_data(QRData(text, mode=MODE_ALPHA_NUM))
        code.make(fit=True)
        drawn.append(tuple(map(tuple, code.modules)))
    assert symbol(text).rows == min(drawn, key=lambda rows: lost_point([list(row) for row in rows]))


def test_the_bars_are_far_fewer_than_the_modules():
    made = symbol("SM.LK01.A.D")
    assert len(list(bars(made))) < 0.4 * sum(map(sum, made.rows))


@pytest.mark.parametrize("text", ["sm.sb1.c", "É", "A\n", "日本"])
def test_other_characters_are_refused(text):
    with pytest.raises(ValueError, match="mode"):
        symbol(text)


@pytest.mark.closed_form
@given(st.integers(100, 4800), st.floats(0, 200))
def test_a_module_is_a_whole_number_of_dots_as_large_as_fits(dpi, room_mm):
    made, dot_mm = symbol("SM.SB1.C"), 25.4 / dpi
    dots = module_dots(made, room_mm, dot_mm)
    least = next(n for n in range(1, 1000) if n * dot_mm >= LEAST_MODULE_MM - 1e-9)
    assert least_side_mm(made, dot_mm) == pytest.approx(29 * least * dot_mm)
    if dots is None:
        assert 29 * least * dot_mm > room_mm
    else:
        assert dots >= least
        assert dots * dot_mm * 29 <= room_mm + 1e-6
        assert (dots + 1) * dot_mm * 29 > room_mm


@pytest.mark.closed_form
def test_the_smallest_symbol_at_300_dpi():
    """At 300 dpi 0.33 mm is 3.9 dots, so 4: 29 modules of 4 dots are 9.82 mm."""
    made, dot_mm = symbol("SM.SB1.C"), 25.4 / 300
    assert least_side_mm(made, dot_mm) == pytest.approx(9.8213, abs=1e-4)
    assert module_dots(made, 29 * 4 * dot_mm, dot_mm) == 4
    assert module_dots(made, 9.82, dot_mm) is None
