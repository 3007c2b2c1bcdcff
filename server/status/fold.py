"""New rows of the book folded into what follows from them: verdicts, queries, field years."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from server.book.news import News
from server.people.models import Farm
from server.status import asked, fields, verdicts


def fold(farm: Farm, news: Sequence[News], now: datetime) -> None:
    """Inside the accepting transaction, after the land."""
    asked.fold(farm, news)
    spoken_of = verdicts.fold(farm, news)
    fields.fold(farm, news, spoken_of)
