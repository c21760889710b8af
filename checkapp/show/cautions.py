"""The usual caution, one sentence each, shown wherever mains or phantom power or the dark comes up."""

from checkapp.review.cautions import MAINS, PHANTOM
from checkapp.tongue import later

__all__ = ["DARK", "MAINS", "MUTE", "MUTE_PHANTOM", "NO_GUESS", "PHANTOM"]

MUTE = later("Mute the channel before re-plugging.")
"""What is left of `PHANTOM` where no phantom power is."""

MUTE_PHANTOM = later("Phantom power: mute before you plug.")
"""The same as `PHANTOM` in a row, where it stands beside every such end."""

NO_GUESS = later("Never switch it as a guess.")
"""Behind `PHANTOM` and the lines that have it on."""

DARK = later("Walk with a light and both hands free; a cable is not worth a fall.")
