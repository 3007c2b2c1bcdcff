"""The world heals: the network is whole, every phone may speak, clocks are right. What has to hold then."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from contextlib import suppress
from typing import Any

from mobile.actions.hand_in import hand_in, waiting_line
from mobile.actions.own import as_written, hands, own_facts, unpulled_in_force
from server.book.export import exported
from server.book.models import Row
from server.status import models as status
from server.status.following import followed
from server.status.writes import rebuild
from shared.errors import Unsound
from shared.proof.check import check
from shared.status.standing import standing
from shared.sync.chain import NO_HEAD, first_chain, next_chain, next_head
from shared.wire.pull import row_tree
from shared.wire.push import read_push
from shared.words.entry import Written
from tests.mobile.kit import cover
from tests.simulation.handset import APP, Handset
from tests.simulation.world import Laid, Step, World, book_shas

ROUNDS = 40
PULLED = (
    *("fields", "parts", "piles", "buffers", "towns", "haulers", "vehicles", "people", "sheets", "dues"),
    *("queries", "verdicts", "standings"),
)
OVER_THE_PUSH = 3


def found_wrong(laid: Laid, steps: Sequence[Step]) -> str | None:
    """What the invariants say against a schedule, None where they all hold."""
    world = World(laid)
    try:
        world.run(steps)
        heal(world)
        check_healed(world)
    except AssertionError as wrong:
        return str(wrong).partition("\n")[0] or repr(wrong)
    finally:
        world.close()
    return None


def heal(world: World) -> None:
    """Everybody hands in on a good network until nothing waits. No phone has to write anything new for it (I11)."""
    while any(one.network.under_way for one in world.handsets):
        world.deliver_late()
    for which, handset in enumerate(world.handsets):
        handset.set_clock(world.server.now)
        handset.wear(APP)
        for farm in handset.farms:
            world.go_on(which, sorted(handset.farms).index(farm))
    whole = 0
    for _ in range(ROUNDS):
        for which, handset in enumerate(world.handsets):
            for place in range(len(handset.farms)):
                world.do(("sync", which, place, ()))
        whole = whole + 1 if _nothing_waits(world) else 0
        if whole == 2:
            for farm in (0, 1):
                world.welcome(farm)
                world.read_again(farm)
            return
    raise AssertionError("I7, I8: something waits for ever though all is well")


def _nothing_waits(world: World) -> bool:
    standing = [one.phone.book.enrolment(at) for one in world.handsets for at in one.farms.values()]
    return all(one.waiting == 0 and one.standing == "live" for one in standing)


def check_healed(world: World) -> None:
    for farm in (0, 1):
        check_entries(world, farm)
        check_book(world, farm)
        check_reader(world, farm)
        check_status(world, farm)
    for handset in world.handsets:
        for farm, at in handset.farms.items():
            check_copy(handset, at)
            check_what_stands(handset, at)
            check_few_requests(world, handset, farm, at)
    check_replays(world)


def check_entries(world: World, farm: int) -> None:
    """I2, I3, I7, I13, I16: each in its own farm's book, once, as what it is, whatever stood beside it."""
    rows = list(Row.objects.filter(farm=world.grounds[farm].farm).order_by("number"))
    became = {row.sha: row.outcome for row in rows if row.outcome != "refused"}
    named = Counter(row.entry for row in rows if row.outcome == "kept")
    assert not [id for id, count in named.items() if count > 1], "I3: an id is kept twice"
    staying = set().union(*(_staying(one, farm) for one in world.handsets if farm in one.farms))
    for sha, becomes in world.saved[farm].items():
        got = became.get(sha)
        if got is None:
            assert sha in staying, "I2, I13: an entry shown as saved never came to the book"
        else:
            assert becomes in ("either", got), f"I7: an entry was {got}, and should be {becomes}"
    came = {row.sha for row in rows if row.raw is not None and not row.phone.desk and row.again_of is None}
    assert came <= world.ever[farm], "I16: the book has what no phone of this farm wrote"


def _staying(handset: Handset, farm: int) -> set[str]:
    """What stays on a phone because it was refused alone twice, on a network that did refuse such lines."""
    if not handset.network.refused_lines:
        return set()
    return {one.sha for one in handset.phone.book.needing_hand(handset.farms[farm])}


