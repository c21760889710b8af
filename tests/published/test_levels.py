"""Levels in volts against definitions, EBU R 68, SMPTE RP 155 and IEC 60268-10."""

import math

import pytest

from checkapp.review.signal_levels import (
    EBU_FULL_SCALE_DBU,
    SMPTE_FULL_SCALE_DBU,
    full_scale_dbu,
    volts_from_dbu,
    volts_from_dbv,
)

DBU = [
    pytest.param(0.0, 0.7746, 5e-5, id="0 dBu: 1 mW in 600 ohm, definition"),
    pytest.param(4.0, 1.228, 5e-4, id="+4 dBu, professional line level"),
    pytest.param(6.0, 1.55, 5e-3, id="+6 dBu, 0 dB of a type I peak meter, IEC 60268-10, from memory"),
    pytest.param(8.0, 1.95, 5e-3, id="+8 dBu, permitted maximum of a type II peak meter, IEC 60268-10, from memory"),
    pytest.param(18.0, 6.15, 5e-3, id="+18 dBu, EBU full scale"),
    pytest.param(24.0, 12.28, 5e-3, id="+24 dBu, SMPTE full scale"),
]


@pytest.mark.published
@pytest.mark.parametrize(("level_dbu", "volts", "half_digit"), DBU)
def test_volts_of_a_level_in_dbu(level_dbu, volts, half_digit):
    assert volts_from_dbu(level_dbu) == pytest.approx(volts, abs=half_digit)


@pytest.mark.published
@pytest.mark.parametrize(
    ("level_dbv", "volts"),
    [pytest.param(0.0, 1.0, id="0 dBV, definition"), pytest.param(-10.0, 0.3162, id="-10 dBV, level of players")],
)
def test_volts_of_a_level_in_dbv(level_dbv, volts):
    assert volts_from_dbv(level_dbv) == pytest.approx(volts, abs=5e-5)


@pytest.mark.published
def test_professional_level_is_11_78_db_above_that_of_players():
    """+4 dBu against -10 dBV: follows from the definitions, and is printed in every handbook."""
    ratio = volts_from_dbu(4.0) / volts_from_dbv(-10.0)
    assert 20 * math.log10(ratio) == pytest.approx(11.78, abs=5e-3)


@pytest.mark.published
def test_0_dbv_is_2_22_dbu():
    """Handbooks: dBu = dBV + 2.22 (from memory)."""
    assert volts_from_dbu(2.2185) == pytest.approx(1.0, abs=1e-5)


@pytest.mark.published
def test_ebu_full_scale():
    """EBU R 68: the alignment level is 18 dB below full scale; with 0 dBu for it full scale is 6.15 V."""
    assert full_scale_dbu(0.0, -18.0) == EBU_FULL_SCALE_DBU == 18.0
    assert volts_from_dbu(EBU_FULL_SCALE_DBU) == pytest.approx(6.15, abs=5e-3)


@pytest.mark.published
def test_smpte_full_scale():
    """SMPTE RP 155: the reference level is 20 dB below full scale; with +4 dBu for it full scale is 12.28 V."""
    assert full_scale_dbu(4.0, -20.0) == SMPTE_FULL_SCALE_DBU == 24.0
    assert volts_from_dbu(SMPTE_FULL_SCALE_DBU) == pytest.approx(12.28, abs=5e-3)
