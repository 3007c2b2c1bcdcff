"""Kills, a full disk and a torn log: what was shown as saved is there (I1)."""

from __future__ import annotations

import random
import shutil
import signal
import subprocess
import sys
import tempfile
from pathlib import Path

from mobile.storage import PhoneBook
from mobile.trouble import DiskFull
from shared.sync.chain import head_over
from tests.mobile.storage.books import a_book, new_line

ROOT = Path(__file__).parents[3]
KILLS = 12
FAST = "/dev/shm" if Path("/dev/shm").is_dir() else None
"""In memory where there is such a place: here the log itself is torn, the disk plays no part."""
TEARS = 400


def saver(file: Path, *more: str, before: tuple[str, ...] = ()) -> subprocess.Popen[str]:
    command = [*before, sys.executable, "-m", "tests.mobile.storage.saver", str(file), *more]
    return subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, text=True)


def whole(book: PhoneBook) -> list[int]:
    """The lines of a book whose bytes, shas and chain are all as they should be."""
    assert book.disk.one("PRAGMA integrity_check") == ("ok",)
    lines = book.since(1, 1)
    for one in lines:
        assert one.raw == new_line(one.line).raw
    if lines:
        assert book.head(1, len(lines)) == head_over(one.sha for one in lines)
    return [one.line for one in lines]


def test_i1_what_was_shown_as_saved_survives_sigkill_between_and_within_saves(tmp_path: Path) -> None:
    file = tmp_path / "phone.sqlite"
    a_book(tmp_path)[0].close()
    dice = random.Random(4)
    shown = 0
    for _ in range(KILLS):
        process = saver(file)
        assert process.stdout is not None
        for _ in range(dice.randint(1, 60)):
            shown = int(process.stdout.readline().split()[1])
        process.send_signal(signal.SIGKILL)
        rest = process.stdout.read().split("\n")
        process.wait()
        process.stdout.close()
        shown = max(
            [shown, *(int(one.split()[1]) for one in rest if one.startswith("saved") and one[-1:].isspace())]
        )
        book = PhoneBook(file)
        there = whole(book)
        assert there == list(range(1, len(there) + 1))
        assert shown <= len(there) <= shown + 2
        assert book.draft(1, "round") == {"done": len(there)}
        book.close()


def test_i1_a_full_disk_frees_the_ballast_then_refuses_and_shows_nothing_as_saved_that_is_not(
    tmp_path: Path,
) -> None:
    """A real disk of 3 MB: a tmpfs in a mount namespace of its own."""
    disk = tmp_path / "disk"
    disk.mkdir()
    script = (
        f"mount -t tmpfs -o size=3m tmpfs {disk} && cp {tmp_path}/phone.sqlite {disk}/ &&"
        f" head -c 1048576 /dev/urandom > {disk}/phone.ballast &&"
        f" {sys.executable} -m tests.mobile.storage.saver {disk}/phone.sqlite;"
        f" echo left; ls {disk}; cp -r {disk} {tmp_path}/after"
    )
    a_book(tmp_path)[0].close()
    done = subprocess.run(
        ["unshare", "--mount", "--map-root-user", "sh", "-c", script],
        cwd=ROOT,
        capture_output=True,
        text=True,
        timeout=120,
    )
    said = done.stdout.split("\n")
    assert "trouble disk_full" in said, done.stdout[-500:] + done.stderr
    saved = [one for one in said if one.startswith("saved")]
    tight = [one for one in saved if one.endswith("tight")]
    assert 0 < len(tight) < len(saved)
    assert "phone.ballast" not in said[said.index("left") :]
    book = PhoneBook(tmp_path / "after" / "phone.sqlite")
    assert whole(book) == list(range(1, len(saved) + 1))
    book.save(1, [new_line(len(saved) + 1)])
    assert not book.is_tight()


def test_a_full_disk_leaves_the_book_as_it_was_and_takes_up_again_when_there_is_room(tmp_path: Path) -> None:
    book, farm = a_book(tmp_path)
    (pages,) = book.disk.one("PRAGMA page_count")
    book.disk.one(f"PRAGMA max_page_count = {pages + 3}")
    saved = _saved_until_full(book, farm)
    assert saved > 0
    assert book.is_tight()
    assert [one.line for one in book.since(farm, 1)] == list(range(1, saved + 1))
    book.disk.one("PRAGMA max_page_count = 100000")
    book.save(farm, [new_line(saved + 1, size=2000)])
    assert book.enrolment(farm).line == saved + 1


def _saved_until_full(book: PhoneBook, farm: int) -> int:
    for n in range(1, 1000):
        try:
            book.save(farm, [new_line(n, size=2000)])
        except DiskFull:
            return n - 1
    raise AssertionError("the disk never filled")


def test_i1_a_torn_log_reopens_as_an_exact_prefix_of_what_was_saved(tmp_path: Path) -> None:
    """The log cut off and with bits turned over at 400 random places."""
    book, farm = a_book(tmp_path)
    for n in range(1, 31):
        book.save(farm, [new_line(n)])
    files = {one.name: one.read_bytes() for one in tmp_path.iterdir() if "sqlite" in one.name}
    book.close()
    log = files["phone.sqlite-wal"]
    dice = random.Random(400)
    shorter = 0
    for attempt in range(TEARS):
        torn = Path(tempfile.mkdtemp(dir=FAST))
        (torn / "phone.ballast").touch()
        (torn / "phone.sqlite").write_bytes(files["phone.sqlite"])
        (torn / "phone.sqlite-wal").write_bytes(_torn(log, dice, cut=attempt % 2 == 0))
        again = PhoneBook(torn / "phone.sqlite")
        if again.enrolments():
            there = whole(again)
            assert there == list(range(1, len(there) + 1))
            shorter += len(there) < 30
        else:
            shorter += 1
        again.close()
        shutil.rmtree(torn)
    assert shorter > TEARS / 4


def _torn(log: bytes, dice: random.Random, cut: bool) -> bytes:
    at = dice.randrange(len(log))
    if cut:
        return log[:at]
    changed = bytearray(log)
    changed[at] ^= 1 << dice.randrange(8)
    return bytes(changed)
