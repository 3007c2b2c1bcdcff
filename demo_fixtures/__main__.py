"""``python -m demo_fixtures lay | show | tracks | summary | expected``."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from datetime import date, datetime
from pathlib import Path

from demo_fixtures import expected, tracks
from demo_fixtures.book import LAST_NIGHT, end_of
from demo_fixtures.farm import ZONE
from demo_fixtures.seed import SEED


def moment(text: str) -> datetime:
    """A day (its last second, on the farm), or a time with or without its offset."""
    if len(text) == len("2026-11-24"):
        return end_of(date.fromisoformat(text))
    at = datetime.fromisoformat(text)
    return (at if at.tzinfo else at.replace(tzinfo=ZONE)).astimezone(ZONE)


def parser() -> argparse.ArgumentParser:
    out = argparse.ArgumentParser(prog="python -m demo_fixtures", description=__doc__)
    several = out.add_subparsers(dest="command", required=True)
    drawn = argparse.ArgumentParser(add_help=False)
    drawn.add_argument("--seed", type=int, default=SEED, help="the seed number (%(default)s)")
    drawn.add_argument(
        "--until", "--today", type=moment, default=None, metavar="DAY",
        help="the visitor's day or time: its year is the season's, and what comes after is cut off",
    )  # fmt: skip
    quick = argparse.ArgumentParser(add_help=False)
    quick.add_argument(
        "--since", type=date.fromisoformat, default=None, metavar="DAY",
        help="for a quick look: leave out what was written before this day, but for the land and the legs",
    )  # fmt: skip
    lay = several.add_parser("lay", parents=[drawn, quick], help="lay the farm into a server's data folder")
    lay.add_argument("--data", type=Path, required=True)
    show = several.add_parser("show", parents=[drawn, quick], help="the whole demo; Ctrl-C ends it")
    show.add_argument("--data", type=Path, default=Path("demo_data"))
    show.add_argument("--fresh", action="store_true", help="begin anew")
    show.add_argument("--no-phone", action="store_true", help="leave the phone app closed")
    walks = several.add_parser("tracks", parents=[drawn], help="write the walked rounds as NMEA 0183")
    walks.add_argument("--into", type=Path, required=True)
    several.add_parser("summary", parents=[drawn], help="what must come out of the season, told")
    several.add_parser("expected", parents=[drawn], help="write expected.json anew")
    for name, told in (("slip", "a joining slip's code"), ("sign-in", "the secret of a sign-in link")):
        one = several.add_parser(name, help=f"print {told} for the demo's farm")
        one.add_argument("--data", type=Path, required=True)
    return out


def main(arguments: Sequence[str]) -> int:
    told = parser().parse_args(arguments)
    until = getattr(told, "until", None)
    match told.command:
        case "lay":
            from demo_fixtures.lay import lay

            laid = lay(told.data, until or LAST_NIGHT, told.seed, told.since)
            print(f"{laid.lines} lines")
        case "show":
            from demo_fixtures.show import Drawn, show

            return show(told.data, told.fresh, Drawn(told.seed, until, told.since), not told.no_phone)
        case "tracks":
            for file in tracks.write(
                told.into, until or LAST_NIGHT.replace(hour=9, minute=0, second=0), told.seed
            ):
                print(file)
        case "summary":
            print(expected.text(until or LAST_NIGHT, told.seed), end="")
        case "expected":
            expected.FILE.write_text(expected.text(until or LAST_NIGHT, told.seed), "utf-8")
        case "slip" | "sign-in":
            from demo_fixtures.lay import sign_in_secret, slip_code

            print(slip_code(told.data) if told.command == "slip" else sign_in_secret(told.data))
    return 0


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
