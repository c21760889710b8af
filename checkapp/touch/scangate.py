"""A scanner that is held on a tag reads it again and again: that is one scan."""

from typing import Final

AGAIN_S: Final = 1.0


class ScanGate:
    """Lets each text through once, until it has not been read for a second; other texts pass meanwhile."""

    def __init__(self, again_s: float = AGAIN_S) -> None:
        self._again_s = again_s
        self._last_s: dict[str, float] = {}

    def take(self, text: str, now_s: float) -> bool:
        """Whether ``text``, read at ``now_s`` (seconds on any steady clock), is a scan of its own."""
        recent = {read: at_s for read, at_s in self._last_s.items() if 0 <= now_s - at_s < self._again_s}
        self._last_s = {**recent, text: now_s}
        return text not in recent
