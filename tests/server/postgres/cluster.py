"""A PostgreSQL of the tests' own, from the system's packages: a folder, a port and processes that nobody else uses."""

from __future__ import annotations

import os
import shutil
import socket
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import psycopg

from tests.server.serving import ROOT, environment

INSTALLED = Path("/usr/lib/postgresql")
USER = "postgres"
LONGEST_SOCKET_PATH = 107
LAID = "laid"
SETTINGS = {
    "listen_addresses": "127.0.0.1",
    "fsync": "off",
    "full_page_writes": "off",
    "autovacuum": "off",
    "track_commit_timestamp": "on",
    "max_connections": "60",
    "timezone": "UTC",
}
"""Nothing here is killed with its machine, so nothing needs forcing to the disk, nor tidying."""


@dataclass(frozen=True, slots=True)
class Cluster:
    folder: Path
    port: int

    def url(self, name: str) -> str:
        return f"postgresql://{USER}@127.0.0.1:{self.port}/{name}"

    def made(self, name: str, template: str = "template1") -> str:
        """A new database, by its address; begun as a copy of another that nobody is connected to."""
        with psycopg.connect(self.url("postgres"), autocommit=True) as connection:
            connection.execute(f'CREATE DATABASE "{name}" TEMPLATE "{template}"')
        return self.url(name)

    def laid(self, name: str) -> str:
        """A new database with the server's tables and nothing in them, by its address."""
        return self.made(name, LAID)

    def lay(self) -> None:
        """Run every migration, once: each database of the tests begins as a copy of what they leave."""
        done = subprocess.run(
            [sys.executable, "-m", "django", "migrate", "--verbosity", "0"],
            cwd=ROOT,
            env=environment(self.made(LAID)) | {"DJANGO_SETTINGS_MODULE": "server.config.settings"},
            capture_output=True,
            text=True,
            timeout=120,
            check=False,
        )
        assert done.returncode == 0, done.stderr


def programs() -> Path:
    """The newest installed version's programs. Fails where there is none, as nothing may be skipped."""
    found = sorted(INSTALLED.glob("*/bin/initdb"), key=lambda one: float(one.parts[-3]))
    assert found, f"no PostgreSQL under {INSTALLED}: see tests/system-packages.txt"
    return found[-1].parent


@contextmanager
def running() -> Iterator[Cluster]:
    """A cluster that answers, and that is surely this one; stopped by its own id at the end."""
    folder = Path(tempfile.mkdtemp(prefix="goodground-pg-", dir="/tmp"))
    folder.chmod(0o755)
    if os.geteuid() == 0:
        shutil.chown(folder, USER, USER)
    port = _free_port()
    assert len(f"{folder}/.s.PGSQL.{port}") < LONGEST_SOCKET_PATH
    data = folder / "data"
    try:
        _run("initdb", "-D", str(data), "-U", USER, "-A", "trust", "-E", "UTF8", "--locale=C", "--no-sync")
        told = " ".join(f"-c {name}={value}" for name, value in SETTINGS.items())
        options = f"-p {port} -k {folder} {told}"
        _run("pg_ctl", "start", "-w", "-D", str(data), "-l", str(folder / "log"), "-o", options)
        try:
            cluster = Cluster(folder, port)
            with psycopg.connect(cluster.url("postgres")) as connection:
                found = connection.execute("SHOW data_directory").fetchone()
            assert found == (str(data),)
            yield cluster
        finally:
            _run("pg_ctl", "stop", "-w", "-m", "immediate", "-D", str(data))
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def _run(program: str, *words: str) -> None:
    """As the system's own user for it where we are root: PostgreSQL runs as anybody but root."""
    who = {"user": USER, "group": USER, "extra_groups": ()} if os.geteuid() == 0 else {}
    done = subprocess.run(
        [str(programs() / program), *words],
        cwd="/tmp",
        stdin=subprocess.DEVNULL,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        timeout=120,
        check=False,
        **who,
    )
    assert done.returncode == 0, f"{program} {' '.join(words)} failed"


def _free_port() -> int:
    with socket.socket() as one:
        one.bind(("127.0.0.1", 0))
        return int(one.getsockname()[1])
