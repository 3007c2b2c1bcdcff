"""The form of one piece of land: what it is, where it lies, what is known of it; and the entry that it becomes."""

from __future__ import annotations

from collections.abc import Collection
from datetime import date
from decimal import Decimal
from typing import Any, get_args
from uuid import UUID

from server.land.models import Drawn
from server.web.corners import NotUsable, drawn_as, text_of, typed_pieces
from server.web.given import Given
from shared.words.bodies.desk import Land
from shared.words.field import Around

WHATS = ("field", "part", "pile", "buffer")
DRAWN_AS = ("point", "line", "area")
AROUND = get_args(Around)
DRAINAGE = ("excessive", "well", "moderately well", "somewhat poor", "poor", "very poor")
"""The soil survey's classes of natural drainage (Soil Survey Manual, USDA Handbook 18, 2017; from memory)."""
FACTS = ("cap_in", "organic_from", "lease_end", "block_lot", "drainage", "slope_pct")
MOST_WHY = 500


def land_of(
    given: Given, what: str, subject: UUID, row: Drawn | None, fields: Collection[UUID]
) -> Land | None:
    """The next version of a piece of land; None where something can't be used, which ``given`` then says."""
    name, why = given.text("name"), given.text("why", most=MOST_WHY)
    drawn = given.choice("drawn", DRAWN_AS) if what == "buffer" else "area"
    pieces = None
    try:
        pieces = typed_pieces(given.form.get("outline") or "", drawn) or None  # type: ignore[arg-type]
    except NotUsable as wrong:
        given.fault("outline", f"outline.{wrong.key}", **wrong.told)
    if what == "buffer" and pieces is None:
        given.fault("outline", "missing")
    told = _FIELDS[what](given, fields)
    if not given:
        return None
    version = row.version + 1 if row else 1
    return Land(
        what=what,  # type: ignore[arg-type]
        subject=subject,
        version=version,
        name=name,
        why=why,
        pieces=pieces,
        retired=given.ticked("retired") or None,
        **told,
    )


def _of_field(given: Given, fields: Collection[UUID]) -> dict[str, Any]:
    return {
        "cap_in": given.decimal("cap_in", "0", "24", needed=False),
        "organic_from": given.day("organic_from", needed=False),
        "lease_end": given.day("lease_end", needed=False),
        "block_lot": given.text("block_lot", needed=False, most=100) or None,
        "drainage": given.choice("drainage", DRAINAGE, needed=False) or None,
        "slope_pct": given.decimal("slope_pct", "0", "100", needed=False),
    }


def _of_part(given: Given, fields: Collection[UUID]) -> dict[str, Any]:
    return {"in_field": given.id("in_field", fields)}


def _of_pile(given: Given, fields: Collection[UUID]) -> dict[str, Any]:
    return {"in_field": given.id("in_field", fields, needed=False)}


def _of_buffer(given: Given, fields: Collection[UUID]) -> dict[str, Any]:
    return {
        "around": given.choice("around", AROUND),
        "setback_ft": given.decimal("setback_ft", "0", "5280"),
    }


_FIELDS = {"field": _of_field, "part": _of_part, "pile": _of_pile, "buffer": _of_buffer}


def facts_of(row: Drawn) -> dict[str, Any]:
    """What is known of a piece of land but its name and outline: a new version that says nothing of it keeps it."""
    told: dict[str, Any] = {}
    for name in (*FACTS, "setback_ft"):
        value = getattr(row, name, None)
        told[name] = (
            Decimal(value) if name in ("cap_in", "slope_pct", "setback_ft") and value is not None else value
        )
    told["around"] = getattr(row, "around", None)
    told["in_field"] = getattr(row, "field", None) or getattr(row, "in_field", None)
    return {name: value for name, value in told.items() if value is not None}


def shown(row: Drawn | None, language: str) -> dict[str, str]:
    """The form's fields as they stand, by name, as text."""
    if row is None:
        return {"drawn": "area"}
    outline = row.value().outline  # type: ignore[attr-defined]
    told = {name: _text(value) for name, value in facts_of(row).items()}
    return told | {"name": row.name, "outline": text_of(outline, language), "drawn": drawn_as(outline)}


def _text(value: Any) -> str:
    return value.isoformat() if isinstance(value, date) else str(value)
