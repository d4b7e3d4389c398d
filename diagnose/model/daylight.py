"""Length of the day at a latitude."""

from __future__ import annotations

import datetime as dt
import math
from typing import Final

__all__ = ["day_length_h"]

SUNRISE_ZENITH_DEG: Final = 90 + 50 / 60  # 34' of refraction and 16' of the sun's radius: almanac definition of sunrise
_J2000 = dt.date(2000, 1, 1).toordinal()


def day_length_h(latitude_deg: float, day: dt.date) -> float:
    """Hours from sunrise to sunset, 0 to 24, for a latitude of -90 (south) to 90 (north); polar day and night included.

    Source: low-precision coordinates of the sun of the Astronomical Almanac (0.01 degrees), taken at noon UTC.
    """
    latitude = math.radians(latitude_deg)
    declination = _declination_rad(day)
    top = math.cos(math.radians(SUNRISE_ZENITH_DEG)) - math.sin(latitude) * math.sin(declination)
    cosine = top / (math.cos(latitude) * math.cos(declination))
    return math.degrees(math.acos(max(-1.0, min(1.0, cosine)))) / 7.5


def _declination_rad(day: dt.date) -> float:
    days = day.toordinal() - _J2000
    anomaly = math.radians(357.528 + 0.9856003 * days)
    longitude = math.radians(280.460 + 0.9856474 * days + 1.915 * math.sin(anomaly) + 0.020 * math.sin(2 * anomaly))
    return math.asin(math.sin(math.radians(23.439 - 4e-7 * days)) * math.sin(longitude))
