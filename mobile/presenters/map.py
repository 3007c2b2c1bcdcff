"""Map: outlines, what keeps leaves off, you, north, from the phone's own data."""

from __future__ import annotations

from dataclasses import dataclass

from mobile.actions.land import buffers, fields
from mobile.presenters.presenter import Presenter
from mobile.presenters.round_walk import where
from mobile.presenters.session import Session
from mobile.presenters.sketch import NamedShape, SketchView
from shared.reckoning.plane import Plane

ZOOMS = (1.0, 1.6, 2.5, 4.0, 6.5)


@dataclass(frozen=True, slots=True)
class MapView:
    title: str
    under: str
    land: SketchView
    zoom: float
    back: str
    wider: str
    closer: str
    empty: str = ""


class MapPresenter(Presenter):
    home = "more"

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self.zoom = 0

    def view(self) -> MapView:
        land = self._land()
        position = self.session.phone.receiver.fix().position
        here = self.say("map.you") if position is not None else self.say("map.no_you")
        return MapView(
            title=self.say("more.map"),
            under=here,
            land=land,
            zoom=ZOOMS[self.zoom],
            back=self.say("back"),
            wider=self.say("map.wider") if self.zoom else "",
            closer=self.say("map.closer") if self.zoom + 1 < len(ZOOMS) else "",
            empty="" if land.shapes else self.say("here.no_land_yet"),
        )

    def _land(self) -> SketchView:
        drawn = [one for one in fields(self.session.phone, self.session.enrolment) if one.outline]
        if not drawn:
            return SketchView()
        plane = Plane(*(drawn[0].outline or ())[0].outer[0])
        you = where(self.session)
        position = self.session.phone.receiver.fix().position
        return SketchView(
            shapes=tuple(
                NamedShape(one.name if at == 0 else "", plane.ring(piece.outer), str(one.id))
                for one in drawn
                for at, piece in enumerate(one.outline or ())
            ),
            buffers=tuple(
                plane.ring(piece.outer)
                for one in buffers(self.session.phone, self.session.enrolment)
                for piece in one.outline or ()
                if len(piece.outer) > 2
            ),
            you=plane.spot(you) if you is not None else None,
            you_r_m=float(position.r68_m or 0) if position is not None else 0.0,
            north=self.say("wind.north_letter"),
        )

    def tick(self) -> None:
        self.changed()

    def save(self) -> None:
        """Closer."""
        self.zoom = min(len(ZOOMS) - 1, self.zoom + 1)
        self.changed()

    def extra(self) -> None:
        """Wider."""
        self.zoom = max(0, self.zoom - 1)
        self.changed()
