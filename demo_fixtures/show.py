"""The demo as one command: data, server, phone, and the end of all three. Run by ``make demo``.

What is started here is ended here, and nothing else. A second run finds ``demo.json`` in the data folder and goes
on with what is there.
"""

from __future__ import annotations

import json
import os
import shlex
import shutil
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, field
from datetime import UTC, date, datetime
from pathlib import Path
from types import FrameType
from typing import Any, NoReturn
from urllib.request import urlopen

from demo_fixtures import farm, people, tracks
from demo_fixtures.seed import SEED
from demo_fixtures.stands import DUE_TO_MOW
from shared.languages import say

MARK = "demo.json"
SERVER_WAIT_S, END_WAIT_S = 40, 10
PHONE_SIZE = "412x915"


class Ended(Exception):
    """Somebody asked for the end: Ctrl-C, or a signal to stop."""


@dataclass(frozen=True, slots=True)
class Folder:
    """The demo's folder: the server's data, the phone's, the tracks, what each said, and the mark of what it is."""

    root: Path

    @property
    def server(self) -> Path:
        return self.root / "server"

    @property
    def phone(self) -> Path:
        return self.root / "phone"

    @property
    def tracks(self) -> Path:
        return self.root / "tracks"

    @property
    def mark(self) -> Path:
        return self.root / MARK

    def log(self, name: str) -> Path:
        return self.root / f"{name}.log"

    @property
    def is_laid(self) -> bool:
        return self.mark.exists()

    @property
    def is_ours(self) -> bool:
        """Nothing there, or what the demo put there."""
        return not self.root.exists() or self.is_laid or not any(self.root.iterdir())

    def told(self) -> dict[str, Any]:
        out: dict[str, Any] = json.loads(self.mark.read_text("utf-8"))
        return out


@dataclass(frozen=True, slots=True)
class Drawn:
    """Which season is laid: its seed number, up to when (None: now), from when on (None: all of it)."""

    seed: int = SEED
    until: datetime | None = None
    since: date | None = None


