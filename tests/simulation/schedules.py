"""One schedule for each planted mistake, short enough to be read, as ``World.run`` replays it."""

from __future__ import annotations

from tests.simulation.world import Step
from tests.simulation.writing import FORMS, GOLDENS

RED, BLUE, GREEN = 0, 1, 2
ANSWER = next(
    place
    for place in range(2 * len(GOLDENS), 3 * len(GOLDENS))
    if GOLDENS[place % len(GOLDENS)]["kind"] == "answer"
)
STRIKE = next(place for place, one in enumerate(GOLDENS) if one["kind"] == "strike")
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
    "a_verdict_that_goes_and_comes_back_as_the_status_is_made_again": [
        ("save_golden", BLUE, 1, STRIKE),
        ("sync", BLUE, 1, ()),
    ],
    "an_old_line_between_newer_ones_leaves_no_gap": [
        ("save", RED, 0, 2),
        ("save_golden", RED, 0, 4),
        ("save", RED, 0, 1),
        ("sync", RED, 0, ()),
        ("back_up",),
        ("save", RED, 0, 1),
        ("sync", RED, 0, ()),
        ("save", RED, 0, 1),
        ("sync", RED, 0, ()),
    ],
    "an_answer_that_names_a_field_and_is_no_fact_of_it": [
        ("save_golden", RED, 1, ANSWER),
        ("full", RED, 0),
    ],
}
"""What the simulation found in the real code, once, and must never find again."""

TOURS: dict[str, list[Step]] = {
    "every_kind_of_entry": [
        *[("save_golden", RED, 0, place) for place in range(len(GOLDENS) * len(FORMS))],
        ("save", RED, 0, 3),
        ("mend", RED, 0, "correct"),
        ("mend", RED, 0, "strike"),
        ("sync", RED, 0, ()),
    ],
    "a_carry_file_beyond_a_gap": [
        ("back_up",),
        ("day", RED, 0, 2, ()),
        ("restore",),
        ("save", RED, 0, 2),
        ("save_photo", RED, 0),
        ("carry", RED, 0),
        ("sync", RED, 0, ()),
        ("carry", RED, 0),
    ],
    "a_carry_file_of_a_stopped_phone": [
        ("stop", RED, 0),
        ("save", RED, 0, 2),
        ("save_garbage", RED, 0, "[] "),
        ("carry", RED, 0),
        ("sync", RED, 0, ()),
        ("go_on", RED, 0),
        ("sync", RED, 0, ()),
    ],
    "a_carry_file_of_a_phone_that_the_server_forgot": [
        ("back_up",),
        ("sync", RED, 0, ("forgotten",)),
        ("save", RED, 0, 1),
        ("save_photo", RED, 0),
        ("restore",),
        ("carry", RED, 0),
        ("sync", RED, 0, ()),
    ],
    "a_line_alone_that_nobody_takes": [
        ("save", RED, 0, 1),
        ("sync", RED, 0, ("bad_frame",)),
        ("sync", RED, 0, ("bad_frame",)),
        ("save", RED, 0, 2),
        ("sync", RED, 0, ()),
    ],
    "a_fork_whose_way_out_is_barred": [
        *A_PUT_BACK_PHONE[:-1],
        ("sync", RED, 0, ("well", "drop_answer")),
        ("sync", RED, 0, ("well", "stopped")),
        ("sync", RED, 0, ("well", "crash_after")),
        ("sync", RED, 0, ()),
    ],
    "an_older_backup_than_what_phones_dropped_by": [
        ("save", RED, 0, 2),
        ("back_up",),
        ("grow_old", RED, 0),
        ("grow_old", RED, 0),
        ("restore_first",),
        ("sync", RED, 0, ()),
        ("save", RED, 0, 1),
        ("sync", RED, 0, ()),
    ],
    "an_app_that_nobody_brought_up_to_date": [
        ("back_up",),
        ("day", RED, 0, 2, ()),
        ("old_app", RED, 0, 2),
        ("edit", 0, "town"),
        ("sync", RED, 0, ("drop_answer",)),
        ("restore",),
        ("sync", RED, 0, ()),
        ("new_app", RED),
        ("sync", RED, 0, ()),
    ],
    "somebody_whom_a_restore_forgot": [
        ("back_up",),
        ("edit", 0, "newcomer"),
        ("save_newcomer", RED, 0),
        ("sync", RED, 0, ()),
        ("restore",),
        ("sync", RED, 0, ()),
        ("edit", 0, "newcomer"),
        ("read_again", 0),
        ("sync", RED, 0, ()),
    ],
}
"""Ways that are drawn too seldom to be relied on."""
