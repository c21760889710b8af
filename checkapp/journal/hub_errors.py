"""What can be wrong with a hub, named by the condition; no word of the library is passed on that could hold a secret.

What libpq says before a connection stands quotes the address that it was given, and a password that was not written
as it must be ends up in the host or the port of it. So such words are only looked at, and said in our own.
"""

import re

import psycopg

from checkapp.journal.errors import JournalError
from checkapp.rig.errors import printable
from checkapp.tongue import later, shown_word, tr


class HubError(JournalError):
    """The journal could not be synced; it goes on without the hub, and nothing is lost."""


class HubAway(HubError):
    """Nothing answers at the hub's address, or it stopped answering: worth trying again."""


class HubRefused(HubError):
    """The hub does not let this user in, or not do this."""


class HubNotSetUp(HubError):
    """The database has no table for entries."""


class HubTooNew(HubError):
    """The hub was set up by a newer version of this program."""


class HubAddressWrong(HubError):
    """What was given is no address of a hub."""


_QUOTED = re.compile(r"""\"[^"]*"|'[^']*'""")
_SETUP = later("let an administrator run what this prints: checkapp journal sync --setup")
_USER = later("check the user and the password: in the address, in PGPASSWORD or in the password file")
_LATER = later("the journal works on; sync again later")

_BEFORE = (
    (("password", "role", "pg_hba", "authentication", "peer"), HubRefused, later("did not accept the user"), _USER),
    (
        ("does not exist",),
        HubRefused,
        later("has no database of that name"),
        later("check the name at the end of the address"),
    ),
    (
        ("certificate", "ssl", "tls"),
        HubRefused,
        later("could not be trusted"),
        later("check sslmode, sslrootcert and the host's name"),
    ),
    (
        ("resolve", "translate", "name or service"),
        HubAway,
        later("is not known by that name"),
        later("check the host, or the journal works on; sync again later"),
    ),
    (
        ("invalid", "bad value"),
        HubAddressWrong,
        later("cannot be reached so"),
        later("check the host, the port and what follows the ?"),
    ),
)
"""Words that libpq says while it connects, and what they mean. From memory, and tried against PostgreSQL 18."""

_STATES: tuple[tuple[str, type[HubError], str, str], ...] = (
    ("28", HubRefused, later("did not accept the user"), _USER),
    ("3D", HubRefused, later("has no database of that name"), later("check the name at the end of the address")),
    ("42501", HubRefused, later("does not let this user read and add entries"), _SETUP),
    ("42P01", HubNotSetUp, later("has no table for entries"), _SETUP),
    ("42703", HubNotSetUp, later("has another table of that name"), _SETUP),
    (
        "25006",
        HubRefused,
        later("only lets entries be read"),
        later("give the address of the server that takes entries"),
    ),
    ("08", HubAway, later("stopped answering"), _LATER),
    ("57", HubAway, later("stopped answering"), _LATER),
    ("53", HubAway, later("has no room or no connection left"), _LATER),
    ("55P03", HubAway, later("was busy for too long"), _LATER),
    ("40", HubAway, later("was busy with the same entries"), _LATER),
)
"""SQLSTATE codes or classes; source: PostgreSQL documentation, appendix A."""


def from_connecting(error: psycopg.Error, hub: str) -> HubError:
    """The named error for what is said while connecting to ``hub``, as it is called in messages."""
    words = _QUOTED.sub("", str(error).lower())
    for signs, named, wrong, right in _BEFORE:
        if any(sign in words for sign in signs):
            return named(_told(hub, wrong, right))
    return HubAway(_told(hub, later("does not answer"), _LATER))


def from_working(error: psycopg.Error, hub: str) -> HubError:
    """The named error for what happens on a connection that stands."""
    state = error.sqlstate
    if state is None:
        return HubAway(_told(hub, later("stopped answering"), _LATER))
    for begin, named, wrong, right in _STATES:
        if state.startswith(begin):
            return named(_told(hub, wrong, right))
    said = printable(error.diag.message_primary or type(error).__name__, 200)
    return HubRefused(_told(hub, tr("refused: {said} ({state})", said=said, state=state), _SETUP))


def not_set_up(hub: str) -> HubNotSetUp:
    """The error for a database that is no hub."""
    return HubNotSetUp(_told(hub, later("has no table for entries"), _SETUP))


def _told(hub: str, wrong: str, right: str) -> str:
    return f"{hub} {shown_word(wrong)}; {shown_word(right)}"
