"""New rows of the book folded into what follows from them: queries, verdicts, standings, dues."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from server.book.news import News
from server.people.models import Farm
from server.status import asked, dues, fields, pictures, piles, verdicts
from server.status.holdings import ground_of


def fold(farm: Farm, news: Sequence[News], now: datetime) -> None:
    """Inside the accepting transaction, after the land."""
    asked.fold(farm, news)
    pictures.fold(farm, news)
    spoken_of = verdicts.fold(farm, news)
    ground = ground_of(farm.id)
    touched = fields.fold(farm, news, spoken_of, ground)
    piles.fold(farm, touched, ground)
    if any(one.kind == "weather" for one in news):
        touched = touched | dues.hang_on_weather(farm.id)
    if touched or any(one.kind in dues.OF_THE_FARM for one in news):
        dues.make(farm, now, touched, ground)
