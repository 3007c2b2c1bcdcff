"""A photo beside what is written: one tap, never in the way."""

from __future__ import annotations

from collections.abc import Callable

from mobile.actions.keep_photo import take_photo
from mobile.presenters.session import Session
from shared.words.entry import Photo


class Picture:
    """The photo of a page, none to begin with. ``wrong`` says why there is none; ``changed`` is the page's."""

    def __init__(self, session: Session, changed: Callable[[], None]) -> None:
        self.session = session
        self.changed = changed
        self.clear()

    def clear(self) -> None:
        self.photo: Photo | None = None
        self.wrong = ""

    @property
    def photos(self) -> tuple[Photo, ...]:
        return (self.photo,) if self.photo is not None else ()

    def word(self) -> str:
        return self.session.say("photo.taken" if self.photo is not None else "photo.take")

    def take(self) -> None:
        self.wrong = ""
        take_photo(self.session.phone, self.session.folder / "picture.jpg", self._taken)

    def _taken(self, photo: Photo | None, error: Exception | None) -> None:
        if error is not None:
            self.wrong = self.session.trouble(error)
        elif photo is None:
            self.wrong = self.session.say("photo.none")
        else:
            self.photo = photo
        self.changed()
