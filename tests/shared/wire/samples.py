"""One sound entry of each kind, as JSON objects: the golden documents of edition 1 are made from these."""

from __future__ import annotations

import json
from typing import Any

A = "01890a5d-ac96-774b-bcce-b302099a8057"
B = "01890a5d-ac96-774b-bcce-b302099a8058"
C = "01890a5d-ac96-774b-bcce-b302099a8059"

BODIES: dict[str, dict[str, Any]] = {
    "cover": {
        "cover": "sorghum_sudan",
        "height_in": "62",
        "heads": "few",
        "mix": [["vetch", "30"]],
        "stand_pct": "90",
    },
    "weeds": {
        "scale": "cover8",
        "classes": ["none", "1-5", "5-25"],
        "seed_set": "none",
        "kinds": ["foxtail"],
    },
    "firmness": {
        "cone": "half_inch",
        "moisture": "ready",
        "peak_psi": "320",
        "top_in": "8",
        "bottom_in": None,
        "where": "body",
    },
    "spade": {"roots": "free", "structure": "crumb", "worms": 12, "depth_in": "12.5"},
    "load": {
        "ticket": "R-0613",
        "town": B,
        "vehicle": C,
        "beds": [["25", "80"]],
        "packing": "vacuumed",
        "bags": "none",
        "checked": "glance",
        "trash": "none",
        "trash_items": [],
        "trash_basis": "seen",
        "outcome": "taken",
        "to": [[A, "20"]],
    },
    "pile_check": {"pile": A, "temp_f": "138"},
    "leaf_depth": {"depth_in": "5.5", "layer": "fresh", "pass": 2},
    "ground": {"state": "moist", "thread": "edge", "axle_tons": "6"},
    "work": {
        "job": "spread",
        "yards_yd3": "400",
        "from": [B],
        "bags_off": True,
        "started_at": "2026-11-03T08:10:00-05:00",
    },
    "calibrate": {
        "machine": "spreader",
        "setting": "gear 2, 1,800 rpm",
        "runs": ["10", "11.5"],
        "sheet_ft2": "21.78",
    },
    "sample": {"of": "soil", "lab_bag": "R-1", "top_in": "0", "bottom_in": "6", "cores": 18},
    "result": {"sample": B, "lab": "first lab", "method": "mehlich_3", "values": [["p", "60", "lb_per_ac"]]},
    "occurrence": {"what": "complaint", "action": "called back", "cure_by": "2026-12-01"},
    "weather": {"date": "2026-07-02", "low_f": "61", "high_f": "88", "rain_in": "0.4"},
    "leg": {"leg": "leaf", "starts_on": "2026-10-20", "why": "out of garlic"},
    "land": {
        "what": "field",
        "subject": A,
        "version": 1,
        "name": "Upper Rest",
        "why": "drawn",
        "pieces": [[[["40.1", "-75.1"], ["40.1", "-75.0"], ["40.2", "-75.0"]]]],
    },
    "document": {
        "what": "approval",
        "title": "leaf mulching",
        "issued_on": "2026-01-05",
        "expires_on": "2027-01-04",
    },
    "plan": {
        "plan": B,
        "name": "first",
        "years": [[2027, "lead_in", ""], [2028, "cash", "garlic"]],
        "pinned": [2028],
    },
    "sheet_choice": {
        "sheet": "new_jersey",
        "in_force": True,
        "starts_on": "2026-01-01",
        "why": "where we are",
    },
    "job": {"due": "mow-1", "person": B, "on": "2026-07-03", "place": 1},
    "seal": {"first": 1, "last": 40, "root": "ab" * 32, "before": None, "day": "2026-07-02"},
    "restored": {"number": 40, "backup_of": "2026-07-02", "why": "disk"},
    "redact": {"person": B, "why": "asked"},
    "put_off": {"due": "mow-1", "why": "wet"},
    "agreed_count": {"town": B, "loads": 12, "yards_yd3": "240", "with": "the driver"},
    "note": {"text": "geese on the rye"},
    "query": {"ask": "which_field"},
    "answer": {"text": "the upper one"},
    "reading": {"entries": [A, B], "mark": "initialled", "opened": False},
    "correction": {
        "of": "cover",
        "body": {"cover": "rye", "height_in": "12", "heads": "none"},
        "why": "misread",
    },
    "strike": {"of": "load", "why": "slip, undone at once"},
}


def envelope(kind: str, **changed: Any) -> dict[str, Any]:
    tree = {
        "id": A,
        "kind": kind,
        "edition": 1,
        "made_at": "2026-07-02T08:00:01.123-04:00",
        "boot": C,
        "mono_ms": 8_123,
        "done_at": None,
        "by": B,
        "done_by": None,
        "field": A,
        "part": None,
        "land": 1,
        "at": {
            "lat": "40.1012345",
            "lon": "-75.0512345",
            "r68_m": "4.2",
            "fixed_at": "2026-07-02T12:00:00Z",
            "from": "nmea",
        },
        "round": None,
        "stop": None,
        "body": BODIES[kind],
        "names": A if kind in ("correction", "strike", "answer", "query") else None,
        "sheets": ["new_jersey@1"],
        "from_paper": False,
        "photos": [{"sha256": "cd" * 32, "bytes": 120_000, "type": "image/jpeg"}] if kind == "note" else [],
    }
    return tree | changed


def line(tree: Any) -> bytes:
    return json.dumps(tree, ensure_ascii=False, separators=(",", ":")).encode()
