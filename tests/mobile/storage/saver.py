"""A process that saves without end and says each line once it is saved: to be killed, or to fill its disk.

python -m tests.mobile.storage.saver FILE [LIMIT]
"""

from __future__ import annotations

import sys
from pathlib import Path

from mobile.ports import Draft
from mobile.storage import PhoneBook
from mobile.trouble import BookTrouble
from tests.mobile.storage.books import new_line


def main(file: str, limit: str = "1000000") -> None:
    book = PhoneBook(Path(file))
    farm = book.enrolments()[0].id
    first = book.enrolment(farm).line + 1
    for n in range(first, first + int(limit)):
        try:
            book.save(farm, [new_line(n)], Draft("round", {"done": n}))
        except BookTrouble as trouble:
            print(f"trouble {trouble.code}", flush=True)
            return
        print(f"saved {n} {'tight' if book.is_tight() else ''}", flush=True)


if __name__ == "__main__":
    main(*sys.argv[1:])
