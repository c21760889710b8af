"""The clock and the chance that everything below is handed: time, names of entries and of devices."""

import secrets
import time
from datetime import UTC, date, datetime

from checkapp.tongue.numbers import moment


def now_ms() -> int:
    """Milliseconds since 1970 in UTC, by this device's clock."""
    return time.time_ns() // 1_000_000


def today() -> str:
    """Today's date where the device is, ``2031-05-02``."""
    return date.today().isoformat()


def today_utc() -> date:
    """Today's date in UTC, as the times of the journal have it."""
    return datetime.now(UTC).date()


def local_time(at: str) -> str:
    """A time of the journal (``2031-05-02T14:03:11.120Z``) by the clock on the wall: ``2 May 2031, 16:03``."""
    return moment(at)


def new_id() -> str:
    """A name for a new entry: 24 hex digits that no other entry has."""
    return secrets.token_hex(12)


def new_device() -> str:
    """A name for a new device: 12 hex digits."""
    return secrets.token_hex(6)
