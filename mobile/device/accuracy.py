"""What each receiver means by its accuracy, as one radius: that of 68 of 100 fixes (``Position.r68_m``).

Errors are taken as normal and alike in all directions, as in ``shared.reckoning.land``.
"""

from __future__ import annotations

import math
from decimal import Decimal

from shared.reckoning.land import SHARE_68, radius95

SIGMA_TO_68 = math.sqrt(-2.0 * math.log1p(-SHARE_68.value))
"""The 68 % radius in standard deviations of one axis: 1.51 (Rayleigh)."""
UERE_M = 5.0
"""User equivalent range error of a single-frequency receiver. Common practice, no source."""
LEAST_M = Decimal("0.1")


def r68_from_axes(sigma_lat_m: float, sigma_lon_m: float) -> Decimal:
    """From the standard deviations of latitude and longitude (NMEA 0183 GST). The larger one is taken for
    both, so that a long ellipse is never made too small."""
    return metres(SIGMA_TO_68 * max(sigma_lat_m, sigma_lon_m))


def r68_from_hdop(hdop: float) -> Decimal:
    """From the horizontal dilution alone: dilution times range error is the distance RMS, which is the square
    root of two standard deviations of one axis."""
    return metres(SIGMA_TO_68 * UERE_M * hdop / math.sqrt(2.0))


def r68_from_r95(r95_m: float) -> Decimal:
    """From a 95 % radius (a browser's accuracy; gpsd's ``eph``)."""
    return metres(r95_m / radius95(1.0).r95_m)


def metres(value: float) -> Decimal:
    """Centimetres are as fine as it travels; nothing is known better than to ten of them."""
    return max(LEAST_M, Decimal(f"{value:.2f}"))
