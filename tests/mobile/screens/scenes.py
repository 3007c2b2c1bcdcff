"""Every screen in every state worth looking at: how a stage is brought there, by taps alone where it can be."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from decimal import Decimal
from typing import Any
from uuid import UUID

from mobile.actions.correct import correct, own_entry
from mobile.actions.strike import strike
from mobile.trouble import DiskFull
from tests.mobile.farmland import FALLOWDALE, KILN_BOTTOM, QUARRY_SIDE, TRUCKS
from tests.mobile.stage import Stage

Scene = Callable[[Stage], None]


def in_field(stage: Stage, course_deg: float | None = None) -> None:
    stage.stand(80, 60, course_deg=course_deg)
    stage.tick()


def here(stage: Stage) -> None:
    in_field(stage)


def here_written(stage: Stage) -> None:
    walked(stage)
    stage.hand.tap("round.save")


def here_not_sure(stage: Stage) -> None:
    stage.stand(160, 60, "8")
    stage.tick()


def here_no_position(stage: Stage) -> None:
    stage.receiver.lose("searching")
    stage.tick()


def here_off_farm(stage: Stage) -> None:
    stage.stand(900, 900)
    stage.tick()


def here_clock_wrong(stage: Stage) -> None:
    stage.clock.jump(timedelta(minutes=7))
    stage.hand_in()
    in_field(stage)


def here_stopped(stage: Stage) -> None:
    stage.phone.book.restand(stage.enrolment, "stopped")
    in_field(stage)


def here_why_not(stage: Stage) -> None:
    in_field(stage)
    stage.hand.reach("cant")


def who(stage: Stage) -> None:
    stage.go("who")


def who_nobody(stage: Stage) -> None:
    stage.go("who")
    stage.hand.key_in("9999") if "pad.9" in stage.hand.names() else None


def once(stage: Stage) -> None:
    in_field(stage)
    stage.hand.reach("here.firmness")


def stop(stage: Stage, measure: str = "cover") -> None:
    in_field(stage, 45.0)
    stage.hand.reach(f"here.{measure}")
    for choice in {
        "cover": ["cover.sorghum_sudan"],
        "firmness": ["cone.half_inch", "moisture.moist", "where.body"],
        "leaf_depth": ["layer.fresh"],
    }.get(measure, []):
        stage.hand.reach(f"round.{choice}")
    if measure != "weeds":
        stage.hand.tap("round.save")


def stop_keyed(stage: Stage) -> None:
    stop(stage)
    stage.hand.key_in("71")


def choose(stage: Stage, name: str) -> None:
    """A choice of a stop: where the text is large it comes on a page of its own."""
    while name not in stage.hand.names():
        if "further" in stage.hand.names():
            stage.hand.reach(name)
            return
        stage.hand.tap("round.save")
    stage.hand.tap(name)


def stop_choosing(stage: Stage) -> None:
    stop_keyed(stage)
    choose(stage, "round.heads.few")


def saved(stage: Stage) -> None:
    stop_choosing(stage)
    stage.hand.tap("round.save")


def stop_wrong(stage: Stage) -> None:
    stop(stage)
    stage.hand.key_in("620")
    choose(stage, "round.heads.none")
    stage.hand.tap("round.save")


def stop_disk_full(stage: Stage) -> None:
    stop_choosing(stage)

    def full(*_: Any, **__: Any) -> None:
        raise DiskFull

    stage.phone.book.save = full  # type: ignore[method-assign, assignment]
    stage.hand.tap("round.save")


def weeds(stage: Stage) -> None:
    stop(stage, "weeds")


def firmness(stage: Stage) -> None:
    stop(stage, "firmness")
    stage.hand.key_in("320")


def leaf_depth(stage: Stage) -> None:
    stop(stage, "leaf_depth")
    stage.hand.key_in("6.4")


def plan(stage: Stage) -> None:
    stop(stage)
    stage.hand.tap("round.way")


def walked(stage: Stage) -> None:
    """A whole round of ten, through the presenter: what is looked at is how it came out."""
    stop(stage)
    assert stage.app is not None
    presenter: Any = stage.app.presenters["round"]
    shows, presenter.changed = presenter.changed, lambda: None
    for height in (31, 28, 35, 30, 33, 29, 36, 31, 30, 32):
        for digit in str(height):
            presenter.key(digit)
        presenter.pick("heads", "none")
        presenter.save()
        stage.clock.pass_ms(30_000)
    presenter.changed = shows
    stage.tick()


def once_frost(stage: Stage) -> None:
    in_field(stage)
    stage.hand.reach("here.cover")
    stage.hand.reach("round.cover.sorghum_sudan")
    stage.hand.reach("round.frost.light")


def once_grass(stage: Stage) -> None:
    in_field(stage)
    stage.hand.reach("here.cover")
    stage.hand.reach("round.cover.timothy")
    stage.hand.reach("round.stage.boot")


def stop_in_buffer(stage: Stage) -> None:
    stop_choosing(stage)
    stage.stand(63, 70)
    stage.hand.tap("round.save")


def once_unfinished(stage: Stage) -> None:
    """A round that was let go for another: it may be gone on with."""
    stop(stage)
    stage.hand.key_in("31")
    choose(stage, "round.heads.none")
    stage.hand.tap("round.save")
    stage.go("here")
    stage.hand.reach("here.weeds")
    stage.go("here")
    stage.hand.reach("here.cover")


def stop_outside(stage: Stage) -> None:
    stop_choosing(stage)
    stage.stand(80, -70)
    stage.hand.tap("round.save")


def gate(stage: Stage) -> None:
    in_field(stage)
    stage.go("gate")


def gate_field(stage: Stage) -> None:
    gate(stage)
    stage.hand.reach("gate.ground")


def gate_ready(stage: Stage) -> None:
    gate_field(stage)
    stage.hand.reach(f"gate_field.{QUARRY_SIDE}")


def take(stage: Stage, truck: int, fill: str = "100", seen: str = "clean") -> None:
    stage.hand.reach(f"gate.truck.{TRUCKS[truck]}")
    stage.hand.tap(f"gate.fill.{fill}")
    stage.hand.tap(f"gate.seen.{seen}")


def gate_open(stage: Stage) -> None:
    gate_ready(stage)
    stage.hand.reach(f"gate.truck.{TRUCKS[1]}")
    stage.hand.tap("gate.fill.90")


def gate_taken(stage: Stage) -> None:
    gate_ready(stage)
    for truck in (0, 1, 2, 0, 1):
        take(stage, truck)
        stage.clock.pass_ms(1_200_000)
    take(stage, 2, "90")


def turn_back(stage: Stage) -> None:
    gate_ready(stage)
    stage.hand.reach(f"gate.truck.{TRUCKS[3]}.back")


def turned_back(stage: Stage) -> None:
    turn_back(stage)
    stage.hand.reach("turn_back.reason.bags")
    stage.hand.tap("turn_back.save")


def closer(stage: Stage) -> None:
    gate_ready(stage)
    take(stage, 0, "80", "closer")
    stage.hand.reach("closer.items.sharps")


def gate_full_of_pages(stage: Stage) -> None:
    """Two loads taken and one turned back, the day's count open."""
    turned_back(stage)
    for truck in (0, 2):
        take(stage, truck)
    stage.hand.tap("gate.count")


