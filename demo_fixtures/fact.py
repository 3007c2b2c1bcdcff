"""What happened on the farm, before it is an entry: the true time, who, where, on which phone, what was written."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from decimal import Decimal
from uuid import UUID

from demo_fixtures import clocks, farm, ground
from demo_fixtures.ground import Spot
from demo_fixtures.people import DESK, Hand
from demo_fixtures.season import Season
from demo_fixtures.seed import identity
from shared.wire import lines
from shared.words.bodies import KINDS, Body
from shared.words.entry import Entry
from shared.words.moment import Moment
from shared.words.place import Position

KIND_OF = {body: kind for kind, body in KINDS.items()}


@dataclass(frozen=True, slots=True)
class Fact:
    """One thing to be written down. ``key`` names it among all facts and decides its id; ``plot`` is the key of
    the field that the person chose; ``spot`` where the phone was, on the plan. ``scribble`` changes the exact
    bytes, for what is unsound on purpose."""

    key: tuple[object, ...]
    at: datetime
    phone: str
    by: Hand
    body: Body
    plot: str | None = None
    spot: Spot | None = None
    round: tuple[object, ...] | None = None
    round_at: datetime | None = None
    stop: int | None = None
    done_at: date | datetime | None = None
    done_by: UUID | str | None = None
    names: UUID | None = None
    from_paper: bool = False
    sheets: tuple[str, ...] = ()
    scribble: Callable[[bytes], bytes] | None = field(default=None, compare=False)

    def id(self, season: Season) -> UUID:
        return identity(
            clocks.shown(season, self.phone, self.at), "entry", season.year, *self.key, seed=season.seed
        )

    def entry(self, season: Season) -> Entry:
        boot, mono_ms = clocks.steady(season, self.phone, self.at)
        return Entry(
            id=self.id(season),
            kind=KIND_OF[type(self.body)],
            edition=1,
            made_at=clocks.told(clocks.shown(season, self.phone, self.at)),
            boot=boot,
            mono_ms=mono_ms,
            done_at=self._done(),
            by=self.by.id,
            done_by=self.done_by,
            field=farm.BY_KEY[self.plot].id if self.plot else None,
            part=None,
            land=1 if self.plot else None,
            at=self._position(season),
            round=self._round(season),
            stop=self.stop,
            body=self.body,
            names=self.names,
            sheets=self.sheets,
            from_paper=self.from_paper,
            photos=(),
        )

    def line(self, season: Season) -> bytes:
        """The exact bytes, made once."""
        line = lines.encode(self.entry(season))
        return self.scribble(line) if self.scribble else line

    def _done(self) -> Moment | date | None:
        return clocks.told(self.done_at) if isinstance(self.done_at, datetime) else self.done_at

    def _round(self, season: Season) -> UUID | None:
        if self.round is None or self.round_at is None:
            return None
        return identity(self.round_at, "round", season.year, *self.round, seed=season.seed)

    def _position(self, season: Season) -> Position | None:
        """The spot as a receiver gives it: a few metres off, and it says how far that may be."""
        if self.spot is None or self.phone == DESK:
            return None
        dice = season.dice("fix", *self.key)
        r68_m = round(dice.uniform(2.4, 5.2), 1)
        spread_m = r68_m / 1.51
        near = (self.spot[0] + dice.gauss(0, spread_m), self.spot[1] + dice.gauss(0, spread_m))
        lat, lon = ground.degrees(near)
        fixed = clocks.shown(season, self.phone, self.at) - timedelta(milliseconds=dice.randint(200, 1400))
        return Position(
            Decimal(f"{lat:.7f}"), Decimal(f"{lon:.7f}"), Decimal(str(r68_m)), clocks.told(fixed), "gps"
        )
