"""In the field and at the gate: frost and stage in a cover round, what stands in a buffer, a town's season."""

from __future__ import annotations

from decimal import Decimal
from uuid import UUID

from shapely.geometry import LineString, Point
from shapely.geometry import Polygon as Shape

from mobile.actions.hand_in import hand_in
from mobile.presenters.gate import GatePresenter
from mobile.presenters.gate_count import CountPresenter
from mobile.presenters.gate_room import ground_view, receive_in
from mobile.presenters.ground import GroundPresenter
from mobile.presenters.round import RoundPresenter
from mobile.presenters.round_walk import laid_stops
from mobile.presenters.work import WorkPresenter
from shared.wire.pull import row_tree
from shared.words.field import Buffer, Pile
from shared.words.place import Polygon
from shared.words.town import Town
from tests.mobile.farmland import EASTMERE, OUTLINES, PLANE, QUARRY_SIDE, SPRING_PIECE, TRUCKS, a_field, ring
from tests.mobile.presenters.desk import Desk

PILE = UUID(int=0x500)
WELL_PILE = ring((62, 62), (70, 62), (70, 70), (62, 70))


def told(desk: Desk, kind: str, row: object) -> None:
    desk.farm.put(kind, row_tree(row))
    hand_in(desk.phone, desk.session.enrolment)


def a_round(desk: Desk, **once: str) -> RoundPresenter:
    desk.stand(120, 80)
    wanted = {"field": SPRING_PIECE, "measures": ("cover",)}
    page: RoundPresenter = desk.opened(RoundPresenter(desk.session), round=wanted)
    for key, name in once.items():
        page.pick(key, name)
    return page


def stop(desk: Desk, page: RoundPresenter, figure: str = "31") -> None:
    desk.key_in(page, figure)
    page.pick("heads", "none")
    page.save()


def keys(page: RoundPresenter) -> list[str]:
    return [one.key for one in page.view().choices]


def test_frost_is_asked_of_sorghums_and_the_stage_of_hay_grasses(desk: Desk) -> None:
    page = a_round(desk, cover="sorghum_sudan")
    assert keys(page) == ["frost", "cover"]
    page.pick("cover", "timothy")
    assert keys(page) == ["stage", "cover"]
    page.pick("cover", "rye")
    assert keys(page) == ["cover"]


def test_frost_stands_in_each_stop_and_what_it_means_is_said_first_and_last(desk: Desk) -> None:
    page = a_round(desk, cover="sorghum_sudan", frost="light")
    assert keys(page) == ["frost", "frost_caution", "cover"]
    page.save()
    stop(desk, page)
    assert page.said is not None
    assert page.said.text == "Frost on a sorghum: not for feed for 7 days, and ask a veterinarian first."
    stop(desk, page, "30")
    assert page.said.text.startswith("30 in.")
    assert [one.frost for one in desk.bodies("cover")] == ["light", "light"]
    for _ in range(8):
        stop(desk, page)
    row = next(one for one in page.view().rows if one.key == "cover.frost")
    assert (row.wrong, row.value) == (True, page.say("end.frost") and row.value)
    assert "7 days" in row.value


def test_neither_frost_nor_stage_is_copied_from_the_last_round(desk: Desk) -> None:
    a_round(desk, cover="sorghum_sudan", frost="killing").save()
    again: RoundPresenter = desk.opened(
        RoundPresenter(desk.session), round={"field": SPRING_PIECE, "measures": ("cover", "weeds")}
    )
    assert again.once == {"cover": "sorghum_sudan"}


def test_an_answer_that_is_not_needed_is_taken_back_and_goes_with_its_cover(desk: Desk) -> None:
    page = a_round(desk, cover="orchardgrass", stage="boot")
    page.pick("stage", "boot")
    assert "stage" not in page.once
    page.pick("stage", "boot")
    page.pick("cover", "vetch")
    assert page.once == {"cover": "vetch"}


def test_the_stage_of_a_grass_says_whether_to_cut(desk: Desk) -> None:
    page = a_round(desk, cover="orchardgrass", stage="past_bloom")
    page.save()
    stop(desk, page)
    assert desk.bodies("cover")[0].stage == "past_bloom"
    assert page.said is not None
    assert page.said.wrong


def test_a_stop_within_a_buffer_is_asked_about_once(desk: Desk) -> None:
    page = a_round(desk, cover="vetch")
    page.save()
    desk.stand(63, 70)
    stop(desk, page)
    assert page.notice == "You stand 13 ft from Well, kept at 50. If the stop is meant so, save again."
    assert desk.bodies("cover") == []
    page.save()
    assert len(desk.bodies("cover")) == 1


def test_where_the_position_is_too_rough_to_be_sure_of_a_buffer_nothing_is_asked(desk: Desk) -> None:
    page = a_round(desk, cover="vetch")
    page.save()
    desk.stand(63, 74, "9")
    stop(desk, page)
    assert len(desk.bodies("cover")) == 1


def test_leaves_spread_within_a_buffer_now_are_asked_about_once_but_not_mowing(desk: Desk) -> None:
    desk.stand(63, 70)
    for job, asked in (("spread", True), ("mow", False)):
        page: WorkPresenter = desk.opened(WorkPresenter(desk.session), job=job, field=SPRING_PIECE)
        page.save()
        assert ("no leaves there" in page.notice) is asked
        if asked:
            page.save()
    assert [one.job for one in desk.bodies("work")] == ["spread", "mow"]


