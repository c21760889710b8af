"""Return loss of steps of impedance against printed tables and textbook cases."""

import pytest

from checkapp.review.impedance import reflected_share, return_loss_db

# A pair for digital audio has 110 ohm give or take 20 % (AES3; IEC 60958-4-4): its bounds, and two ordinary cables
PAIR = [(88.0, 19.08), (132.0, 20.83), (75.0, 14.46), (60.0, 10.63)]


@pytest.mark.published
@pytest.mark.parametrize(("ohm", "loss_db"), PAIR)
def test_return_loss_on_110_ohm(ohm, loss_db):
    assert return_loss_db(ohm, 110.0) == pytest.approx(loss_db, abs=5e-3)
    assert return_loss_db(110.0, ohm) == return_loss_db(ohm, 110.0)


@pytest.mark.published
def test_75_on_50_ohm():
    """The textbook case: reflection 0.2000, standing wave ratio 1.50, return loss 13.98 dB (from memory)."""
    share = reflected_share(75.0, 50.0)
    assert share == pytest.approx(0.2, abs=1e-12)
    assert (1 + share) / (1 - share) == pytest.approx(1.5, abs=1e-12)
    assert return_loss_db(75.0, 50.0) == pytest.approx(13.98, abs=5e-3)


# Printed tables of standing wave ratio against return loss and reflection, as in any handbook of radio (from memory);
# a resistive load of s times the line's impedance has the ratio s
@pytest.mark.published
@pytest.mark.parametrize(
    ("ratio", "loss_db", "share"),
    [(1.05, 32.26, 0.0244), (1.1, 26.44, 0.0476), (1.2, 20.83, 0.0909), (2.0, 9.54, 0.3333), (3.0, 6.02, 0.5)],
)
def test_table_of_standing_wave_ratios(ratio, loss_db, share):
    assert return_loss_db(50.0 * ratio, 50.0) == pytest.approx(loss_db, abs=5e-3)
    assert reflected_share(50.0 * ratio, 50.0) == pytest.approx(share, abs=5e-5)


@pytest.mark.closed_form
def test_a_match_reflects_nothing():
    assert return_loss_db(110.0, 110.0) == float("inf")
    assert return_loss_db(1e-12, 1e12) == pytest.approx(0.0, abs=1e-12)
