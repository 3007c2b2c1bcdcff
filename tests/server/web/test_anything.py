"""Whatever sound entry a phone hands in, no page, register or pull stops at it (contract, I7)."""

from __future__ import annotations

from uuid import UUID

import pytest
from django.test import Client
from django.urls import reverse

from server.web.urls import urlpatterns
from shared.words.bodies import KINDS
from tests.anything import Anything
from tests.server.ground import HandPhone, entry_tree, raw
from tests.server.web.farmyard import Farmyard

ENTRIES = 60
OPENED_EACH = 6
OUT_OF_THE_FARM = {"first", "sign_in", "sign_in_by_link", "sign_out"}


def handed_in(yard: Farmyard, phone: HandPhone, seed: int) -> list[dict[str, object]]:
    anything = Anything(seed, [*yard.ground.fields, yard.ground.crew.id, yard.town, yard.truck])
    trees = []
    for _ in range(ENTRIES):
        kind = anything.chance.choice(list(KINDS))
        tree = entry_tree(phone.by, kind, anything.body(kind)) | anything.envelope(yard.ground.fields)
        anything.ids.append(UUID(tree["id"]))
        trees.append(tree)
    phone.kept += [raw(tree) for tree in trees]
    answer = phone.push()
    assert answer.status_code == 200, answer.content
    assert len(answer.json()["results"]) == ENTRIES
    return trees


def addresses(yard: Farmyard, trees: list[dict[str, object]]) -> list[str]:
    """Every page of the farm, with each field, and some of these entries and rounds."""
    known: dict[str, list[object]] = {
        "field": list(yard.ground.fields),
        "ground": list(yard.ground.fields),
        "entry": [tree["id"] for tree in trees],
        "round": [tree["round"] for tree in trees if tree["round"]][:OPENED_EACH],
        "town": [yard.town],
        "truck": [yard.truck],
        "kind": list(KINDS),
        "name": ["leaf_intake"],
    }
    paths = []
    for one in urlpatterns:
        wanted = one.pattern.converters.keys() - {"farm"}
        if one.name in OUT_OF_THE_FARM or "farm" not in one.pattern.converters or len(wanted) > 1:
            continue
        for value in known.get(next(iter(wanted)), []) if wanted else [None]:
            more = dict.fromkeys(wanted, value)
            paths.append(reverse(one.name, kwargs={"farm": yard.farm} | more))
    return paths


def no_page_stops_at(seed: int, yard: Farmyard, phone: HandPhone, owner: Client) -> None:
    trees = handed_in(yard, phone, seed)
    owner.raise_request_exception = True
    for path in addresses(yard, trees):
        assert owner.get(path).status_code < 500, path
    phone.pull_all()


@pytest.mark.parametrize("seed", [5, 109])
def test_I7_no_sound_entry_closes_a_page_or_a_pull(
    seed: int, yard: Farmyard, phone: HandPhone, owner: Client
):
    no_page_stops_at(seed, yard, phone, owner)
