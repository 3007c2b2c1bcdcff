from __future__ import annotations

import logging
from collections.abc import Iterator
from typing import Any

import pytest

from mobile.actions import pull
from tests.simulation.server_end import a_database_of_its_own
from tests.simulation.stores import laid_empty, lay_files_once
from tests.simulation.world import Laid, lay

ROWS_A_PAGE = 6
"""So few that a pull takes several pages, and something may happen between them."""


@pytest.fixture(scope="module")
def laid(django_db_blocker: Any, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Laid]:
    """How every schedule begins. While this is in use the process has no other database."""
    logging.getLogger("django.request").setLevel(logging.CRITICAL)
    with django_db_blocker.unblock(), a_database_of_its_own(), pytest.MonkeyPatch.context() as patch:
        patch.setattr(pull, "PAGE_ROWS", ROWS_A_PAGE)
        lay_files_once(patch, tmp_path_factory.mktemp("file"))
        empty = laid_empty(tmp_path_factory.mktemp("empty"))
        laid = lay(tmp_path_factory.mktemp("laid"), empty)
        yield laid
        laid.book.done_with()
        empty.done_with()
    logging.getLogger("django.request").setLevel(logging.NOTSET)
