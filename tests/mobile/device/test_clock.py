"""The phone's clocks and chance."""

from __future__ import annotations

from pathlib import Path

from mobile.device.chance import SystemChance
from mobile.device.clock import SystemClock
from mobile.device.plain import NoCamera, PictureFile


def test_the_boot_is_the_systems_own_and_the_same_for_every_process_of_it(tmp_path: Path) -> None:
    file = tmp_path / "boot_id"
    file.write_text("4f1f6b2c-9d0e-4a57-8f43-0a5a5c8b7a11\n")
    assert SystemClock(file).boot == SystemClock(file).boot
    assert str(SystemClock(file).boot) == "4f1f6b2c-9d0e-4a57-8f43-0a5a5c8b7a11"


def test_where_the_system_does_not_say_each_process_is_a_boot_of_its_own(tmp_path: Path) -> None:
    (tmp_path / "nonsense").write_text("hello")
    for file in (tmp_path / "none", tmp_path / "nonsense"):
        assert SystemClock(file).boot != SystemClock(file).boot


def test_the_wall_clock_has_an_offset_and_the_steady_one_never_steps_back() -> None:
    clock = SystemClock()
    assert clock.now().utcoffset() is not None
    ticks = [clock.steady_ms() for _ in range(1_000)]
    assert ticks == sorted(ticks)


def test_chance_gives_what_was_asked_for() -> None:
    chance = SystemChance()
    assert len(chance.bytes(10)) == 10
    assert chance.bytes(16) != chance.bytes(16)
    assert all(0.0 <= chance.share() <= 1.0 for _ in range(100))


def test_a_picture_file_stands_in_for_a_camera(tmp_path: Path) -> None:
    (tmp_path / "leaf.jpg").write_bytes(b"\xff\xd8leaf")
    got: list[Path | None] = []
    PictureFile(tmp_path / "leaf.jpg").take(tmp_path / "taken.jpg", got.append)
    PictureFile(tmp_path / "none.jpg").take(tmp_path / "also.jpg", got.append)
    NoCamera().take(tmp_path / "x.jpg", got.append)
    assert got == [tmp_path / "taken.jpg", None, None]
    assert (tmp_path / "taken.jpg").read_bytes() == b"\xff\xd8leaf"
