"""The real server, as people start it, on a free port of loopback with a data folder of its own."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from urllib.parse import urlsplit

ROOT = Path(__file__).resolve().parents[2]


def command(data: Path, *words: str, database: str = "") -> str:
    """What a command of the server prints. It must succeed."""
    done = subprocess.run(
        [sys.executable, "-m", "server", *words, "--data", str(data)],
        cwd=ROOT,
        env=environment(database),
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


def environment(database: str = "") -> dict[str, str]:
    """Nothing of the caller's own settings; the book in SQLite, or in the database at this address."""
    kept = {key: value for key, value in os.environ.items() if not key.startswith(("GOODGROUND_", "DJANGO_"))}
    told = {"GOODGROUND_DATABASE_URL": database} if database else {}
    return kept | told | {"PYTHONPATH": str(ROOT)}


@contextmanager
def serving(data: Path, *words: str, database: str = "") -> Iterator[tuple[str, int]]:
    """Host and port of a server that answers, ended by its own id when the test is through."""
    server = subprocess.Popen(
        [sys.executable, "-m", "server", "serve", "--port", "0", "--data", str(data), *words],
        cwd=ROOT,
        env=environment(database),
        stdout=subprocess.PIPE,
        text=True,
    )
    try:
        assert server.stdout is not None
        told = urlsplit(server.stdout.readline().strip())
        assert told.hostname is not None
        assert told.port is not None
        yield told.hostname, told.port
    finally:
        server.terminate()
        server.wait(timeout=30)
        if server.stdout is not None:
            server.stdout.close()
