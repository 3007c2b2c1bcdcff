"""Many more farms full of sound nonsense than `make test` has time for, every page of each opened.

`PAGES=100 pytest tests/soak/pages_soak.py`; named so that `make test` does not gather it.
"""

from __future__ import annotations

import os

import pytest
from django.test import Client

from tests.server.ground import HandPhone
from tests.server.web.conftest import ground, now, owner, phone, yard  # noqa: F401
from tests.server.web.farmyard import Farmyard
from tests.server.web.test_anything import no_page_stops_at

pytestmark = pytest.mark.django_db(databases="__all__")


@pytest.mark.parametrize("seed", range(1000, 1000 + int(os.environ.get("PAGES", "100"))))
def test_no_sound_entry_closes_a_page_or_a_pull(seed: int, yard: Farmyard, phone: HandPhone, owner: Client):  # noqa: F811
    no_page_stops_at(seed, yard, phone, owner)
