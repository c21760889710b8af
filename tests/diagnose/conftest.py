"""Puts this folder's own modules (the written-out model, the random rigs) within reach of its tests."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
