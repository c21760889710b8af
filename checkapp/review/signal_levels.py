"""Line level in volts: what the gear that is plugged in gives, and what a box must be able to take.

0 dBu is the voltage that puts 1 mW into 600 ohm, sqrt(0.6) V = 0.7746 V; 0 dBV is 1 V: definitions. Professional gear
is made for +4 dBu, players for -10 dBV: common practice. Full scale of a digital system stands above its alignment
level: -18 dBFS for 0 dBu (EBU R 68; the tie to 0 dBu is national practice), -20 dBFS for +4 dBu (SMPTE RP 155). All
volts are rms of a sine.
"""

import math

PROFESSIONAL_DBU = 4.0
PLAYER_DBV = -10.0


def volts_from_dbu(level_dbu: float) -> float:
    """Volts of a level in dBu."""
    return math.sqrt(0.6) * 10 ** (level_dbu / 20)


def volts_from_dbv(level_dbv: float) -> float:
    """Volts of a level in dBV."""
    return 10 ** (level_dbv / 20)


def full_scale_dbu(alignment_dbu: float, alignment_dbfs: float) -> float:
    """The level in dBu of 0 dBFS, where ``alignment_dbfs`` (0 or below) stands for ``alignment_dbu``."""
    return alignment_dbu - alignment_dbfs


EBU_FULL_SCALE_DBU = full_scale_dbu(0.0, -18.0)
"""0 dBFS by EBU R 68."""
SMPTE_FULL_SCALE_DBU = full_scale_dbu(PROFESSIONAL_DBU, -20.0)
"""0 dBFS by SMPTE RP 155."""