def ticket(stage: Stage) -> None:
    gate_full_of_pages(stage)
    presenter: Any = stage.app.presenters["gate_count"]  # type: ignore[union-attr]
    presenter.tap(f"load.{_last_id(stage)}")
    stage.hand.settle()


def ticket_found(stage: Stage) -> None:
    ticket(stage)
    stage.hand.reach("ticket.found")


def agreed(stage: Stage) -> None:
    gate_full_of_pages(stage)
    stage.hand.reach(f"gate_count.town.{FALLOWDALE}")


def load_shared(stage: Stage) -> None:
    gate_ready(stage)
    take(stage, 0, "100", "share")
    stage.hand.reach(f"load_to.to.{KILN_BOTTOM}")


def load_shared_yards(stage: Stage) -> None:
    load_shared(stage)
    stage.hand.tap("load_to.figures")


def picked(stage: Stage) -> None:
    gate_ready(stage)
    take(stage, 0, "80", "picked")


def new_truck(stage: Stage) -> None:
    gate_ready(stage)
    stage.hand.tap("gate.save")


def new_truck_bed(stage: Stage) -> None:
    new_truck(stage)
    stage.hand.tap("new_truck.save")


def wrote_empty(stage: Stage) -> None:
    stage.go("wrote")


def wrote(stage: Stage) -> None:
    walked(stage)
    stage.go("wrote")


def _last_id(stage: Stage) -> str:
    return str(stage.phone.book.written(stage.enrolment, None, 1)[0].id)


def entry(stage: Stage) -> None:
    wrote(stage)
    stage.hand.reach(f"wrote.{_last_id(stage)}")


def entry_correct(stage: Stage) -> None:
    entry(stage)
    stage.hand.tap("entry.save")


def entry_correct_field(stage: Stage) -> None:
    entry_correct(stage)
    stage.hand.reach("in_place.on_field")


def entry_of_another(stage: Stage) -> None:
    entry(stage)
    stage.writes("es")
    stage.redraw()


def entry_strike(stage: Stage) -> None:
    entry(stage)
    stage.hand.tap("entry.extra")


def entry_corrected(stage: Stage) -> None:
    walked(stage)
    id = UUID(_last_id(stage))
    old: Any = own_entry(stage.phone, stage.enrolment, id)
    correct(stage.phone, stage.enrolment, old, replace(old.body, height_in=Decimal(34)), "misread")
    stage.app.session.facts["entry"] = id  # type: ignore[union-attr]
    stage.go("entry")


