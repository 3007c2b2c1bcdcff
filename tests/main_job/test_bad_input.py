"""What goes wrong in a day gets a clear sentence in the person's language, and nothing is lost."""

from __future__ import annotations

import pytest
from test_main_job import BOOK, IN_LOWER, walk_a_cover_round
from the_farm import FarmServer
from the_liar import Liar
from the_sky import Sky
from the_window import PhoneWindow

pytestmark = [pytest.mark.window, pytest.mark.xdist_group("main_job")]

OFF_THE_FARM = (39.72, -75.05)


def begin_a_round(phone: PhoneWindow) -> None:
    phone.tap("here.cover")
    phone.tap("round.cover.sorghum_sudan")
    phone.tap("round.save")
    phone.thing("round.save", "1")


def test_wrong_codes_wild_figures_and_places_off_the_farm_are_told_in_spanish_and_nothing_is_saved(
    server: FarmServer, phone: PhoneWindow, sky: Sky, today: str
):
    ids = server.lay(today, language="es")
    server.start()
    phone.start("--server", server.address, "--nmea", str(sky.pipe), "--language", "es")
    phone.type("first_run.code", "AAAAAAAAAA")
    phone.tap("first_run.save")
    phone.shows("Ninguna hoja")
    phone.end()
    phone.start()
    phone.type("first_run.code", server.code())
    phone.tap("first_run.save")
    phone.tap(f"who.{ids['crew']}")
    phone.shows("Spring Piece")
    phone.shows("El receptor no dice nada")
    sky.at(*OFF_THE_FARM)
    phone.shows("Fuera de la finca")
    sky.at(*IN_LOWER)
    phone.shows("Spring Piece / sofocante")
    begin_a_round(phone)
    for figure in "620":
        phone.tap(f"pad.{figure}")
    phone.tap("round.heads.none")
    phone.tap("round.save")
    phone.shows("620 pulg no puede ser")
    phone.shows("Todavía no se guarda nada")
    phone.tap("pad.rub")
    phone.tap("round.save")
    phone.shows("62 pulg.")
    phone.thing("round.save", "2")


def test_a_code_that_was_used_joins_no_second_phone(
    server: FarmServer, phone: PhoneWindow, sky: Sky, today: str, display: str, tmp_path
):
    ids = server.lay(today)
    server.start()
    code = server.code()
    phone.start("--server", server.address, "--nmea", str(sky.pipe))
    phone.type("first_run.code", code)
    phone.tap("first_run.save")
    phone.thing(f"who.{ids['crew']}")
    phone.end()
    second = PhoneWindow(display, tmp_path / "second")
    second.start("--server", server.address)
    try:
        second.type("first_run.code", code)
        second.tap("first_run.save")
        second.shows("was used before")
    finally:
        second.end()


def test_I2_a_server_that_answers_500_or_half_a_body_loses_nothing_and_gets_all_once_it_is_well(
    server: FarmServer, phone: PhoneWindow, sky: Sky, today: str
):
    ids = server.lay(today)
    server.start()
    phone.start("--server", server.address, "--nmea", str(sky.pipe))
    phone.type("first_run.code", server.code())
    phone.tap("first_run.save")
    phone.tap(f"who.{ids['crew']}")
    sky.at(*IN_LOWER)
    phone.shows("Spring Piece /")
    server.stop()
    liar = Liar(server.port)
    try:
        walk_a_cover_round(phone, sky)
        phone.shows("10 waiting")
        phone.wait(lambda _: liar.asked > 0)
        liar.way = "half"
        told = liar.asked
        phone.tap("here.more")
        phone.tap("more.hand_in")
        phone.tap("hand_in.save")
        phone.wait(lambda _: liar.asked > told)
        phone.shows("10")
    finally:
        liar.end()
    server.start()
    phone.tap("hand_in.save")
    phone.tap("hand_in.back")
    phone.tap("more.back")
    phone.shows("All handed in")
    mine = [one for one in server.python(BOOK, None) if one["phone"] == "phone"]
    assert [(one["kind"], one["outcome"], one["line"]) for one in mine] == [
        ("cover", "kept", line) for line in range(1, 11)
    ]
