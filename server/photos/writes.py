"""Photos as they come in, piece by piece (contract, W14). No transaction is open while a file is written."""

from __future__ import annotations

import hashlib
from datetime import datetime

from django.db import IntegrityError, transaction
from django.db.models import Sum

from server.people.models import Phone
from server.photos import store
from server.photos.errors import NotAPicture, PhotoQuota, PhotoTooLarge, PhotoUnknown, WrongHash, WrongOffset
from server.photos.models import Photo, Upload
from server.photos.reads import Coming, coming

MOST_BYTES = 12 * 1024 * 1024
MOST_PIECE_BYTES = 1024 * 1024
MOST_A_PHONE_BYTES = 4 * 1024 * 1024 * 1024


def announce(phone: Phone, sha256: str, size: int, now: datetime) -> Coming:
    """How far a photo has come, from nothing where it is new. Raises ``PhotoTooLarge``, ``PhotoQuota``."""
    if not 0 < size <= MOST_BYTES:
        raise PhotoTooLarge(size, MOST_BYTES)
    here = coming(phone.farm_id, sha256)
    if here is not None:
        return here
    if _sent_by(phone) + size > MOST_A_PHONE_BYTES:
        raise PhotoQuota(MOST_A_PHONE_BYTES)
    store.forget(phone.farm_id, sha256)
    try:
        with transaction.atomic():
            Upload.objects.create(
                farm_id=phone.farm_id, sha256=sha256, size=size, phone_id=phone.id, made_at=now
            )
    except IntegrityError:
        # Another phone announced the same photo at this moment: both go on with the one upload.
        pass
    return coming(phone.farm_id, sha256) or Coming(size, 0)


def _sent_by(phone: Phone) -> int:
    kept = Photo.objects.filter(phone_id=phone.id).aggregate(sum=Sum("size"))["sum"] or 0
    on_the_way = Upload.objects.filter(phone_id=phone.id).aggregate(sum=Sum("size"))["sum"] or 0
    return int(kept + on_the_way)


def take(
    phone: Phone, sha256: str, offset: int, piece: bytes, checksum: bytes | None, now: datetime
) -> Coming:
    """Write a piece and answer with how far the photo has come; the last piece puts it in its place.

    Raises ``PhotoUnknown``, ``WrongOffset``, ``PhotoTooLarge``, ``WrongHash``, ``NotAPicture``."""
    farm = phone.farm_id
    upload = Upload.objects.filter(farm_id=farm, sha256=sha256).first()
    if upload is None:
        return _whole_already(phone, sha256, offset)
    if offset != upload.offset:
        raise WrongOffset(upload.offset)
    most = min(MOST_PIECE_BYTES, upload.size - offset)
    if len(piece) > most:
        raise PhotoTooLarge(len(piece), most)
    if checksum is not None and hashlib.sha256(piece).digest() != checksum:
        raise WrongHash
    store.write(farm, sha256, offset, piece)
    reached = offset + len(piece)
    if Upload.objects.filter(id=upload.id, offset=offset).update(offset=reached) != 1:
        raise WrongOffset(Upload.objects.get(id=upload.id).offset)
    if reached == upload.size:
        _finish(upload, phone, now)
    return Coming(upload.size, reached)


def _whole_already(phone: Phone, sha256: str, offset: int) -> Coming:
    """A photo that another phone finished meanwhile is whole for this one too."""
    here = coming(phone.farm_id, sha256)
    if here is None:
        raise PhotoUnknown
    if offset != here.offset:
        raise WrongOffset(here.offset)
    return here


def _finish(upload: Upload, phone: Phone, now: datetime) -> None:
    farm, sha256 = upload.farm_id, upload.sha256
    kind = store.kind(farm, sha256) if store.digest(farm, sha256) == sha256 else ""
    if not kind:
        terminate(phone, sha256)
        raise WrongHash if kind == "" else NotAPicture
    store.keep(farm, sha256)
    with transaction.atomic():
        Photo.objects.get_or_create(
            farm_id=farm,
            sha256=sha256,
            defaults={"size": upload.size, "type": kind, "phone_id": phone.id, "stored_at": now},
        )
        upload.delete()


def put(phone: Phone, content: bytes, now: datetime) -> Photo:
    """A whole photo at once, as the desk has it. Raises what ``announce`` and ``take`` raise."""
    sha256 = hashlib.sha256(content).hexdigest()
    reached = announce(phone, sha256, len(content), now)
    while not reached.is_whole:
        piece = content[reached.offset : reached.offset + MOST_PIECE_BYTES]
        reached = take(phone, sha256, reached.offset, piece, None, now)
    return Photo.objects.get(farm_id=phone.farm_id, sha256=sha256)


def terminate(phone: Phone, sha256: str) -> None:
    """Away with a photo that is on its way; one that is whole stays."""
    Upload.objects.filter(farm_id=phone.farm_id, sha256=sha256).delete()
    store.forget(phone.farm_id, sha256)