def check_book(world: World, farm: int) -> None:
    """I5, I14: numbers without a gap, a chain that recomputes, an export that proves, and no longer once altered."""
    here = world.server.farm(world.grounds[farm].farm.id)
    chain = first_chain(here.id)
    from server.book.reads import chained

    rows = list(Row.objects.filter(farm=here).order_by("number"))
    for place, row in enumerate(rows, 1):
        chain = next_chain(chain, chained(row))
        assert (row.number, row.chain) == (place, chain), "I5: a gap in the book, or a chain that breaks"
    assert (here.number, here.chain) == (len(rows), chain)
    told = b"".join(exported(here)).splitlines()
    assert check(told).fault is None
    middle = len(told) // 2
    assert check(told[:middle] + told[middle + 1 :]).fault is not None
    altered = told[middle].replace(b'"outcome":"kept"', b'"outcome":"held"').replace(b"phone", b"phome")
    assert check([*told[:middle], altered, *told[middle + 1 :]]).fault is not None
    for phone in here.phones.all():
        head = NO_HEAD
        told = [Row.objects.filter(phone=phone, head__isnull=False), phone.receipt_set]
        received = sorted(one for found in told for one in found.values_list("line", "sha", "head"))
        for line, (received_line, sha, received_head) in enumerate(received, 1):
            head = next_head(head, sha)
            assert (received_line, received_head) == (line, head), "I4: a phone's receipts have a gap"
        assert phone.head == head


def check_reader(world: World, farm: int) -> None:
    world.readers[farm].read()
    book = list(
        Row.objects.filter(farm=world.grounds[farm].farm).order_by("number").values_list("number", "sha")
    )
    assert world.readers[farm].rows == book, "I5: a reader by cursor has another book"


def check_status(world: World, farm: int) -> None:
    """I12: what follows from the book as it grew is what follows from it made again at once."""
    here = world.server.farm(world.grounds[farm].farm.id)
    followed(here.id, world.server.now)
    before = _following(here)
    rebuild(here, world.server.now)
    assert _following(here) == before, "I12: the status is not the fold of the book"


def _following(farm: Any) -> list[Any]:
    return [
        sorted(
            (str(one.field), one.what, str(one.standing)) for one in status.Standing.objects.filter(farm=farm)
        ),
        sorted(str(row_tree(one.value())) for one in status.Verdict.objects.filter(farm=farm)),
        sorted(str(row_tree(one.value())) for one in status.Due.objects.filter(farm=farm)),
    ]


def check_copy(handset: Handset, at: int) -> None:
    """I6: the phone's copy is what a phone with no copy would fetch now."""
    assert hand_in(handset.phone, at).is_whole
    assert handset.phone.book.unpulled(at) == ()
    assert waiting_line(handset.phone.book.enrolment(at))[0] == "hand_in.foot"
    link, since = handset.phone.book.enrolment(at).link, ""
    fresh: dict[str, dict[str, Any]] = {kind: {} for kind in PULLED}
    while True:
        page = handset.phone.server.changes(link, since, 500).value
        assert page is not None
        for kind, rows in page.rows.items():
            fresh[kind].update({str(row["id"]): row for row in rows})
        since = page.next
        if not page.more:
            break
    for kind in PULLED:
        mine = {str(row["id"]): row for row in handset.phone.book.rows(at, kind)}
        assert mine == fresh[kind], f"I6: another copy of {kind}"
        for id, row in mine.items():
            assert handset.phone.book.row(at, kind, id) == row


def check_what_stands(handset: Handset, at: int) -> None:
    """I4: an entry looked up with what speaks of it says what the whole book says of it, also on a phone whose book an
    older app wrote."""
    assert unpulled_in_force(handset.phone, at) == unpulled_in_force(handset.phone, at) == ()
    for _ in range(2):
        lines = [one for one in _readable(handset, at) if one.outcome != "refused"]
        whole = {one.id: one for one in standing(lines, hands(handset.phone, at)).facts}
        for id in [one.entry.id for one in lines]:
            assert own_facts(handset.phone, at, [id]).get(id) == whole.get(id), "I4: it says two things"
        handset.renew_from_an_older_app()


def _readable(handset: Handset, at: int) -> Iterator[Written]:
    """Own entries, but for lines spoiled on purpose."""
    who = handset.phone.book.enrolment(at)
    for line in handset.phone.book.since(at, 1):
        with suppress(Unsound):
            yield as_written(who, line)


def check_few_requests(world: World, handset: Handset, farm: int, at: int) -> None:
    """I8: one push for a day's entries, and what is needed to fetch."""
    for _ in range(2):
        world.note_saved(farm, cover(handset.phone, at).sha)
    before = world.server.requests
    assert hand_in(handset.phone, at).is_whole
    assert world.server.requests - before <= 1 + OVER_THE_PUSH


def check_replays(world: World) -> None:
    """I9: everything that was ever pushed arrives once more, and the books stay as they are."""
    farms = [world.grounds[farm].farm.id for farm in (0, 1)]
    before = [(one.number, one.chain) for one in map(world.server.farm, farms)]
    known = set(book_shas(world, 0)) | set(book_shas(world, 1))
    for handset in world.handsets:
        for one in handset.network.pushes[-8:]:
            _, arrivals = read_push(_plain(one.body))
            if all(each.sha in known for each in arrivals if each.raw is not None):
                handset.network.deliver_quietly(one)
    assert [(one.number, one.chain) for one in map(world.server.farm, farms)] == before, (
        "I9: a replay changed a book"
    )


def _plain(body: bytes) -> bytes:
    import gzip

    return gzip.decompress(body)