def test_leaves_spread_another_day_are_not_held_to_where_one_stands_now(desk: Desk) -> None:
    desk.stand(63, 70)
    page: WorkPresenter = desk.opened(WorkPresenter(desk.session), job="spread", field=SPRING_PIECE)
    page.pick("when", "yesterday")
    page.save()
    assert len(desk.bodies("work")) == 1


def test_a_load_taken_standing_within_a_buffer_of_its_field_says_so(desk: Desk) -> None:
    receive_in(desk.session, SPRING_PIECE)
    desk.stand(63, 70)
    page: GatePresenter = desk.opened(GatePresenter(desk.session))
    take(page)
    assert page.said is not None
    assert page.said.wrong
    assert page.said.text.endswith("You stand 13 ft from Well, kept at 50: leaves keep off.")
    receive_in(desk.session, QUARRY_SIDE)
    take(page)
    assert not page.said.wrong, "a load for another field lies there, not here"


def take(page: GatePresenter, truck: int = 2, fill: str = "100") -> None:
    page.tap_truck(str(TRUCKS[truck]))
    page.pick("fill", fill)
    page.pick("seen", "clean")


def test_a_pile_within_a_buffer_is_told_at_the_gate(desk: Desk) -> None:
    told(desk, "piles", Pile(PILE, "Well heap", 1, (Polygon(WELL_PILE),), SPRING_PIECE))
    receive_in(desk.session, PILE)
    shown = ground_view(desk.session, None, None)
    assert shown.wrong
    assert shown.under == "The pile stands on Well itself."


def test_stops_keep_off_lanes_and_piles_as_shapely_measures(desk: Desk) -> None:
    lane = ring((0, 90), (160, 70))
    told(desk, "buffers", Buffer(UUID(int=0x401), "Mill Lane", 1, "road", (Polygon(lane),), None))
    told(
        desk, "piles", Pile(PILE, "Heap", 1, (Polygon(ring((90, 20), (110, 20), (110, 40), (90, 40))),), None)
    )
    ground = a_field(SPRING_PIECE)
    placed = [Point(PLANE.spot(one)) for one in laid_stops(desk.session, ground, ("cover",), 30)]
    flat_lane = LineString([PLANE.spot(one) for one in lane])
    heap = Shape([(90, 20), (110, 20), (110, 40), (90, 40)])
    well = Shape([(60, 60), (66, 60), (66, 66), (60, 66)])
    edge = Shape([PLANE.spot(one) for one in OUTLINES[SPRING_PIECE][1]])
    assert len(placed) == 30
    assert min(flat_lane.distance(one) for one in placed) > 7.98
    assert min(heap.distance(one) for one in placed) > 7.98
    assert min(well.distance(one) for one in placed) > 50 * 0.3048 * 0.998
    assert all(edge.contains(one) and edge.exterior.distance(one) > 7.98 for one in placed)


def test_a_towns_season_stands_beside_its_truck_and_in_the_count(desk: Desk) -> None:
    told(desk, "towns", Town(EASTMERE, "Eastmere", None, Decimal(60)))
    receive_in(desk.session, QUARRY_SIDE)
    page: GatePresenter = desk.opened(GatePresenter(desk.session))
    take(page)
    page.tap_truck(str(TRUCKS[2]))
    load = page.view().load
    assert load is not None
    assert load.under == "Eastmere, vacuumed · season 25 of 60 yd³"
    count: CountPresenter = desk.opened(CountPresenter(desk.session))
    row = next(one for one in count.view().lines if one.key == f"town.{EASTMERE}")
    assert "season 25 of 60 yd³" in getattr(row, "value", "")


def test_a_load_over_a_towns_season_is_taken_and_said(desk: Desk) -> None:
    told(desk, "towns", Town(EASTMERE, "Eastmere", None, Decimal(30)))
    receive_in(desk.session, QUARRY_SIDE)
    page: GatePresenter = desk.opened(GatePresenter(desk.session))
    take(page)
    assert page.said is not None
    assert not page.said.wrong
    take(page)
    assert page.said.wrong
    assert page.said.text.endswith("Eastmere is 20 yd³ over its season.")
    count: CountPresenter = desk.opened(CountPresenter(desk.session))
    row = next(one for one in count.view().lines if one.key == f"town.{EASTMERE}")
    assert getattr(row, "wrong", False)


def test_a_town_with_a_season_that_brought_none_today_is_told_too(desk: Desk) -> None:
    told(desk, "towns", Town(EASTMERE, "Eastmere", None, Decimal(30)))
    count: CountPresenter = desk.opened(CountPresenter(desk.session))
    (row,) = [one for one in count.view().lines if one.key.startswith("town.")]
    assert "none today · season 0 of 30 yd³" in getattr(row, "value", "")


def test_the_grounds_word_comes_with_its_reason_and_with_what_a_sheet_bars(desk: Desk) -> None:
    for state, thread, says in (
        ("moist", "edge", "Light loads only. A thread just holds."),
        ("moist", "rolls", "Stay off. A thread rolls out long."),
        ("standing_water", "", "Stay off. Water stands on it."),
    ):
        page: GroundPresenter = desk.opened(GroundPresenter(desk.session), field=SPRING_PIECE)
        page.pick("state", state)
        if thread:
            page.pick("thread", thread)
        page.save()
        said, _ = desk.session.facts.pop("said")
        assert said.text.startswith(says), said.text
        assert "safe" not in said.text.lower()
