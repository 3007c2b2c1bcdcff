"""Every computation of the job by name, in the order of the farm's year."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import chain
from types import MappingProxyType

from shared.errors import UnknownName
from shared.reckoning import (
    cover,
    deadlines,
    erosion,
    firmness,
    ground,
    heat,
    land,
    leaf,
    lime,
    litter,
    loads,
    mowing,
    nitrogen,
    organic_matter,
    rotation,
    round,
    soil_test,
    spatial,
    trash,
    weeds,
)
from shared.reckoning.computation import Computation

_SUBJECTS = (
    land,
    loads,
    trash,
    leaf,
    litter,
    ground,
    round,
    cover,
    heat,
    mowing,
    weeds,
    firmness,
    nitrogen,
    soil_test,
    lime,
    organic_matter,
    rotation,
    erosion,
    deadlines,
    spatial,
)

RECKONER: Mapping[str, Computation] = MappingProxyType(
    {each.name: each for each in chain.from_iterable(subject.COMPUTATIONS for subject in _SUBJECTS)}
)
"""Each computation by its name."""


def computation(name: str) -> Computation:
    """The computation of this name. Raises UnknownName, which lists those there are."""
    if name not in RECKONER:
        raise UnknownName(name, tuple(RECKONER))
    return RECKONER[name]
