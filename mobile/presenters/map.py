"""Map: outlines, what keeps leaves off and how far, the stops of a round, today's loads, you, north; all of it from the
phone's own data."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from uuid import UUID

from mobile.actions.land import buffers, fields
from mobile.actions.loads_today import loads_of_day
from mobile.actions.round import round_in_progress
from mobile.ports import Placeable
from mobile.presenters.presenter import Presenter
from mobile.presenters.round_walk import drawn_buffers, drawn_stops, where
from mobile.presenters.session import Session
from mobile.presenters.sketch import NamedShape, SketchView
from shared.reckoning.plane import Plane, Spot

CLOSER = 1.6
CLOSEST = 60.0


@dataclass(frozen=True, slots=True)
class MapView:
    """``middle`` None: all of the land in the middle of the glass. ``zoom`` 1 shows all of it."""

    title: str
    under: str
    land: SketchView
    zoom: float
    middle: Spot | None
    back: str
    wider: str
    closer: str
    empty: str = ""


class MapPresenter(Presenter):
    """Dragging and pinching move it; so do two keys and a tap, which brings a spot to the middle."""

    home = "more"

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self.zoom = 1.0
        self.middle: Spot | None = None
        self.land = SketchView()
        self.plane: Plane | None = None

    def entered(self) -> None:
        """The land is read once: it does not change while it is looked at."""
        self.zoom, self.middle = 1.0, None
        self.land, self.plane = self._land()

    def view(self) -> MapView:
        position = self.session.phone.receiver.fix().position
        you = where(self.session)
        land = self.land
        if you is not None and self.plane is not None:
            r68_m = float(position.r68_m or 0) if position is not None else 0.0
            land = replace(land, you=self.plane.spot(you), you_r_m=r68_m)
        return MapView(
            title=self.say("more.map"),
            under=self._told(you is not None),
            land=land,
            zoom=self.zoom,
            middle=self.middle,
            back=self.say("back"),
            wider=self.say("map.wider") if self.zoom > 1 else "",
            closer=self.say("map.closer") if self.zoom < CLOSEST else "",
            empty="" if land.shapes else self.say("here.no_land_yet"),
        )

    def _told(self, placed: bool) -> str:
        if isinstance(self.session.phone.receiver, Placeable):
            return self.say("map_more.click" if not placed else "map_more.clicked")
        return self.say("map.you") if placed else self.say("map.no_you")

    def _land(self) -> tuple[SketchView, Plane | None]:
        phone, enrolment = self.session.phone, self.session.enrolment
        drawn = [one for one in fields(phone, enrolment) if one.outline]
        if not drawn:
            return SketchView(), None
        plane = Plane(*(drawn[0].outline or ())[0].outer[0])
        loads = self._loads()
        kept_off, setbacks = drawn_buffers(buffers(phone, enrolment), plane)
        walked = round_in_progress(phone, enrolment)
        # The numbers of the stops stand where its name would.
        numbered = walked.field if walked is not None and walked.stops else None
        land = SketchView(
            shapes=tuple(
                NamedShape(
                    one.name if at == 0 and one.id != numbered else "",
                    plane.ring(piece.outer),
                    str(one.id),
                    under=loads.get(one.id, "") if at == 0 else "",
                )
                for one in drawn
                for at, piece in enumerate(one.outline or ())
            ),
            buffers=kept_off,
            setbacks=setbacks,
            stops=() if walked is None else drawn_stops(walked, plane, walked.next_stop),
            north=self.say("wind.north_letter"),
        )
        return land, plane

    def _loads(self) -> dict[UUID, str]:
        """Today's loads of this phone, by the field they went to, in words."""
        phone, enrolment = self.session.phone, self.session.enrolment
        counted = Counter(
            one.field for one in loads_of_day(phone, enrolment, self.session.today()) if one.field
        )
        return {id: self.say("map_more.loads", count=count) for id, count in counted.items()}

    def tick(self) -> None:
        self.changed()

    def save(self) -> None:
        """Closer, towards you where the map was not moved yet."""
        if self.middle is None and self.plane is not None:
            you = where(self.session)
            self.middle = None if you is None else self.plane.spot(you)
        self._zoom(CLOSER)

    def extra(self) -> None:
        """Wider."""
        self._zoom(1 / CLOSER)

    def _zoom(self, by: float) -> None:
        self.zoom = min(CLOSEST, max(1.0, self.zoom * by))
        if self.zoom <= 1.0:
            self.zoom, self.middle = 1.0, None
        self.changed()

    # what the glass tells

    def moved(self, middle: Spot, zoom: float) -> None:
        """Dragged or pinched to here."""
        self.middle = middle
        self.zoom = min(CLOSEST, max(1.0, zoom))
        self.changed()

    def tapped(self, spot: Spot) -> None:
        """The spot comes to the middle; on the desktop trial, where a click is the position, you stand there."""
        receiver = self.session.phone.receiver
        if isinstance(receiver, Placeable) and self.plane is not None:
            receiver.put(self.plane.point(spot))
        elif self.zoom > 1:
            self.middle = spot
        self.changed()
