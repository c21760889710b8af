"""How far a hop has to reach, as far as the plan gives places."""

import math

from checkapp.rig.model import Box, Position
from checkapp.rig.rig import Rig


def place_of(rig: Rig, feeder: str) -> Position | None:
    """Where a hop from a box or from the start of a chain begins on the stage plan; None when no place is given."""
    chain = rig.chains.get(feeder)
    if chain is None:
        return rig.boxes[feeder].at
    return chain.at if chain.start is None else rig.boxes[chain.start].at


def distance_m(rig: Rig, feeder: str, box: Box) -> float | None:
    """Metres from there to a box, as the crow flies; None when one of the two has no place."""
    start = place_of(rig, feeder)
    return None if start is None or box.at is None else math.dist(start, box.at)
