"""One tree of exceptions: one class for each cause that a caller can act on, each with a stable ``code``.

The facts stand as attributes; the sentence for a person is made from them in ``shared.languages``.
A finding (something for a person to read, which stops nothing) is a value and lives in ``shared.words.finding``.
"""

from __future__ import annotations

from uuid import UUID


class GoodgroundError(Exception):
    """The root. ``code`` never changes once shipped: messages, pages and phones look it up by name."""

    code = "error"

    def facts(self) -> dict[str, object]:
        """What the sentence for a person needs, by name."""
        return {name: value for name, value in vars(self).items() if not name.startswith("_")}

    def __str__(self) -> str:
        told = ", ".join(f"{name}={value!r}" for name, value in self.facts().items())
        return f"{self.code}: {told}" if told else self.code


class InputError(GoodgroundError):
    """One named input of a computation can't be used. ``allowed`` says in plain words what can."""

    code = "input"

    def __init__(self, name: str, value: object, allowed: str) -> None:
        self.name = name
        self.value = value
        self.allowed = allowed
        super().__init__(name, value, allowed)


class UnknownInput(InputError):
    """An input that the computation does not have; ``allowed`` lists those it has."""

    code = "unknown_input"


class MissingInput(InputError):
    """An input that the computation needs and was not given; ``allowed`` says what it takes."""

    code = "missing_input"


class OutOfRange(InputError):
    """A value outside the range in which the computation holds, NaN and infinity among them."""

    code = "out_of_range"


class Unparsable(InputError):
    """Text that is not a value of the kind that the input takes."""

    code = "unparsable"


class UnknownName(GoodgroundError):
    """No computation (or rule sheet, or kind) has this name; ``known`` lists those that exist."""

    code = "unknown_name"

    def __init__(self, name: str, known: tuple[str, ...]) -> None:
        self.name = name
        self.known = known
        super().__init__(name, known)


class BrokenSheet(GoodgroundError):
    """A rule sheet that can't be used: says the file, the line where known, the key, and what is wrong."""

    code = "broken_sheet"

    def __init__(self, file: str, line: int | None, key: str, wrong: str) -> None:
        self.file = file
        self.line = line
        self.key = key
        self.wrong = wrong
        super().__init__(file, line, key, wrong)


class Unsound(GoodgroundError):
    """Bytes that came as an entry but can't be read as one (contract, W1). They are held, never dropped.

    ``why`` is one of the codes in ``shared.wire.lines.WHY_UNSOUND``; ``where`` is the path to the key;
    ``entry_id`` is the id that the bytes carry, where that much can be read.
    """

    code = "unsound"

    def __init__(self, why: str, where: str = "", detail: str = "") -> None:
        self.why = why
        self.where = where
        self.detail = detail
        self.entry_id: UUID | None = None
        super().__init__(why, where, detail)


class BadFrame(GoodgroundError):
    """A push whose lines can't be told apart or counted (contract, W6): 400, nothing is applied."""

    code = "bad_frame"

    def __init__(self, detail: str) -> None:
        self.detail = detail
        super().__init__(detail)


class TooLarge(GoodgroundError):
    """More than may travel at once (contract, W6): 413, nothing is applied."""

    code = "too_large"

    def __init__(self, what: str, size: int, most: int) -> None:
        self.what = what
        self.size = size
        self.most = most
        super().__init__(what, size, most)


class BadCarry(GoodgroundError):
    """A file that is no carry file, or one that was cut short, altered or made for another farm (W19)."""

    code = "bad_carry"

    def __init__(self, detail: str) -> None:
        self.detail = detail
        super().__init__(detail)


class Fork(GoodgroundError):
    """The phone's lines and the server's do not agree: a copied or restored phone (contract, W8)."""

    code = "fork"

    def __init__(self, line: int) -> None:
        self.line = line
        super().__init__(line)


class Gap(GoodgroundError):
    """The phone is ahead of the server: a restored server. ``expect`` is the line that it wants next (W8)."""

    code = "gap"

    def __init__(self, expect: int) -> None:
        self.expect = expect
        super().__init__(expect)


class Diverged(GoodgroundError):
    """A cursor of another era or chain (contract, W13): the phone drops its copy and pulls again."""

    code = "diverged"


class StartOver(GoodgroundError):
    """A cursor older than what the server still knows to be gone (contract, W13)."""

    code = "start_over"


class AppTooOld(GoodgroundError):
    """An app that can't read what there is to fetch (contract, W17). It goes on recording and handing in."""

    code = "app_too_old"

    def __init__(self, app: str, oldest: str) -> None:
        self.app = app
        self.oldest = oldest
        super().__init__(app, oldest)
