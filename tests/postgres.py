"""A PostgreSQL server of the tests' own, in a scratch folder, when the machine has the program for it."""

import os
import pwd
import shutil
import socket
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from itertools import count
from pathlib import Path

import psycopg

_BIN = next(
    (path.parent for path in sorted(Path("/usr/lib/postgresql").glob("*/bin/initdb"), reverse=True)),
    Path(found).parent if (found := shutil.which("initdb")) else None,
)
IS_HERE = _BIN is not None
NOT_HERE = "PostgreSQL was not found (no initdb): the store was tested on SQLite only."


@dataclass
class Cluster:
    """A running server; every test gets a database of its own, copied from one that is migrated."""

    port: int
    numbers: Iterator[int]

    def url(self, name: str) -> str:
        return f"postgresql+psycopg://postgres@127.0.0.1:{self.port}/{name}"

    def run(self, sql: str) -> None:
        address = f"host=127.0.0.1 port={self.port} user=postgres dbname=postgres"
        with psycopg.connect(address, autocommit=True) as connection:
            connection.execute(sql)  # type: ignore[call-overload]

    def make(self, template: str = "template0") -> str:
        """Make a database and give its address."""
        name = f"test_{next(self.numbers)}"
        self.run(f"CREATE DATABASE {name} TEMPLATE {template}")
        return self.url(name)


@contextmanager
def cluster() -> Iterator[Cluster]:
    """Start a server and stop it afterwards; the program refuses to run as root."""
    assert _BIN is not None
    folder = Path(tempfile.mkdtemp(prefix="upstand-pg-"))
    data, who = folder / "data", []
    if os.getuid() == 0:
        user = pwd.getpwnam("postgres")
        os.chown(folder, user.pw_uid, user.pw_gid)
        # Where it lies is not on everybody's path.
        found = shutil.which("runuser", path=f"{os.environ.get('PATH', '')}:/usr/sbin:/sbin")
        assert found, "To start PostgreSQL as root the tests need runuser (package util-linux)."
        who = [found, "-u", "postgres", "--"]
    with socket.socket() as found:
        found.bind(("127.0.0.1", 0))
        port = found.getsockname()[1]
    options = f"-p {port} -c listen_addresses=127.0.0.1 -c unix_socket_directories= -c fsync=off"
    commands = (
        [str(_BIN / "initdb"), "-D", str(data), "-A", "trust", "-U", "postgres", "-E", "UTF8", "--no-sync"],
        [str(_BIN / "pg_ctl"), "-D", str(data), "-w", "-o", options, "-l", str(folder / "log"), "start"],
    )
    try:
        for command in commands:
            subprocess.run([*who, *command], check=True, stdout=subprocess.DEVNULL, cwd=folder)
        yield Cluster(port, count())
    finally:
        stop = [str(_BIN / "pg_ctl"), "-D", str(data), "-m", "immediate", "stop"]
        subprocess.run([*who, *stop], check=False, stdout=subprocess.DEVNULL, cwd=folder)
        shutil.rmtree(folder, ignore_errors=True)
