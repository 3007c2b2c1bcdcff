"""Hand in pictures: after the entries, on a connection of their own, a piece at a time (W14)."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from functools import partial

from mobile.actions.ask_server import ask
from mobile.photo_ports import PhotoKept
from mobile.ports import Phone
from mobile.replies import Link, Reply
from shared.sync.outbox import Heard
from shared.words.entry import Photo

LEAST_PIECE = 256 * 1_024
MOST_PIECE = 1_024 * 1_024
WIFI_ONLY = "photos.wifi_only"
REFUSED = ("photo_too_large", "not_a_picture")
MOST_TURNS = 3
"""How often one picture is begun again in one pass."""


@dataclass(frozen=True, slots=True)
class PhotoPass:
    """How one pass over the waiting pictures ended: how many went, and what was heard last."""

    sent: int
    heard: Heard
    retry_after_s: float | None = None
    code: str | None = None


def photos_waiting(phone: Phone, enrolment: int) -> tuple[PhotoKept, ...]:
    return tuple(one for one in phone.book.photos(enrolment) if one.state == "waiting")


def send_photos(phone: Phone, enrolment: int) -> PhotoPass:
    """Every waiting picture, the oldest first, until one can't go now. A picture that is no longer what was taken
    is marked *damaged*, one that the server will not have *refused*; neither is tried again, the entry stands."""
    if phone.connectivity.is_metered() and phone.book.setting(WIFI_ONLY) == "yes":
        return PhotoPass(0, "settled", code="wifi_only")
    sent = 0
    for kept in photos_waiting(phone, enrolment):
        content = _whole(phone, kept.photo)
        if content is None:
            phone.book.mark_photo(enrolment, kept.photo.sha256, "damaged")
            continue
        reply = _send(phone, enrolment, kept.photo, content)
        if reply.heard == "settled":
            phone.book.mark_photo(enrolment, kept.photo.sha256, "sent")
            sent += 1
        elif _is_refused(reply):
            phone.book.mark_photo(enrolment, kept.photo.sha256, "refused")
        else:
            code = reply.problem.code if reply.problem else None
            return PhotoPass(sent, reply.heard, reply.retry_after_s, code)
    return PhotoPass(sent, "settled")


def _whole(phone: Phone, photo: Photo) -> bytes | None:
    """The picture's bytes, rehashed before each try."""
    try:
        content = phone.book.photo_file(photo.sha256).read_bytes()
    except OSError:
        return None
    return content if hashlib.sha256(content).hexdigest() == photo.sha256 else None


def _send(phone: Phone, enrolment: int, photo: Photo, content: bytes) -> Reply[int]:
    for _ in range(MOST_TURNS):
        reply = ask(phone, enrolment, partial(_offset, phone, photo))
        if reply.heard == "settled" and reply.value is None:
            reply = ask(phone, enrolment, partial(_announce, phone, photo))
        offset, size = reply.value, LEAST_PIECE
        while reply.heard == "settled" and offset is not None and offset < len(content):
            piece = content[offset : offset + size]
            reply = ask(phone, enrolment, partial(_piece, phone, photo, offset, piece))
            offset, size = reply.value, min(MOST_PIECE, size * 2)
        if reply.heard == "settled" and offset == len(content):
            return reply
        if not _begins_again(reply):
            return reply
    return Reply("no_answer")


def _offset(phone: Phone, photo: Photo, link: Link) -> Reply[int]:
    return phone.server.photo_offset(link, photo.sha256)


def _announce(phone: Phone, photo: Photo, link: Link) -> Reply[int]:
    return phone.server.announce_photo(link, photo)


def _piece(phone: Phone, photo: Photo, offset: int, piece: bytes, link: Link) -> Reply[int]:
    return phone.server.send_piece(link, photo.sha256, offset, piece)


def _begins_again(reply: Reply[int]) -> bool:
    """Where the server is elsewhere in the picture than the phone, or has let a damaged upload go."""
    return reply.problem is not None and reply.problem.code in ("wrong_offset", "wrong_hash", "photo_unknown")


def _is_refused(reply: Reply[int]) -> bool:
    return reply.problem is not None and reply.problem.code in REFUSED
