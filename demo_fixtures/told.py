"""Words: notes in two languages, an occurrence or two, a job put off because it was wet or something broke."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from demo_fixtures import farm
from demo_fixtures.fact import Fact
from demo_fixtures.people import ANA, OWNER, TALLIER, TOBIN, Hand
from demo_fixtures.season import Season, next_workday, on
from demo_fixtures.stands import DUE_TO_MOW, SMOTHERS, When
from demo_fixtures.walk import spots
from demo_fixtures.work import mowed, seeded
from shared.words.bodies.gate import PileCheck
from shared.words.bodies.told import Note, Occurrence, PutOff

NOTES: tuple[tuple[When, str, Hand, str | None, str], ...] = (
    ((-1, 7, 14), "red", ANA, "crow_bank", "Sube agua junto al seto, el suelo está blando en dos pasadas."),
    ((-1, 8, 6), "yellow", TOBIN, "long_twelve", "Deer are through the corn at the east end again."),
    ((-1, 10, 15), "gate", TALLIER, None, "Eastmere 5 asked for the bag rule on paper. Gave him one."),
    ((-1, 11, 12), "gate", TALLIER, None, "Two trucks on the road at nine. Asked them to spread out."),
    ((-1, 12, 4), "yellow", TOBIN, "pond_field", "Spreader chain slipped. Tightened, greased, ran on."),
    ((0, 3, 18), "blue", OWNER, "two_stones", "Timothy greening up. Brook over the crossing for two days."),
    ((0, 4, 9), "red", ANA, "kiln_corner", "El pasto viene parejo, pocas calvas."),
    ((0, 5, 19), "blue", OWNER, "mill_flat", "Rye head high. Vetch just in flower."),
    ((0, 6, 8), "yellow", TOBIN, "long_twelve", "Leaves all but gone. A few wet mats at the west end."),
    ((0, 6, 30), "red", ANA, "spring_piece", "Está para cortar. Sin espigas todavía."),
    ((0, 7, 21), "yellow", TOBIN, "quarry_side", "Garlic cured well. Buckwheat in behind it."),
    ((0, 9, 24), "red", ANA, "mill_flat", "Gusano en las hojas de afuera, abajo está limpia."),
    ((0, 10, 22), "gate", TALLIER, None, "Quillham's driver is new. Showed him where to stand."),
    ((0, 11, 10), "yellow", TOBIN, "saddle", "Heaps lie thick along the top. Will pull some down the slope."),
    ((0, 11, 20), "red", ANA, "quarry_side", "Hojas bien repartidas. Una bolsa junto a la cantera, ya la saqué."),
)  # fmt: skip


def facts(season: Season) -> list[Fact]:
    out = []
    for when, phone, hand, plot, text in NOTES:
        day = next_workday(season.day(*when))
        spot = spots(plot, 10)[3] if plot else farm.GATE
        out.append(Fact(("note", *when), on(day, 12, 20), phone, hand, Note(text), plot, spot))
    return out + _occurrences(season) + _put_off(season) + _pile_checks(season)


def _occurrences(season: Season) -> list[Fact]:
    trash = Occurrence(
        what="trash_found",
        action="picked up, into the yard skip",
        trash_lb=Decimal("6.5"),
        residue_to="yard skip",
    )
    blown = Occurrence(
        what="complaint", name="house over the line", action="raked their verge, wet the heaps down"
    )
    disease = Occurrence(
        what="disease", action="two rows roped off, machines cleaned", name="black rot, a few heads"
    )
    return [
        _seen(season, (0, 5, 29), "yellow", TOBIN, "long_twelve", trash),
        _seen(season, (-1, 11, 19), "blue", OWNER, "pond_field", blown),
        _seen(season, (0, 9, 30), "red", ANA, "mill_flat", disease),
    ]


def _seen(season: Season, when: When, phone: str, hand: Hand, plot: str, body: Occurrence) -> Fact:
    at = on(next_workday(season.day(*when)), 10, 50)
    return Fact(("occurrence", *when), at, phone, hand, body, plot, spots(plot, 10)[2])


def _put_off(season: Season) -> list[Fact]:
    """The mower broke before the last mowing of the field that is due: it still stands in November. A due of
    mowing is named by the field and by what last lowered or sowed the stand."""
    plot = farm.BY_KEY[DUE_TO_MOW]
    stand = next(one for one in SMOTHERS if one.plot == DUE_TO_MOW and one.seeded[0] == 0)
    out = []
    for place, (when, why) in enumerate(
        (((0, 6, 30), "wet"), ((0, 9, 30), "broken"), ((0, 10, 14), "broken"))
    ):
        at = on(next_workday(season.day(*when)), 8, 15)
        cuts = [mowed(season, stand, season.day(*cut)) for cut in stand.cuts]
        lowered = [one for one in (seeded(season, stand), *cuts) if one.at < at][-1]
        body = PutOff(f"mow:{plot.id}:{lowered.id(season)}", why)  # type: ignore[arg-type]
        out.append(Fact(("put_off", place), at, "yellow", TOBIN, body, plot.key, spots(plot.key, 10)[0]))
    return out


def _pile_checks(season: Season) -> list[Fact]:
    """The pile at the lane's end, each week while it lies there."""
    out = []
    for years in (-1, 0):
        dice = season.dice("pile", years)
        for week in range(5):
            day = next_workday(season.day(years, 11, 18)).toordinal() + 7 * week
            at = on(date.fromordinal(day), 15, 20)
            body = PileCheck(
                pile=farm.LANE_PILE.id,
                temp_f=Decimal(round(96 + 9 * week + dice.gauss(0, 3))),
                height_ft=Decimal(7 - week // 2),
                width_ft=Decimal(24),
                length_ft=Decimal(52),
            )
            out.append(Fact(("pile_check", years, week), at, "gate", TALLIER, body, spot=(620, 36)))
    return out
