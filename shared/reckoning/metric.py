"""The reckoner's units beside their metric ones, for whoever thinks in those. The computations stay as they are:
what is typed is turned before them, what they answer after them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from shared.units import (
    CM_PER_IN,
    FT3_PER_YD3,
    KG_PER_LB,
    LB_PER_TON,
    M2_PER_ACRE,
    M2_PER_HECTARE,
    M_PER_FT,
    NIST_811,
    PA_PER_PSI,
    Figure,
)

L_PER_GAL = Figure(3.785411784, "L/gal", NIST_811)
N_PER_LBF = Figure(4.4482216152605, "N/lbf", NIST_811)
C_PER_F = Figure(5.0 / 9.0, "degrees C per degree F", NIST_811)
FREEZING_F = Figure(32.0, "F", NIST_811)
KG_PER_TONNE = Figure(1_000.0, "kg/t", NIST_811)
PA_PER_KPA = Figure(1_000.0, "Pa/kPa", NIST_811)


@dataclass(frozen=True, slots=True)
class Metric:
    """A metric unit: a value in it is ``(value - less) x factor``, ``value`` being in the reckoner's unit."""

    unit: str
    factor: float
    less: float = 0.0

    def turned(self, value: float) -> float:
        """A value in the reckoner's unit as one in this."""
        return (value - self.less) * self.factor

    def back(self, value: float) -> float:
        """A value in this unit as one in the reckoner's."""
        return value / self.factor + self.less


_M3_PER_FT3 = M_PER_FT.value**2 * M_PER_FT.value
_M3_PER_YD3 = FT3_PER_YD3.value * _M3_PER_FT3
_HA_PER_AC = M2_PER_ACRE.value / M2_PER_HECTARE.value
_T_PER_TON = LB_PER_TON.value * KG_PER_LB.value / KG_PER_TONNE.value

METRIC: Mapping[str, Metric] = MappingProxyType(
    {
        "in": Metric("cm", CM_PER_IN.value),
        "ft": Metric("m", M_PER_FT.value),
        "ft2": Metric("m2", M_PER_FT.value**2),
        "ac": Metric("ha", _HA_PER_AC),
        "yd3": Metric("m3", _M3_PER_YD3),
        "gal": Metric("L", L_PER_GAL.value),
        "lb": Metric("kg", KG_PER_LB.value),
        "lb/ac": Metric("kg/ha", KG_PER_LB.value / _HA_PER_AC),
        "lb/ft3": Metric("kg/m3", KG_PER_LB.value / _M3_PER_FT3),
        "lbf": Metric("N", N_PER_LBF.value),
        "psi": Metric("kPa", PA_PER_PSI.value / PA_PER_KPA.value),
        "tons/ac": Metric("t/ha", _T_PER_TON / _HA_PER_AC),
        "tons/ac a year": Metric("t/ha a year", _T_PER_TON / _HA_PER_AC),
        "tons/axle": Metric("t/axle", _T_PER_TON),
        "dry tons": Metric("dry t", _T_PER_TON),
        "dry tons/ac": Metric("dry t/ha", _T_PER_TON / _HA_PER_AC),
        "tons as received": Metric("t as received", _T_PER_TON),
        "yd3/ton": Metric("m3/t", _M3_PER_YD3 / _T_PER_TON),
        "F": Metric("°C", C_PER_F.value, FREEZING_F.value),
        "F days": Metric("°C days", C_PER_F.value),
    }
)
"""Each unit of the reckoner that a metric one stands beside; every other unit is the same in both."""


def metric(unit: str) -> Metric | None:
    """The metric unit beside one of the reckoner's, None where there is none."""
    return METRIC.get(unit)
