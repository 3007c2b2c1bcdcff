"""What a town has brought this season, beside what was agreed with it."""

from __future__ import annotations

from decimal import Decimal
from uuid import UUID

from mobile.actions.land import towns
from mobile.actions.season import season_by_town
from mobile.presenters.session import Session
from shared.languages import figure


def season_of(session: Session, town: UUID) -> Decimal:
    """Truck yards of a town in the fields, of all phones as far as this one has heard; summed anew only where
    something was written or heard since."""
    key = (session.farm.line, session.farm.cursor, session.today())
    kept: tuple[object, dict[UUID, Decimal]] | None = session.facts.get("season")
    if kept is None or kept[0] != key:
        kept = (key, season_by_town(session.phone, session.enrolment, session.today()))
        session.facts["season"] = kept
    return kept[1].get(town, Decimal(0))


def cap_of(session: Session, town: UUID) -> Decimal | None:
    known = (one for one in towns(session.phone, session.enrolment) if one.id == town)
    return next((one.season_cap_yd3 for one in known), None)


def over_cap_yd3(session: Session, town: UUID, more_yd3: Decimal = Decimal(0)) -> Decimal:
    """How many yards a town is over what was agreed, with so many more; 0 where it isn't or none was agreed."""
    cap = cap_of(session, town)
    return Decimal(0) if cap is None else max(Decimal(0), season_of(session, town) + more_yd3 - cap)


def season_line(session: Session, town: UUID) -> str:
    """*season 1,220 of 5,000 yd³*; *season 1,220 yd³* where no cap was agreed; empty before the first load."""
    taken, cap = season_of(session, town), cap_of(session, town)
    if cap is not None:
        facts = {"yards": figure(session.language, taken, 0), "cap": figure(session.language, cap, 0)}
        return session.say("town_season.over" if taken > cap else "town_season.of", **facts)
    return session.say("town_season.so_far", yards=figure(session.language, taken, 0)) if taken else ""
