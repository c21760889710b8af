"""The clock and the chance that everything below is handed: time, names of entries and of devices."""

import secrets
import time
from datetime import UTC, date, datetime


def now_ms() -> int:
    """Milliseconds since 1970 in UTC, by this device's clock."""
    return time.time_ns() // 1_000_000


def today() -> str:
    """Today's date where the device is, ``2031-05-02``."""
    return date.today().isoformat()


def stamp() -> str:
    """Date and time for a file name, UTC: ``20310502-140311``."""
    return datetime.now(UTC).strftime("%Y%m%d-%H%M%S")


def new_id() -> str:
    """A name for a new entry: 24 hex digits that no other entry has."""
    return secrets.token_hex(12)


def new_device() -> str:
    """A name for a new device: 12 hex digits."""
    return secrets.token_hex(6)
