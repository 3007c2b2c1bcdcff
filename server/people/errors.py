"""Why somebody may not, or can't. Each has a stable ``code``; the sentences stand in the languages."""

from __future__ import annotations

from shared.errors import GoodgroundError


class Refused(GoodgroundError):
    """The root of what is refused to a person or a phone."""

    code = "refused"


class NotOfThisFarm(Refused):
    """An account asks for a farm that it is not one of the people of. The answer says no more than that."""

    code = "not_of_this_farm"


class RoleTooSmall(Refused):
    """A person of the farm whose role does not go so far."""

    code = "role_too_small"


class PhoneStopped(Refused):
    code = "phone_stopped"


class TokenUnknown(Refused):
    code = "token_unknown"


class CodeUnknown(Refused):
    """No such joining slip, or its time is over. The answer names no farm and does not say which."""

    code = "code_unknown"


class CodeUsed(Refused):
    code = "code_used"


class TooManyTries(Refused):
    """Too many wrong codes; ``wait_s`` says for how long."""

    code = "too_many_tries"

    def __init__(self, wait_s: int) -> None:
        self.wait_s = wait_s
        super().__init__(wait_s)


class FarmExists(Refused):
    code = "farm_exists"

    def __init__(self, name: str) -> None:
        self.name = name
        super().__init__(name)


class NoSuchFarm(Refused):
    code = "no_such_farm"

    def __init__(self, name: str) -> None:
        self.name = name
        super().__init__(name)


class ZoneUnknown(Refused):
    code = "zone_unknown"

    def __init__(self, name: str) -> None:
        self.name = name
        super().__init__(name)


class LinkUsed(Refused):
    """A sign-in link that was used before, is too old, or never was."""

    code = "link_used"


class NoSuchPerson(Refused):
    code = "nobody_called"

    def __init__(self, name: str) -> None:
        self.name = name
        super().__init__(name)


class SeveralPeople(Refused):
    """More than one of the farm goes by this name; ``ids`` lists them."""

    code = "several_called"

    def __init__(self, name: str, ids: str) -> None:
        self.name = name
        self.ids = ids
        super().__init__(name, ids)


class OnlyOwner(Refused):
    """Nobody would be left who can let anybody in."""

    code = "only_owner"

    def __init__(self, name: str) -> None:
        self.name = name
        super().__init__(name)


class NotAName(Refused):
    """Words that would be found in every entry."""

    code = "not_a_name"

    def __init__(self, name: str) -> None:
        self.name = name
        super().__init__(name)
