"""One load's ticket: to be shown to a driver, kept as a PDF, or put right."""

from __future__ import annotations

from typing import Any
from uuid import UUID

from mobile.actions.ticket_paper import keep_ticket, ticket_pdf
from mobile.presenters.entry_words import names, town_name
from mobile.presenters.gate_count import loads_now
from mobile.presenters.gate_room import place_of
from mobile.presenters.gate_truck import why_back
from mobile.presenters.lines import FormView, LineView, RowView, SaidView, TextView
from mobile.presenters.presenter import Presenter
from mobile.presenters.session import Session
from shared.errors import GoodgroundError
from shared.languages import day, figure
from shared.status.fact import Fact
from shared.words.bodies.gate import Load


class TicketPresenter(Presenter):
    """Its number stands large enough to be read through a truck's window."""

    home = "gate_count"

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self.id: UUID | None = None

    def entered(self) -> None:
        self.id = self.session.facts.pop("load", self.id)
        self.said = self.session.facts.pop("found_said", None)
        self.notice = ""

    def _fact(self) -> Fact | None:
        return next((one for one in loads_now(self.session) if one.id == self.id), None)

    def view(self) -> FormView:
        fact = self._fact()
        if fact is None:
            lines: tuple[LineView, ...] = (TextView("gone", self.say("ticket.gone")),)
            return FormView(self.say("ticket.title"), lines=lines, back=self.say("back"), **self.turning())
        body: Any = fact.body
        rows = [TextView("number", body.ticket, bold=True, figure=True)]
        told = [RowView(f"line.{at}", *pair, plain=True) for at, pair in enumerate(self._pairs(fact, body))]
        more = [RowView("found", self.say("ticket.found"), heavy=True)] if body.is_taken else []
        return FormView(
            title=self.session.farm.farm.name,
            lines=(*rows, *told, *more),
            said=self.said,
            notice=self.notice,
            back=self.say("back"),
            extra=self.say("ticket.correct"),
            save=self.say("ticket.paper"),
            **self.turning(),
        )

    def _pairs(self, fact: Fact, body: Load) -> list[tuple[str, str]]:
        """Each thing that a driver takes home, with its label."""
        session, language = self.session, self.session.language
        made = fact.made_at.utc
        pairs = [("yards", self.say("ticket.yards_yd3", yards=body.carried_yd3))]
        pairs += [("town", town_name(session, body.town))]
        truck = names(session)(body.vehicle) if body.vehicle is not None else body.plate
        pairs += [("truck", truck or ""), ("driver", body.driver or ""), ("slip", body.slip or "")]
        beds = [self.say("ticket.bed", bed=bed, fill=figure(language, fill)) for bed, fill in body.beds]
        pairs += [("bed", ", ".join(beds)), ("packing", self.say(f"packing.{body.packing}"))]
        if made is not None:
            when = made.astimezone(session.zone)
            pairs += [
                ("when", self.say("at_time", day=day(language, when.date(), year=True), time=f"{when:%H:%M}"))
            ]
        pairs += [("outcome", self.say(f"ticket.outcome.{body.outcome}"))]
        pairs += [("why", why_back(session, body) if not body.is_taken else "")]
        trash = ", ".join(self.say(f"reason.{one}") for one in body.trash_items if one != "other")
        pairs += [("trash", trash), ("to", self._to(body)), ("by", names(session)(fact.by) or "")]
        return [(self.say(f"ticket.label.{key}"), value) for key, value in pairs if value]

    def _to(self, body: Load) -> str:
        told = []
        for id, yards in body.to:
            place = place_of(self.session, id)
            name = place.name if place is not None else self.say("no_field")
            told.append(self.say("ticket.sent", yards=yards, place=name) if len(body.to) > 1 else name)
        return ", ".join(told)

    def tap(self, key: str) -> None:
        if key == "found":
            self.session.facts["load"] = self.id
            self.session.go("found")

    def extra(self) -> None:
        self.session.facts["entry"] = self.id
        self.session.go("entry")

    def save(self) -> None:
        """On paper: a PDF in the phone's folder, handed to whatever this phone shares and prints with."""
        fact = self._fact()
        if fact is None:
            return
        body: Any = fact.body
        try:
            pdf = ticket_pdf(self.session.farm.farm.name, body.ticket, self._pairs(fact, body))
            file = keep_ticket(self.session.folder, f"ticket-{body.ticket}", pdf)
        except GoodgroundError as error:
            self.notice = self.session.trouble(error)
        else:
            shared = self.session.phone.sharing.share(file, "application/pdf")
            self.said = SaidView(self.say("ticket.handed_over" if shared else "ticket.kept", file=str(file)))
        self.changed()
