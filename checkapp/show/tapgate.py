"""A touch panel sometimes reports one tap twice, and a held key repeats: the second must not mark the next line."""

GAP_S = 0.3


class TapGate:
    """Lets one tap through and holds back what follows within 300 ms of it."""

    def __init__(self, gap_s: float = GAP_S) -> None:
        self._gap_s = gap_s
        self._last_s = float("-inf")

    def take(self, now_s: float) -> bool:
        """Whether a tap at ``now_s`` (seconds on any steady clock) counts."""
        if 0 <= now_s - self._last_s < self._gap_s:
            return False
        self._last_s = now_s
        return True
