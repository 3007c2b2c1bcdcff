"""What the square on a joining slip holds."""

from __future__ import annotations

from mobile.actions.join import OPENS_APP, read_square
from server.people.slips import link, square_link

CODE = "7K2MPQX4RD"


def test_W4_the_square_opens_the_app_and_says_the_same_as_the_slips_link() -> None:
    told = link("https://farm.example:8443/", CODE, "ab" * 32)
    assert square_link(told).startswith(OPENS_APP)
    assert read_square(square_link(told)) == read_square(told)


def test_W4d_a_server_without_https_is_for_its_own_machine_and_keeps_its_link() -> None:
    told = link("http://127.0.0.1:8000", CODE, None)
    assert square_link(told) == told
