"""The real phone and the real server in one process, under everything that happens to them on the way."""

from __future__ import annotations

from collections import Counter
from typing import Any

import pytest
from hypothesis import Phase, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, rule, run_state_machine_as_test

from tests.simulation.healing import check_healed, found_wrong, heal
from tests.simulation.lines_run import lines_run
from tests.simulation.network import FAULTS
from tests.simulation.schedules import TOURS
from tests.simulation.world import Laid, Step, World, book_shas
from tests.simulation.writing import FORMS, GOLDENS

SCHEDULES = 21
STEPS = 30

PHONE, FARM, FEW = st.integers(0, 2), st.integers(0, 1), st.integers(1, 4)
FAULT_LISTS = st.lists(st.sampled_from(FAULTS), max_size=4).map(tuple)
COMMITS = st.integers(0, 5)
WHEN = st.sampled_from(["before", "within", "after"])
MINUTES = st.one_of(
    st.integers(-90, 90), st.sampled_from([-15_768_000, -5_256_000, 44_640, 600_000, 5_256_000])
)
GARBAGE = st.sampled_from(["not json ", '{"id":', '{"kind":"cover"} ', "[] ", '{"id":"x","id":"y"} '])

ARGUMENTS: dict[str, tuple[st.SearchStrategy[Any], ...]] = {
    "day": (PHONE, FARM, FEW, FAULT_LISTS),
    "save": (PHONE, FARM, FEW),
    "save_long": (PHONE, FARM, st.integers(1, 30_000)),
    "save_stranger": (PHONE, FARM),
    "save_garbage": (PHONE, FARM, GARBAGE),
    "save_twin": (PHONE, FARM),
    "save_photo": (PHONE, FARM),
    "save_golden": (PHONE, FARM, st.integers(0, len(GOLDENS) * len(FORMS) - 1)),
    "save_newcomer": (PHONE, FARM),
    "save_locked": (PHONE, FARM),
    "flood": (PHONE, FARM),
    "grow_old": (PHONE, FARM),
    "save_crash": (PHONE, FARM, WHEN),
    "mend": (PHONE, FARM, st.sampled_from(["correct", "strike"])),
    "sync": (PHONE, FARM, FAULT_LISTS),
    "sync_crash": (PHONE, FARM, COMMITS, WHEN),
    "server_crash": (PHONE, FARM, COMMITS, st.sampled_from(["before", "after"])),
    "full": (PHONE, FARM),
    "deliver_late": (),
    "carry": (PHONE, FARM),
    "restart": (PHONE,),
    "jump": (PHONE, MINUTES),
    "server_jump": (MINUTES,),
    "old_app": (PHONE, FARM, FEW),
    "new_app": (PHONE,),
    "keep_image": (PHONE,),
    "put_back": (PHONE,),
    "back_up": (),
    "restore": (),
    "restore_first": (),
    "stop": (PHONE, FARM),
    "go_on": (PHONE, FARM),
    "edit": (FARM, st.sampled_from(["town", "person", "note", "newcomer"])),
    "read_again": (FARM,),
    "read": (FARM,),
}
WEIGHTS = Counter(
    day=8, save=3, sync=4, sync_crash=3, server_crash=3, read=3, edit=2, put_back=4, keep_image=2, back_up=2,
    restore=4, carry=2, save_photo=2, jump=2, deliver_late=3, mend=2, save_twin=2, save_golden=4,
    save_newcomer=2, grow_old=2,
)  # fmt: skip
"""How often each is drawn, 1 where nothing is said: drawn evenly, most schedules store nothing at all."""
WEIGHTED = [name for name in ARGUMENTS for _ in range(WEIGHTS.get(name, 1))]
STEP = st.sampled_from(WEIGHTED).flatmap(lambda name: st.tuples(st.just(name), *ARGUMENTS[name]))


class Machine(RuleBasedStateMachine):
    laid: Laid
    coverage: Counter[str]

    @classmethod
    def begun(cls, laid: Laid) -> None:
        cls.laid, cls.coverage = laid, Counter()

    def __init__(self) -> None:
        super().__init__()
        self.world: World | None = None

    @initialize(seed=st.integers(1, 1_000))
    def begin(self, seed: int) -> None:
        self.world = World(self.laid, seed)

    @rule(step=STEP)
    def step(self, step: Step) -> None:
        assert self.world is not None
        self.world.do(step)

    def teardown(self) -> None:
        if self.world is None:
            return
        try:
            if any(self.world.ever[farm] & set(book_shas(self.world, farm)) for farm in (0, 1)):
                self.world.seen.add("stored")
            heal(self.world)
            check_healed(self.world)
            Machine.coverage.update(["schedules", *self.world.seen])
        finally:
            self.world.close()


def simulate(laid: Laid, schedules: int, steps: int) -> Counter[str]:
    Machine.begun(laid)
    told = settings(max_examples=schedules, stateful_step_count=steps, deadline=None, phases=[Phase.generate])
    run_state_machine_as_test(Machine, settings=told)
    return Machine.coverage


def assert_it_met_enough(had: Counter[str]) -> None:
    """Half of the schedules store entries, a quarter move a cursor, and each trouble is met now and then."""
    assert had["stored"] >= had["schedules"] / 2, had
    assert had["moved"] >= had["schedules"] / 4, had
    for seen in ("no_answer", "crash", "put_back", "restore", "disk_full", "late", "app_too_old"):
        assert had[seen] >= had["schedules"] / 20, (seen, had)


PHONE_STORAGE = "mobile/storage"
SENDING = ("mobile/actions/hand_in.py", "mobile/actions/pull.py", "mobile/actions/enrol_again.py")
INTAKE = "server/intake"
LEAST_RUN = 0.9


@pytest.mark.timeout(1500)
def test_I1_I2_I3_I4_I5_I6_I7_I8_I9_I10_I11_I12_I13_I14_I16_hold_whatever_happens_on_the_way(
    laid: Laid,
) -> None:
    with lines_run(PHONE_STORAGE, *SENDING, INTAKE) as ran:
        for name, steps in TOURS.items():
            assert found_wrong(laid, steps) is None, name
        had = simulate(laid, SCHEDULES, STEPS)
    assert_it_met_enough(had)
    shares = {part: round(ran.share(*part), 3) for part in ((PHONE_STORAGE,), SENDING, (INTAKE,))}
    print(dict(had), shares, ran.missing)
    assert min(shares.values()) >= LEAST_RUN, (shares, ran.missing)
