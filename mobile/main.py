"""Builds the adapters from the command line and hands them to the app.

    python -m mobile.main --data DIR [--server URL [--code SLIP]] [--nmea FILE | --gpsd HOST:PORT | --click]
        [--size 412x915]

Every option has a variable of the same name (``GOODGROUND_DATA``, ``GOODGROUND_SERVER`` …). Kivy's own folder lies
inside the data folder. ``--report FILE`` is for tests that drive the window from outside: see
``mobile.widgets.report``.
"""

from __future__ import annotations

import argparse
import gc
import locale
import os
import sys
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from mobile.app import GoodgroundApp
    from mobile.ports import Clock, Phone, Receiver

APP_VERSION = "0.1.0"
PHONE_FILE = "phone.sqlite"


def options(given: list[str]) -> argparse.Namespace:
    """The options, from the command line or from the variables of their names."""

    def variable(name: str, otherwise: str = "") -> str:
        return os.environ.get(f"GOODGROUND_{name.upper()}", otherwise)

    asked = argparse.ArgumentParser(prog="python -m mobile.main", description="The Goodground phone app.")
    asked.add_argument("--data", default=variable("data"), help="folder for what this phone writes")
    asked.add_argument("--server", default=variable("server"), help="a server's address to begin with")
    asked.add_argument("--code", default=variable("code"), help="a joining slip's code, to join at once")
    asked.add_argument("--nmea", default=variable("nmea"), help="a file or pipe of NMEA 0183 sentences")
    asked.add_argument("--nmea-speed", type=float, default=float(variable("nmea_speed", "1")))
    asked.add_argument("--gpsd", default=variable("gpsd"), help="HOST:PORT of a gpsd")
    asked.add_argument(
        "--click",
        action="store_true",
        default=bool(variable("click")),
        help="a click on the map is the position",
    )
    asked.add_argument("--picture", default=variable("picture"), help="a picture that the camera sees")
    asked.add_argument("--size", default=variable("size", "412x915"), help="window, WIDTHxHEIGHT in pixels")
    asked.add_argument("--language", default=variable("language"), help="en or es, until somebody writes")
    asked.add_argument("--label", default=variable("label", "phone"), help="what the farm calls this phone")
    asked.add_argument(
        "--report", default=variable("report"), help="write down what can be tapped, for tests"
    )
    return asked.parse_args(given)


def on_android() -> bool:
    return "ANDROID_ARGUMENT" in os.environ


def data_folder(chosen: argparse.Namespace) -> Path:
    """Where the phone's storage lies: on Android the app's own folder."""
    folder = chosen.data or os.environ.get("ANDROID_PRIVATE") or str(Path.home() / ".local/share/goodground")
    path = Path(folder)
    path.mkdir(parents=True, exist_ok=True)
    return path


def settle_kivy(chosen: argparse.Namespace, folder: Path) -> None:
    """Kivy reads these when it is first imported."""
    os.environ.setdefault("KIVY_HOME", str(folder / "kivy"))
    Path(os.environ["KIVY_HOME"]).mkdir(parents=True, exist_ok=True)
    os.environ.setdefault("KIVY_NO_ARGS", "1")
    os.environ.setdefault("KIVY_NO_FILELOG", "1")
    os.environ.setdefault("KIVY_LOG_MODE", "PYTHON")
    for part in ("WINDOW", "TEXT", "IMAGE", "CLIPBOARD"):
        # Named outright: else Kivy brings in every provider that it could do without.
        os.environ.setdefault(f"KIVY_{part}", "sdl2")
    if on_android():
        return
    os.environ.setdefault("KIVY_METRICS_DENSITY", "1")
    from kivy.config import Config

    width, _, height = chosen.size.partition("x")
    for key, value in {
        "width": width,
        "height": height,
        "position": "custom",
        "left": "0",
        "top": "0",
    }.items():
        Config.set("graphics", key, value)
    Config.set("graphics", "borderless", "1" if chosen.report else "0")
    Config.set("kivy", "exit_on_escape", "0")
    Config.set("input", "mouse", "mouse,disable_multitouch")


def receiver(chosen: argparse.Namespace, clock: Clock) -> Receiver:
    """A file's sentences, a pipe's, a gpsd's, a click on the map, or none."""
    if chosen.nmea:
        from mobile.device.nmea_file import NmeaReplay, NmeaStream

        file = Path(chosen.nmea)
        return NmeaReplay(file, clock, chosen.nmea_speed) if file.is_file() else NmeaStream(file, clock)
    if chosen.gpsd:
        from mobile.device.gpsd import PORT, Gpsd

        host, _, port = chosen.gpsd.partition(":")
        return Gpsd(clock, host or "127.0.0.1", int(port or PORT))
    from mobile.device.plain import Clicked, NoReceiver

    return Clicked(clock) if chosen.click else NoReceiver()


def desktop_phone(chosen: argparse.Namespace, folder: Path) -> Phone:
    from mobile.device.chance import SystemChance
    from mobile.device.clock import SystemClock
    from mobile.device.plain import MaybeOnline, NoBuzz, NoCamera, PictureFile
    from mobile.ports import Phone
    from mobile.storage import PhoneBook
    from mobile.transport.at_need import ServerAtNeed

    clock = SystemClock()
    return Phone(
        book=PhoneBook(folder / PHONE_FILE),
        server=ServerAtNeed(APP_VERSION),
        receiver=receiver(chosen, clock),
        clock=clock,
        chance=SystemChance(),
        camera=PictureFile(Path(chosen.picture)) if chosen.picture else NoCamera(),
        connectivity=MaybeOnline(),
        haptics=NoBuzz(),
        app=APP_VERSION,
        platform=sys.platform,
        label=chosen.label,
    )


def android_phone(chosen: argparse.Namespace, folder: Path) -> Phone:
    """The same storage and transport on Android's own parts. Not tried on a phone yet."""
    from mobile.actions.sparing import SparingReceiver
    from mobile.device.android_parts import android_parts

    phone = desktop_phone(chosen, folder)
    parts = android_parts(phone.clock)
    return replace(
        phone,
        receiver=phone.receiver
        if chosen.nmea or chosen.gpsd
        else SparingReceiver(parts.receiver, phone.clock),
        camera=parts.camera,
        connectivity=parts.connectivity,
        haptics=parts.haptics,
        sharing=parts.sharing,
        senses=parts.senses,
        platform="android",
    )


def spoken() -> str:
    """The phone's own language where we speak it."""
    named = (locale.getlocale()[0] or os.environ.get("LANG", "")).lower()
    return "es" if named.startswith(("es", "spanish")) else "en"


def build(given: list[str]) -> GoodgroundApp:
    """The collector rests until the first frame stands: all that comes in before it stays."""
    gc.disable()
    chosen = options(given)
    folder = data_folder(chosen)
    settle_kivy(chosen, folder)
    from mobile.app import GoodgroundApp, Settings

    settings = Settings(
        server=chosen.server,
        code=chosen.code,
        locale=chosen.language or spoken(),
        report=Path(chosen.report) if chosen.report else None,
        folder=folder,
    )
    phone = android_phone(chosen, folder) if on_android() else desktop_phone(chosen, folder)
    return GoodgroundApp(phone, settings)


def main() -> None:
    build(sys.argv[1:]).run()


if __name__ == "__main__":
    main()
