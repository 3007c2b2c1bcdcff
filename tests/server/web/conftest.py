"""A farmyard, and whoever looks at its pages."""

from __future__ import annotations

import pytest
from django.test import Client

from tests.server.conftest import Clock, ground, now, phone  # noqa: F401
from tests.server.ground import Ground
from tests.server.web.farmyard import Farmyard, signed_in


@pytest.fixture
def yard(ground: Ground, now: Clock) -> Farmyard:  # noqa: F811
    return Farmyard.of(ground, now())


@pytest.fixture
def owner(yard: Farmyard) -> Client:
    return signed_in(yard.ground.owner)