def wrote_struck(stage: Stage) -> None:
    entry_corrected(stage)
    line = stage.phone.book.written(stage.enrolment, None, 6)[5]
    strike(stage.phone, stage.enrolment, own_entry(stage.phone, stage.enrolment, UUID(str(line.id))), "twice")
    stage.go("wrote")


def hand_in(stage: Stage) -> None:
    walked(stage)
    stage.go("hand_in")


def more(stage: Stage) -> None:
    stage.go("more")


def next_jobs(stage: Stage) -> None:
    stage.go("next_jobs")


def looks(stage: Stage) -> None:
    stage.go("looks")


def ground(stage: Stage) -> None:
    in_field(stage)
    stage.hand.reach("here.ground")
    stage.hand.reach("ground.state.moist")


def ground_figures(stage: Stage) -> None:
    in_field(stage)
    stage.hand.reach("here.ground")
    stage.hand.reach("ground.state.frozen")
    stage.hand.tap("ground.figures")
    stage.hand.key_in("6.5")


def work(stage: Stage) -> None:
    in_field(stage)
    stage.hand.reach("here.work")


def work_job(stage: Stage) -> None:
    work(stage)
    stage.hand.reach("work.job.seed")


def work_spray(stage: Stage) -> None:
    work(stage)
    stage.hand.reach("work.job.spray")
    stage.hand.tap("work.figures")


def work_spread(stage: Stage) -> None:
    work(stage)
    stage.hand.reach("work.job.spread")
    stage.hand.reach("work.when.earlier")


def work_correct(stage: Stage) -> None:
    work(stage)
    stage.hand.reach("work.job.mow")
    stage.hand.tap("work.save")
    stage.app.session.facts["entry"] = UUID(_last_id(stage))  # type: ignore[union-attr]
    stage.go("entry")
    stage.hand.tap("entry.save")


def load_correct(stage: Stage) -> None:
    ticket(stage)
    stage.hand.tap("ticket.extra")
    stage.hand.tap("entry.save")


def note_calibrate(stage: Stage) -> None:
    note(stage)
    stage.hand.reach("note.kind.calibrate")


def note(stage: Stage) -> None:
    in_field(stage)
    stage.hand.tap("here.note")


def note_occurrence(stage: Stage) -> None:
    note(stage)
    stage.hand.reach("note.kind.occurrence")
    stage.hand.reach("note.what.injury")


def note_pile(stage: Stage) -> None:
    note(stage)
    stage.hand.reach("note.kind.pile")


def sample(stage: Stage) -> None:
    in_field(stage)
    stage.go("sample")
    stage.hand.reach("sample.of.soil")


def map_of_farm(stage: Stage) -> None:
    in_field(stage)
    stage.go("map")


def map_closer(stage: Stage) -> None:
    """The stops of a round that is going on, and the well with its setback."""
    stop(stage)
    stage.go("map")
    stage.hand.tap("map.closer")


def reckoner(stage: Stage) -> None:
    stage.go("reckoner")


def reckoner_answer(stage: Stage) -> None:
    stage.go("reckoner")
    stage.hand.reach("reckoner.leaf_depth")
    stage.hand.type("reckoner.yards_yd3", "3100")
    stage.hand.type("reckoner.area_ac", "4.2")
    stage.hand.tap("reckoner.save")


def first_run(stage: Stage) -> None:
    stage.go("first_run")


def first_run_wrong(stage: Stage) -> None:
    stage.go("first_run")
    stage.hand.type("first_run.code", "7K2")
    stage.hand.tap("first_run.save")


SCENES: tuple[Scene, ...] = (
    here,
    here_written,
    here_not_sure,
    here_no_position,
    here_off_farm,
    here_clock_wrong,
    here_stopped,
    here_why_not,
    who,
    who_nobody,
    once,
    once_unfinished,
    once_frost,
    once_grass,
    stop,
    stop_in_buffer,
    stop_keyed,
    stop_choosing,
    saved,
    stop_wrong,
    stop_outside,
    stop_disk_full,
    weeds,
    firmness,
    leaf_depth,
    plan,
    walked,
    gate,
    gate_field,
    gate_ready,
    gate_open,
    gate_taken,
    turn_back,
    turned_back,
    closer,
    gate_full_of_pages,
    ticket,
    ticket_found,
    agreed,
    load_shared,
    load_shared_yards,
    picked,
    new_truck,
    new_truck_bed,
    wrote_empty,
    wrote,
    entry,
    entry_correct,
    entry_correct_field,
    entry_of_another,
    entry_strike,
    entry_corrected,
    wrote_struck,
    hand_in,
    more,
    next_jobs,
    looks,
    ground,
    ground_figures,
    work,
    work_job,
    work_spray,
    work_spread,
    work_correct,
    load_correct,
    note_calibrate,
    note,
    note_occurrence,
    note_pile,
    sample,
    map_of_farm,
    map_closer,
    reckoner,
    reckoner_answer,
    first_run,
    first_run_wrong,
)
