"""The address of a hub, held so that no message, log or traceback shows a password.

An address is checked by our own pattern first: where a password has a sign that must be written as %40 or the like,
everything after it would be taken for the host, and shown.
"""

import re
from dataclasses import dataclass, field

import psycopg
from psycopg.conninfo import conninfo_to_dict, make_conninfo

from checkapp.journal.hub_errors import HubAddressWrong
from checkapp.tongue import later, shown_word, tr

_URL = re.compile(
    r"postgresql(?:\+psycopg)?://"
    r"(?:(?P<login>[^@/?#\s]*)@)?"
    r"(?P<hosts>[A-Za-z0-9.,:%_\[\]-]*)"
    r"(?:/(?P<database>[^@/?#\s]*))?"
    r"(?:\?(?P<settings>[^@?#\s]*))?",
    re.ASCII,
)
_HOST = re.compile(r"[A-Za-z0-9.:_-]{1,80}", re.ASCII)
_FORM = later("write postgresql://USER@HOST/DATABASE")
_SIGNS = later("in a user, password or file the signs @ / : ? # and % are written %40 %2F %3A %3F %23 %25")
_USUAL = {
    "application_name": "checkapp",
    "connect_timeout": "10",
    "keepalives_idle": "10",
    "keepalives_interval": "5",
    "keepalives_count": "3",
    "tcp_user_timeout": "20000",
}
"""What holds unless the address says otherwise: a hub that vanished is noticed within half a minute."""


@dataclass(frozen=True)
class HubAddress:
    """Where a hub is. ``shown`` is how messages call it, without user and password."""

    shown: str
    _secret: str = field(repr=False)

    def connect(self) -> "psycopg.Connection[tuple[object, ...]]":
        """A new connection. What the address leaves open comes from PostgreSQL's environment and password file."""
        return psycopg.connect(self._secret)


def read_address(url: str) -> HubAddress:
    """The address that a person gave: ``postgresql://`` or ``postgresql+psycopg://``. `HubAddressWrong`: it is none."""
    found = _URL.fullmatch(url.strip())
    if found is None:
        raise HubAddressWrong("; ".join((tr("this is no address of a hub"), shown_word(_FORM), shown_word(_SIGNS))))
    plain = "postgresql://" + url.strip().partition("://")[2]
    try:
        settings = conninfo_to_dict(plain)
        secret = make_conninfo(plain, **{name: value for name, value in _USUAL.items() if name not in settings})
    except (psycopg.Error, UnicodeError):  # their words quote the address
        wrong = tr("the hub's address cannot be read")
        raise HubAddressWrong("; ".join((wrong, shown_word(_FORM), shown_word(_SIGNS)))) from None
    host = str(settings.get("host") or settings.get("hostaddr") or "")
    return HubAddress(tr("the hub at {host}", host=host) if _HOST.fullmatch(host) else tr("the hub"), secret)