@dataclass(slots=True)
class Demo:
    """One run: what it was told, and the processes that it started."""

    folder: Folder
    language: str = "en"
    drawn: Drawn = Drawn()
    phone_wanted: bool = True
    started: list[subprocess.Popen[bytes]] = field(default_factory=list)

    def tell(self, key: str, **facts: object) -> None:
        print(say(self.language, f"demo.{key}", **facts), flush=True)

    def run(self, fresh: bool) -> int:
        if not self.folder.is_ours:
            self.tell("not_ours", folder=str(self.folder.root))
            return 2
        if fresh and self.folder.root.exists():
            shutil.rmtree(self.folder.root)
        try:
            if self.folder.is_laid:
                self.tell("going_on", folder=str(self.folder.root))
            else:
                self.tell("laying")
                self._lay(self.drawn.until or datetime.now(UTC))
            return self._serve()
        except Ended:
            return 0
        finally:
            self._end()
            self.tell("ended", folder=str(self.folder.root))

    def _lay(self, until: datetime) -> None:
        """Beside its place first, and into it when whole: a run that is cut short leaves nothing half laid."""
        beside = self.folder.root.with_name(self.folder.root.name + ".laying")
        shutil.rmtree(beside, ignore_errors=True)
        command = [*_module("demo_fixtures"), "lay", "--data", str(Folder(beside).server)]
        command += ["--until", until.isoformat(timespec="seconds"), "--seed", str(self.drawn.seed)]
        command += ["--since", self.drawn.since.isoformat()] if self.drawn.since else []
        self._call(command)
        mark = {"seed": self.drawn.seed, "until": until.isoformat(timespec="seconds"), "port": _free_port()}
        Folder(beside).mark.write_text(json.dumps(mark, indent=1) + "\n", "utf-8")
        if self.folder.root.exists():
            self.folder.root.rmdir()
        beside.rename(self.folder.root)

    def _serve(self) -> int:
        port = self._port()
        address = f"http://127.0.0.1:{port}"
        server = self._start(
            "server", [*_module("server"), "serve", "--data", str(self.folder.server), "--port", str(port)]
        )
        if not _answers(f"{address}/api/v1/hello/", server):
            self.tell("no_server", seconds=SERVER_WAIT_S, log=str(self.folder.log("server")))
            return 1
        self.tell("server", address=address)
        self.tell("sign_in", link=f"{address}/sign-in/{self._ask('sign-in')}/")
        self.tell("digits", digits=", ".join(f"{one.digits} {one.name}" for one in people.PEOPLE))
        phone = self._phone(address)
        self.tell("end")
        return self._watch(server, phone)

    def _port(self) -> int:
        """The port of the last run where it is still free, so that the joined phone finds its server again."""
        told = self.folder.told()
        port = int(told["port"])
        if not _is_free(port):
            port = _free_port()
            self.folder.mark.write_text(json.dumps(told | {"port": port}, indent=1) + "\n", "utf-8")
        return port

    def _phone(self, address: str) -> subprocess.Popen[bytes] | None:
        tracks.write(self.folder.tracks, datetime.now(UTC).replace(microsecond=0), self.drawn.seed)
        command = self._phone_command(address)
        if not self.phone_wanted or not _has_display():
            self.tell("no_display" if self.phone_wanted else "no_window")
            print(f"  {shlex.join(command)}", flush=True)
            return None
        self.tell("window", field=farm.BY_KEY[DUE_TO_MOW].name)
        return self._start("phone", command)

    def _phone_command(self, address: str) -> list[str]:
        """A slip is made as long as the phone has no folder of its own yet; after that it knows its farm."""
        command = [*_module("mobile.main"), "--data", str(self.folder.phone), "--server", address]
        if not self.folder.phone.exists():
            command += ["--code", self._ask("slip")]
        return [*command, "--nmea", str(self.folder.tracks / "round.nmea"), "--size", PHONE_SIZE]

    def _ask(self, what: str) -> str:
        """A slip's code, or the secret of a sign-in link, from a process that knows the book."""
        return self._call([*_module("demo_fixtures"), what, "--data", str(self.folder.server)]).strip()

    def _call(self, command: Sequence[str]) -> str:
        process = subprocess.Popen(
            command, stdout=subprocess.PIPE, env=_environment(), start_new_session=True
        )
        self.started.append(process)
        said, _ = process.communicate()
        self.started.remove(process)
        if process.returncode:
            raise SystemExit(process.returncode)
        return said.decode()

    def _start(self, name: str, command: Sequence[str]) -> subprocess.Popen[bytes]:
        with self.folder.log(name).open("ab") as log:
            # In a session of its own, so that Ctrl-C reaches this process alone and ends the rest in order.
            process = subprocess.Popen(
                command, stdout=log, stderr=subprocess.STDOUT, env=_environment(), start_new_session=True
            )
        self.started.append(process)
        return process

    def _watch(self, server: subprocess.Popen[bytes], phone: subprocess.Popen[bytes] | None) -> int:
        while server.poll() is None:
            if phone is not None and (code := phone.poll()) is not None:
                self.started.remove(phone)
                self._phone_gone(code, phone.args)
                phone = None
            time.sleep(0.2)
        self.tell("stopped_server", code=server.returncode, log=str(self.folder.log("server")))
        return 1

    def _phone_gone(self, code: int, command: Any) -> None:
        if code:
            self.tell("no_phone", code=code, log=str(self.folder.log("phone")))
            return
        self.tell("phone_closed")
        print(f"  {shlex.join(_without_code(command))}", flush=True)

    def _end(self) -> None:
        """End what was started here, the phone before the server; what does not hear is made to."""
        for process in reversed(self.started):
            if process.poll() is None:
                process.terminate()
            try:
                process.wait(END_WAIT_S)
            except subprocess.TimeoutExpired:
                process.kill()
                process.wait()
        self.started.clear()


def _module(name: str) -> list[str]:
    return [sys.executable, "-m", name]


def _environment() -> Mapping[str, str]:
    """The demo's book is the SQLite file in its own folder, whatever the surroundings say."""
    return {name: value for name, value in os.environ.items() if not name.startswith("GOODGROUND_")}


def _without_code(command: Sequence[str]) -> list[str]:
    out = list(command)
    if "--code" in out:
        at = out.index("--code")
        del out[at : at + 2]
    return out


def _has_display() -> bool:
    return sys.platform in ("darwin", "win32") or bool(
        os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY")
    )


def _free_port() -> int:
    with socket.socket() as one:
        one.bind(("127.0.0.1", 0))
        return int(one.getsockname()[1])


def _is_free(port: int) -> bool:
    with socket.socket() as one:
        one.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            one.bind(("127.0.0.1", port))
        except OSError:
            return False
        return True


def _answers(address: str, server: subprocess.Popen[bytes]) -> bool:
    end = time.monotonic() + SERVER_WAIT_S
    while time.monotonic() < end and server.poll() is None:
        with suppress(OSError), urlopen(address, timeout=5):
            return True
        time.sleep(0.1)
    return False


def _ended(signum: int, frame: FrameType | None) -> NoReturn:
    raise Ended


def show(data: Path, fresh: bool, drawn: Drawn, phone: bool) -> int:
    """Lay, serve, open the phone, and stay until somebody ends it. 0 when ended, else what went wrong is told."""
    for one in (signal.SIGINT, signal.SIGTERM):
        signal.signal(one, _ended)
    language = "es" if os.environ.get("LANG", "").startswith("es") else "en"
    try:
        return Demo(Folder(data.resolve()), language, drawn, phone).run(fresh)
    except Ended:
        return 0
