"""The smallest things that travel, each read strictly and written one way (contract, W1, W3)."""

from __future__ import annotations

import re
from datetime import date, datetime, timedelta, timezone
from decimal import Decimal
from uuid import UUID

from shared.errors import Unsound
from shared.words.moment import Moment

LARGEST_INTEGER = 2**53 - 1
DECIMAL = re.compile(r"-?(0|[1-9][0-9]{0,8})(\.[0-9]{1,9})?", re.ASCII)
UUID_TEXT = re.compile(r"[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}")
SHA_TEXT = re.compile(r"[0-9a-f]{64}")
RFC_3339 = re.compile(
    r"(\d{4})-(\d{2})-(\d{2})[Tt](\d{2}):(\d{2}):(\d{2})(\.\d+)?([Zz]|[+-]\d{2}:\d{2})", re.ASCII
)
DAY = re.compile(r"\d{4}-\d{2}-\d{2}", re.ASCII)


def text(value: object, where: str) -> str:
    if type(value) is not str:
        raise Unsound("wrong_type", where, "text")
    return value


def flag(value: object, where: str) -> bool:
    if type(value) is not bool:
        raise Unsound("wrong_type", where, "true or false")
    return value


def count(value: object, where: str) -> int:
    if type(value) is not int:
        raise Unsound("wrong_type", where, "a whole number")
    if not -LARGEST_INTEGER <= value <= LARGEST_INTEGER:
        raise Unsound("integer", where)
    return value


def measured(value: object, where: str) -> Decimal:
    if type(value) is not str:
        raise Unsound("wrong_type", where, "a decimal in quotes")
    if DECIMAL.fullmatch(value) is None:
        raise Unsound("decimal", where)
    return Decimal(value)


def identity(value: object, where: str) -> UUID:
    if type(value) is not str:
        raise Unsound("wrong_type", where, "a UUID")
    if UUID_TEXT.fullmatch(value) is None:
        raise Unsound("uuid", where)
    return UUID(value)


def digest(value: object, where: str) -> str:
    if type(value) is not str or SHA_TEXT.fullmatch(value) is None:
        raise Unsound("wrong_type", where, "64 hex digits")
    return value


def day(value: object, where: str) -> date:
    if type(value) is not str or DAY.fullmatch(value) is None:
        raise Unsound("time", where, "a date as YYYY-MM-DD")
    try:
        return date.fromisoformat(value)
    except ValueError:
        raise Unsound("time", where, "no such day") from None


def moment(value: object, where: str) -> Moment:
    """Any time that fits RFC 3339's grammar is sound; one that can't become UTC has none."""
    if type(value) is not str:
        raise Unsound("wrong_type", where, "a time")
    found = RFC_3339.fullmatch(value)
    if found is None:
        raise Unsound("time", where, "a time as RFC 3339 writes it")
    _in_grammar(found, where)
    return Moment(value, _utc(found))


def _in_grammar(found: re.Match[str], where: str) -> None:
    """The limits of RFC 3339, section 5.6 and 5.7: months, days, hours; a 60th second may be a leap."""
    year, month, in_month, hour, minute, second = (int(part) for part in found.groups()[:6])
    leap = year % 4 == 0 and (year % 100 != 0 or year % 400 == 0)
    days = (31, 29 if leap else 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
    fits = (
        1 <= month <= 12 and 1 <= in_month <= days[month - 1] and hour <= 23 and minute <= 59 and second <= 60
    )
    offset = found.group(8)
    if offset not in ("Z", "z"):
        fits = fits and int(offset[1:3]) <= 23 and int(offset[4:6]) <= 59
    if not fits:
        raise Unsound("time", where, "no such time")


def _utc(found: re.Match[str]) -> datetime | None:
    year, month, in_month, hour, minute, second = (int(part) for part in found.groups()[:6])
    micros = int(((found.group(7) or ".0")[1:] + "000000")[:6])
    offset = found.group(8)
    shift = timedelta(0)
    if offset not in ("Z", "z"):
        shift = timedelta(hours=int(offset[1:3]), minutes=int(offset[4:6]))
        shift = -shift if offset[0] == "-" else shift
    try:
        return datetime(year, month, in_month, hour, minute, second, micros, timezone.utc) - shift  # noqa: UP017
    except (ValueError, OverflowError):
        return None


def written_moment(at: datetime) -> str:
    """A time with its offset, to the millisecond, as RFC 3339."""
    return at.isoformat(timespec="milliseconds").replace("+00:00", "Z")


def written_decimal(value: Decimal | float) -> str:
    """A decimal in the one form that travels; a float is rounded to nine places."""
    number = value if isinstance(value, Decimal) else Decimal(repr(round(value, 9)))
    out = format(number, "f")
    if "." in out and isinstance(value, float):
        out = out.rstrip("0").rstrip(".")
    out = "0" if out in ("-0", "") else out
    if DECIMAL.fullmatch(out) is None:
        raise Unsound("decimal", "", out)
    return out
