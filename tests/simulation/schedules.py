"""One schedule for each planted mistake, short enough to be read, as ``World.run`` replays it."""

from __future__ import annotations

from tests.simulation.world import Step

RED, BLUE, GREEN = 0, 1, 2
A_PUT_BACK_PHONE: list[Step] = [
    ("save", RED, 0, 2),
    ("sync", RED, 0, ()),
    ("keep_image", RED),
    ("save", RED, 0, 1),
    ("sync", RED, 0, ()),
    ("put_back", RED),
    ("save", RED, 0, 1),
    ("sync", RED, 0, ()),
]

SCHEDULES: dict[str, list[Step]] = {
    "no_idempotency": A_PUT_BACK_PHONE,
    "outbox_cleared_before_the_answer": [("save", RED, 0, 2), ("sync", RED, 0, ("drop_request",))],
    "poison_stops_the_batch": [("save", RED, 0, 1), ("save_garbage", RED, 0, "[] "), ("save", RED, 0, 1)],
    "late_number": [
        ("read", 0),
        ("day", RED, 0, 2, ()),
        ("day", BLUE, 0, 1, ()),
        ("read", 0),
        ("day", RED, 0, 1, ()),
        ("read", 0),
    ],
    "dropped_on_401": [("save", RED, 0, 2), ("stop", RED, 0), ("sync", RED, 0, ())],
    "cursor_before_its_page": [
        ("sync", RED, 0, ()),
        ("edit", 0, "town"),
        ("sync_crash", RED, 0, 1, "before"),
    ],
    "uniqueness_swallowed": A_PUT_BACK_PHONE,
    "truncated_body_accepted": [
        ("save_long", RED, 0, 4_000),
        ("save", RED, 0, 4),
        ("sync", RED, 0, ("cut_request",)),
    ],
    "sha_over_the_line": A_PUT_BACK_PHONE,
    "bare_number_for_a_cursor": [
        ("back_up",),
        ("edit", 0, "town"),
        ("edit", 0, "town"),
        ("edit", 0, "town"),
        ("sync", RED, 0, ()),
        ("restore",),
        ("edit", 0, "person"),
        ("edit", 0, "town"),
        ("edit", 0, "town"),
        ("edit", 0, "town"),
    ],
    "pruned_on_acknowledgement": [("back_up",), ("day", RED, 0, 3, ()), ("restore",)],
    "gap_ignored": [("back_up",), ("day", RED, 0, 3, ()), ("restore",)],
}
"""In the last two the phone has nothing new to send when the server is put back."""

FOUND: dict[str, list[Step]] = {
    "a_backup_whose_photos_are_still_in_place": [
        ("save_photo", RED, 0),
        ("sync", RED, 0, ()),
        ("back_up",),
        ("restore",),
    ],
}
"""What the simulation found in the real code, once, and must never find again."""
