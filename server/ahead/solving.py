"""Plans are made beside whoever asked for them: in a thread of the server's own, one sketch after the other.

What came out is kept with the sketch, and so is where it stands, so that any page can say it. A sketch whose
server was stopped in the middle is told by the age of its last word.
"""

from __future__ import annotations

import logging
from concurrent.futures import Executor, ThreadPoolExecutor
from datetime import datetime, timedelta
from functools import partial
from typing import Any
from uuid import UUID

from django.db import close_old_connections, connections, transaction

from server.ahead.grounds import grounds_of
from server.ahead.many import proposals, why_not
from server.ahead.models import Sketch
from server.ahead.planner import Conflict, Proposal
from server.ahead.sketches import pinned_of, wishes_from
from server.people.clock import now

SILENT = timedelta(minutes=5)
"""No step takes so long: a sketch that has said nothing since was broken off."""
WHY_NOT = "why_not"
worker: Executor = ThreadPoolExecutor(1, "plans")
log = logging.getLogger(__name__)


def begin(sketch: Sketch) -> None:
    """Have its plans made once it is written down for good."""
    transaction.on_commit(partial(_handed_over, sketch.id))


def _handed_over(sketch: UUID) -> None:
    worker.submit(_in_its_own_thread, sketch)


def _in_its_own_thread(sketch: UUID) -> None:
    close_old_connections()
    try:
        solve(sketch)
    finally:
        connections.close_all()


def solve(sketch: UUID) -> None:
    """Make the plans of a sketch that was asked for, and keep what came out, or that it failed. One that has its
    answer already is left as it is."""
    found = Sketch.objects.select_related("farm").filter(id=sketch).exclude(standing="made").first()
    if found is None:
        return
    try:
        answer = _answer(found)
    except Exception:
        log.exception("the plans of sketch %s could not be made", sketch)
        _moved(sketch, standing="failed")
    else:
        _moved(sketch, standing="made", answer=answer)


def _answer(sketch: Sketch) -> dict[str, Any]:
    _moved(sketch.id, standing="making")
    grounds, wishes = (
        grounds_of(sketch.farm_id, sketch.asked_on, pinned_of(sketch)),
        wishes_from(sketch.wishes),
    )
    made = proposals(grounds, wishes, lambda step: _moved(sketch.id, step=step)) if grounds else ()
    conflict: Conflict | None = None
    if grounds and not made:
        _moved(sketch.id, step=WHY_NOT)
        conflict = why_not(grounds, wishes)
    return {
        "plans": [_proposal_tree(one) for one in made],
        "conflict": list(conflict.wishes) if conflict else [],
        "proven": conflict.proven if conflict else True,
    }


def _moved(sketch: UUID, **changed: Any) -> None:
    Sketch.objects.filter(id=sketch).update(moved_at=now(), **changed)


def broken_off(sketch: Sketch, at: datetime) -> bool:
    """Whether nobody makes it any more."""
    last = sketch.moved_at or sketch.made_at
    return sketch.standing in ("asked", "making") and at - last > SILENT


def _proposal_tree(one: Proposal) -> dict[str, Any]:
    plan = {field: {str(y): list(use) for y, use in years.items()} for field, years in one.found.plan.items()}
    found = one.found
    return {
        "emphasis": one.emphasis,
        "cost": found.cost,
        "bound": found.bound,
        "solver_s": found.solver_s,
        "share": found.share,
        "plan": plan,
    }
