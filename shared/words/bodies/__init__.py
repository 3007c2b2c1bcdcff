"""What an entry of each kind says: one frozen value a kind, edition 1.

A field's annotation is its rule of soundness: ``Decimal`` a measured value, ``int`` a count, ``Literal`` a
closed list, ``X | None`` with a default None a key that may be left out, ``X | None`` without a default a key
that is always there and may be null. ``Annotated[..., Span]`` adds the span in which a value is believable,
which is never a matter of soundness. The names are those that travel.
"""

from shared.words.bodies.body import Body
from shared.words.bodies.desk import (
    Document,
    Job,
    Land,
    LegChange,
    Plan,
    Redact,
    Restored,
    Seal,
    SheetChoice,
)
from shared.words.bodies.gate import AgreedCount, Load, PileCheck
from shared.words.bodies.laboratory import Result, Sample
from shared.words.bodies.reading import Answer, Correction, Query, Reading, Strike
from shared.words.bodies.told import Note, Occurrence, PutOff, Weather
from shared.words.bodies.walked import Cover, Firmness, Ground, LeafDepth, Spade, Weeds
from shared.words.bodies.work import Calibrate, Work

KINDS: dict[str, type[Body]] = {
    "cover": Cover,
    "weeds": Weeds,
    "firmness": Firmness,
    "spade": Spade,
    "load": Load,
    "pile_check": PileCheck,
    "leaf_depth": LeafDepth,
    "ground": Ground,
    "work": Work,
    "calibrate": Calibrate,
    "sample": Sample,
    "result": Result,
    "occurrence": Occurrence,
    "weather": Weather,
    "leg": LegChange,
    "land": Land,
    "document": Document,
    "plan": Plan,
    "sheet_choice": SheetChoice,
    "job": Job,
    "seal": Seal,
    "restored": Restored,
    "redact": Redact,
    "put_off": PutOff,
    "agreed_count": AgreedCount,
    "note": Note,
    "query": Query,
    "answer": Answer,
    "reading": Reading,
    "correction": Correction,
    "strike": Strike,
}
"""Every kind of entry by the name that travels."""

DESK_ONLY = frozenset(
    (
        "leg",
        "land",
        "document",
        "plan",
        "sheet_choice",
        "job",
        "seal",
        "restored",
        "redact",
        "reading",
        "query",
    )
)
"""Kinds that only the desk writes; a phone's is kept and held for reading by nobody: it has no force."""

__all__ = ["DESK_ONLY", "KINDS", "Body"]
