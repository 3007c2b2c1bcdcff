"""The registers: the pages that a rule sheet asks for, as rows made from facts. One file a register.

Every register has a name, the keys of its columns in order (titles are ``registers.column.<key>``, the
page's is ``registers.<name>.title``) and frozen rows; ``written_row`` puts a row in a language. A struck row
stays, marked; a corrected one brings the row that it replaced.
"""

from shared.status.registers.leaf_intake import LEAF_INTAKE, TURNED_BACK, LoadRow, leaf_intake, turned_back
from shared.status.registers.register import Choice, Ground, Register, Word, row_values, written_row
from shared.status.registers.worked_in import WORKED_IN, WorkedInRow, worked_in
from shared.status.registers.written_down import WRITTEN_DOWN, FactRow, WrittenDown, written_down

REGISTERS: dict[str, Register] = {
    one.name: one
    for one in (LEAF_INTAKE, TURNED_BACK, WORKED_IN, *(each.register for each in WRITTEN_DOWN.values()))
}

__all__ = [
    "LEAF_INTAKE",
    "REGISTERS",
    "TURNED_BACK",
    "WORKED_IN",
    "WRITTEN_DOWN",
    "Choice",
    "FactRow",
    "Ground",
    "LoadRow",
    "Register",
    "Word",
    "WorkedInRow",
    "WrittenDown",
    "leaf_intake",
    "row_values",
    "turned_back",
    "worked_in",
    "written_down",
    "written_row",
]
