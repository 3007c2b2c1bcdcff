"""What the invented grower typed of fertilizer and lime. Rates, levels and prices are made up for the demo, as their
sources say: nobody should spread by them."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from uuid import UUID

from demo_fixtures.people import OWNER
from demo_fixtures.rotation import CABBAGE, CORN, GARLIC, SQUASH
from demo_fixtures.soil import CORBEL, FENNEL_RIDGE, METHOD
from shared.ahead.fertilizer_sheet import Table

SHEET = "Fescue County planting sheet (made up for the demo)"
PRICES = "Bramble Cooperative spring list (made up for the demo)"
NITROGEN = {GARLIC: "110", CABBAGE: "130", CORN: "120", SQUASH: "80"}
LB = {"P2O5": ("140", "90", "40"), "K2O": ("160", "110", "60")}
LEVELS = {FENNEL_RIDGE: ("low", "medium", "high"), CORBEL: ("low", "medium", "optimum")}
"""The words of the printed levels that each laboratory goes by."""


def rows(year: int) -> dict[Table, list[dict[str, str]]]:
    """The rows of each table, as the page itself would have kept them."""
    return {
        "rates": list(_rates(year)),
        "materials": [
            _priced(year, "urea", n_pct="46", p2o5_pct="0", k2o_pct="0", bag_lb="50", price="27.5"),
            _priced(year, "phosphate", n_pct="0", p2o5_pct="46", k2o_pct="0", bag_lb="50", price="34"),
            _priced(year, "potash", n_pct="0", p2o5_pct="0", k2o_pct="60", bag_lb="50", price="26"),
            _priced(year, "blend", n_pct="10", p2o5_pct="10", k2o_pct="10", bag_lb="50", price="19"),
        ],
        "limes": [_priced(year, "calcitic lime", cce_pct="94", fineness_pct="85", price="46")],
    }


def _rates(year: int) -> Iterator[dict[str, str]]:
    source = {"yield_goal": "", "source": SHEET, "dated": f"{year - 1}-01-15"}
    bare = {"lab": "", "method": "", "level": ""}
    for crop, lb in NITROGEN.items():
        yield {"crop": crop, "nutrient": "N", "amount": lb, **bare, **source}
        for nutrient, several in LB.items():
            for lab, words in LEVELS.items():
                for word, amount in zip(words, several, strict=True):
                    told = {"lab": lab, "method": METHOD[lab], "level": word}
                    yield {"crop": crop, "nutrient": nutrient, "amount": amount, **told, **source}


def _priced(year: int, name: str, **cells: str) -> dict[str, str]:
    return {"name": name, **cells, "source": PRICES, "dated": f"{year}-03-02"}


def typed(farm: UUID, year: int, now: datetime) -> None:
    """Write them down as the owner would have."""
    from server.ahead.fertilizer_rows import add

    for table, several in rows(year).items():
        add(farm, table, several, OWNER.id, now)
