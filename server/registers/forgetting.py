"""A person's name taken out of what stands at the registers beside the book: links, tokens, kept documents."""

from __future__ import annotations

from re import Pattern
from uuid import UUID

from server.registers import printings
from server.registers.models import Printing, ProgramToken, ReaderLink
from shared.words.naming import TAKEN_OUT


def forget(farm: UUID, names: Pattern[str]) -> None:
    """Links and tokens that are called by one of these names are called so no more, and every document that is kept
    goes: it may say the name on any page, and can be set again."""
    for model in (ReaderLink, ProgramToken):
        for one in model._base_manager.filter(farm_id=farm):
            label = names.sub(TAKEN_OUT, one.label)
            if label != one.label:
                model._base_manager.filter(id=one.id).update(label=label)
    printings.gone(Printing.objects.filter(farm_id=farm))
