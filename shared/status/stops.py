"""The stops of a round as a field's year keeps them: only what a round's meaning is made from, as plain
scalars.

Measured values stay the exact decimals that were written, as text, so that a sum never depends on the order
of feeding. A value outside its believable span is kept apart: it is read in the evening, and no mean is made
of it.
"""

from __future__ import annotations

from datetime import date
from typing import NamedTuple
from uuid import UUID

from shared.words.bodies.walked import Cover, Firmness, LeafDepth, Weeds


class CoverStop(NamedTuple):
    stop: int | None
    height_in: str
    heads: str
    cover: str
    stage: str | None
    frost: str | None


class WeedStop(NamedTuple):
    """``classes`` joined by a space, or ``plants`` counted, a number a kind joined by a space."""

    stop: int | None
    classes: str | None
    plants: int | None
    frame_m2: str | None
    seed_set: str


class FirmStop(NamedTuple):
    stop: int | None
    peak_psi: str
    moisture: str
    where: str
    top_in: str | None
    bottom_in: str | None
    stopped: str | None


class DepthStop(NamedTuple):
    stop: int | None
    depth_in: str
    layer: str


def cover_stop(stop: int | None, body: Cover) -> CoverStop:
    return CoverStop(stop, str(body.height_in), body.heads, body.cover, body.stage, body.frost)


def weed_stop(stop: int | None, body: Weeds) -> WeedStop:
    if body.classes is not None:
        return WeedStop(stop, " ".join(body.classes), None, None, body.seed_set)
    plants = sum(count for _, count in body.counts or ())
    return WeedStop(stop, None, plants, str(body.frame_m2), body.seed_set)


def depth_stop(stop: int | None, body: LeafDepth) -> DepthStop:
    return DepthStop(stop, str(body.depth_in), body.layer)


def firm_stop(stop: int | None, body: Firmness) -> FirmStop:
    """The highest reading; the hard layer as felt, or as it lies in the profile."""
    top, bottom = _text(body.top_in), _text(body.bottom_in)
    return FirmStop(stop, str(body.highest_psi), body.moisture, body.where, top, bottom, body.stopped)


def _text(value: object) -> str | None:
    return None if value is None else str(value)


def round_key(round_id: UUID | None, on: date) -> str:
    """What a stop is gathered by: its round, or its day where it was taken by itself."""
    return str(round_id) if round_id is not None else on.isoformat()
