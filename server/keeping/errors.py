"""Why a backup or a restore can't be done; nothing is changed then."""

from __future__ import annotations

from shared.errors import GoodgroundError


class KeepingRefused(GoodgroundError):
    code = "keeping_refused"


class BackupBroken(KeepingRefused):
    """A copy that was read back and does not agree with itself; ``detail`` says where."""

    code = "backup_broken"

    def __init__(self, detail: str) -> None:
        self.detail = detail
        super().__init__(detail)


class BookInUse(KeepingRefused):
    """A server, or something else, has the book open."""

    code = "book_in_use"


class NoBackup(KeepingRefused):
    """A folder that holds none; ``meant`` is the newest below it, or how one is called."""

    code = "no_backup"

    def __init__(self, folder: str, meant: str) -> None:
        self.folder = folder
        self.meant = meant
        super().__init__(folder, meant)


class NotSoFar(KeepingRefused):
    """A number that the farm's book does not reach."""

    code = "not_so_far"

    def __init__(self, number: int, last: int) -> None:
        self.number = number
        self.last = last
        super().__init__(number, last)
