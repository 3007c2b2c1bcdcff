"""A phone for tests: real storage and transport, fake device, and a farm to join."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

from mobile.actions.choose_person import choose_person, whose_digits
from mobile.actions.join import join, read_slip
from mobile.actions.save_entry import NewEntry, Saved, save_entry
from mobile.device.fake import (
    FakeCamera,
    FakeChance,
    FakeClock,
    FakeConnectivity,
    FakeHaptics,
    FakeSenses,
    FixedPosition,
)
from mobile.ports import Phone
from mobile.storage import PhoneBook
from shared.words.bodies.told import Note
from shared.words.bodies.walked import Cover
from tests.mobile.fake_server import ADDRESS, Between, FakeFarm, FakeServer, wired

__all__ = ["Walked", "a_phone", "cover", "note", "rejoined", "walked"]


def a_phone(
    folder: Path, server: FakeServer, between: Between | None = None, seed: int = 1, name: str = "phone"
) -> Phone:
    clock = FakeClock()
    return Phone(
        book=PhoneBook(folder / f"{name}.sqlite"),
        server=wired(server, between),
        receiver=FixedPosition(clock),
        clock=clock,
        chance=FakeChance(seed),
        camera=FakeCamera(),
        connectivity=FakeConnectivity(),
        haptics=FakeHaptics(),
        senses=FakeSenses(can_speak=False).senses,
        label=name,
    )


def rejoined(phone: Phone, server: FakeServer, farm: FakeFarm, code: str = "7K2MPQX4RD") -> int:
    """The phone in this farm, with its owner writing."""
    server.slip(farm, code)
    enrolment = join(phone, read_slip(code, ADDRESS)).id
    choose_person(phone, enrolment, whose_digits(phone, enrolment, "1406")[0].id)
    return enrolment


Walked = tuple[Phone, FakeServer, FakeFarm, int]


def walked(folder: Path, between: Between | None = None) -> Walked:
    """A server with one farm and a phone in it."""
    server = FakeServer()
    farm = server.found()
    phone = a_phone(folder, server, between)
    return phone, server, farm, rejoined(phone, server, farm)


def cover(phone: Phone, enrolment: int, height_in: str = "31") -> Saved:
    body = Cover(cover="rye", height_in=Decimal(height_in), heads="none")
    return save_entry(phone, enrolment, NewEntry(body=body))


def note(phone: Phone, enrolment: int, text: str) -> Saved:
    return save_entry(phone, enrolment, NewEntry(body=Note(text=text)))
