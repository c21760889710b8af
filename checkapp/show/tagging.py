"""Tags of a rig onto a stock."""

from collections.abc import Sequence
from pathlib import Path

from checkapp.rig.planfile import load_plan
from checkapp.show import places

DEFAULT_STOCK = "sheet-a4"
