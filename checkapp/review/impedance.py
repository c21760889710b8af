"""What comes back where a digital link meets a cable of another impedance.

At a step from Z0 to Z the share (Z - Z0)/(Z + Z0) of the voltage is reflected: textbook theory of lines. As a return
loss it is RL = -20 log10 |Z - Z0|/(Z + Z0) dB; a perfect match has no reflection and an infinite return loss. Both
impedances are in ohm and above 0. AES3 and IEC 60958-4-4 ask for 110 ohm give or take 20 % of a pair for digital
audio, which is a return loss of at least 19.08 dB.
"""

import math


def reflected_share(ohm: float, reference_ohm: float) -> float:
    """Share of the voltage that is reflected at a step of impedance, without its sign: 0 (a match) to 1."""
    return abs(ohm - reference_ohm) / (ohm + reference_ohm)


def return_loss_db(ohm: float, reference_ohm: float) -> float:
    """Return loss of a step of impedance in dB, 0 or more: the larger the better; infinite at a match."""
    share = reflected_share(ohm, reference_ohm)
    return -20 * math.log10(share) + 0.0 if share else math.inf
