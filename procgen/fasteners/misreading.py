"""A torque in the wrong unit: what may have been meant by a figure that cannot be right.

Nothing is corrected here. The readings are offered to a person, best first.
"""

import math
from dataclasses import dataclass
from enum import StrEnum

from procgen.fasteners.tightening import Band

_PLAUSIBLE_LOW = 0.5
"""A meant figure lies above this share of the bottom of the band: real charts stay below yield."""


class TorqueUnit(StrEnum):
    """The units that torques are written in."""

    NEWTON_METRE = "N·m"
    POUND_FOOT = "lbf·ft"
    POUND_INCH = "lbf·in"
    KILOGRAM_METRE = "kgf·m"
    KILOGRAM_CENTIMETRE = "kgf·cm"

    @property
    def nm(self) -> float:
        """One of the unit in N·m: exact, from the definitions of the pound, inch and g_n."""
        return _NM[self]


_NM = {
    TorqueUnit.NEWTON_METRE: 1.0,
    TorqueUnit.POUND_FOOT: 1.3558179483314004,
    TorqueUnit.POUND_INCH: 0.1129848290276167,
    TorqueUnit.KILOGRAM_METRE: 9.80665,
    TorqueUnit.KILOGRAM_CENTIMETRE: 0.0980665,
}


class Slip(StrEnum):
    """What went wrong on paper."""

    UNIT = "another unit"
    POINT_RIGHT = "decimal point one place too far right"
    POINT_LEFT = "decimal point one place too far left"


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """One thing that may have been meant."""

    value: float
    unit: TorqueUnit
    slip: Slip

    @property
    def torque_nm(self) -> float:
        """The figure meant, in N·m."""
        return self.value * self.unit.nm


def likely_readings(value: float, unit: TorqueUnit, band: Band) -> tuple[Reading, ...]:
    """What a figure may have meant, nearest to the middle of the band first.

    Ask only where the figure as written is out of the band; it is not among the answers.
    The same number in another unit, or the point one place off in the same unit. Readings
    that are not plausible themselves are left out, so the answer may be empty.
    """
    if value <= 0:
        return ()
    readings = [Reading(value=value, unit=other, slip=Slip.UNIT) for other in TorqueUnit if other is not unit]
    readings.append(Reading(value=value / 10, unit=unit, slip=Slip.POINT_RIGHT))
    readings.append(Reading(value=value * 10, unit=unit, slip=Slip.POINT_LEFT))
    plausible = [r for r in readings if _PLAUSIBLE_LOW * band.low_nm <= r.torque_nm <= band.high_nm]
    return tuple(sorted(plausible, key=lambda r: abs(math.log(r.torque_nm / band.middle_nm))))
