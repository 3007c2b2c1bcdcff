"""The registers: the pages that a rule sheet asks for, as rows made from facts. One file a register.

Every register has a name, the keys of its columns in order (titles are ``registers.column.<key>``, the
page's is ``registers.<name>.title``) and frozen rows; ``written_row`` puts a row in a language. A struck row
stays, marked; a corrected one brings the row that it replaced.
"""

from shared.status.registers.leaf_intake import LEAF_INTAKE, TURNED_BACK, LoadRow, leaf_intake, turned_back
from shared.status.registers.register import Ground, Register, Word, row_values, written_row
from shared.status.registers.worked_in import WORKED_IN, WorkedInRow, worked_in

REGISTERS: dict[str, Register] = {one.name: one for one in (LEAF_INTAKE, TURNED_BACK, WORKED_IN)}

__all__ = [
    "LEAF_INTAKE",
    "REGISTERS",
    "TURNED_BACK",
    "WORKED_IN",
    "Ground",
    "LoadRow",
    "Register",
    "Word",
    "WorkedInRow",
    "leaf_intake",
    "row_values",
    "turned_back",
    "worked_in",
    "written_row",
]
