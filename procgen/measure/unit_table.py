"""The units of a workshop, one row each. How people spell them is in spellings.py; conversion.py does the arithmetic.

Definitions are exact: the international yard and pound (1959), standard gravity 9.80665 m/s², the US gallon of
231 cubic inches, the imperial gallon of 4.54609 L (NIST SP 811, appendix B).
"""

from dataclasses import dataclass, field
from enum import StrEnum


class Dimension(StrEnum):
    """What a unit measures."""

    TORQUE = "torque"
    LENGTH = "length"
    ANGLE = "angle"
    VOLUME = "volume"
    PRESSURE = "pressure"
    MASS = "mass"
    FORCE = "force"
    TEMPERATURE = "temperature"
    TIME = "time"
    CALENDAR = "calendar time"
    """Months and years: they have no fixed number of days, so they are no TIME."""
    VOLTAGE = "voltage"
    CURRENT = "current"
    RESISTANCE = "resistance"
    CHARGE = "charge"
    FREQUENCY = "frequency"
    ROTATIONAL_SPEED = "rotational speed"
    POWER = "power"
    RATIO = "ratio"
    COUNT = "count"
    CYCLES = "number of cycles"

    @property
    def phrase(self) -> str:
        """The word as it stands in a sentence: "a length", "an angle", "a time"."""
        return f"an {self}" if self is Dimension.ANGLE else f"a {self}"


class System(StrEnum):
    """The system that a unit belongs to, and what a manual shows first or second."""

    METRIC = "metric"
    IMPERIAL = "imperial"
    NONE = "none"
    """Of a unit: the same everywhere, as degrees and hours are. Of a manual: show no second unit."""


@dataclass(frozen=True, slots=True, eq=False)
class Unit:
    """One unit. There is one object for each, so units are compared by identity."""

    symbol: str
    """As it is printed, and as `unit()` finds it."""
    name: str
    """English, joined by underscores; the name that other definitions use."""
    dimension: Dimension
    system: System
    definition: str
    """In other names of this table, or a dimension of its own in brackets; the notation of pint."""
    other: str = ""
    """The symbol of the unit that stands for it in the other system; "" where both share it."""
    plural: str = field(default="", kw_only=True)
    """What is printed behind a number other than 1, where that is not the symbol."""

    def __reduce__(self) -> tuple[object, tuple[str]]:
        """Pickled quantities come back with the same unit object."""
        return unit, (self.symbol,)

    def behind(self, numeral: str) -> str:
        """The unit as it follows a number, with its space: " N·m", "°", " years"."""
        if self.symbol == "°":
            return self.symbol
        is_one = numeral == "1" or ("/" in numeral and " " not in numeral)  # 1 turn, 1/4 turn
        return f" {self.symbol}" if is_one or not self.plural else f" {self.plural}"


_M, _I, _B = System.METRIC, System.IMPERIAL, System.NONE
_D = Dimension

# Of each dimension the usual unit comes first: messages offer it first.
UNITS: tuple[Unit, ...] = (
    Unit("N·m", "newton_metre", _D.TORQUE, _M, "newton * metre", "lbf·ft"),
    Unit("lbf·ft", "pound_force_foot", _D.TORQUE, _I, "pound_force * foot", "N·m"),
    Unit("lbf·in", "pound_force_inch", _D.TORQUE, _I, "pound_force * inch", "N·m"),
    Unit("kgf·m", "kilogram_force_metre", _D.TORQUE, _M, "kilogram_force * metre", "lbf·ft"),
    Unit("kgf·cm", "kilogram_force_centimetre", _D.TORQUE, _M, "kilogram_force * centimetre", "lbf·in"),
    Unit("N·cm", "newton_centimetre", _D.TORQUE, _M, "newton * centimetre", "lbf·in"),
    Unit("ozf·in", "ounce_force_inch", _D.TORQUE, _I, "ounce_force * inch", "N·cm"),
    Unit("daN·m", "decanewton_metre", _D.TORQUE, _M, "10 * newton * metre", "lbf·ft"),
    Unit("kN·m", "kilonewton_metre", _D.TORQUE, _M, "1000 * newton * metre", "lbf·ft"),
    Unit("mm", "millimetre", _D.LENGTH, _M, "metre / 1000", "in"),
    Unit("in", "inch", _D.LENGTH, _I, "0.0254 * metre", "mm"),
    Unit("m", "metre", _D.LENGTH, _M, "[length]", "ft"),
    Unit("cm", "centimetre", _D.LENGTH, _M, "metre / 100", "in"),
    Unit("µm", "micrometre", _D.LENGTH, _M, "metre / 1000000", "thou"),
    Unit("thou", "thousandth_inch", _D.LENGTH, _I, "inch / 1000", "mm"),
    Unit("ft", "foot", _D.LENGTH, _I, "12 * inch", "m"),
    Unit("km", "kilometre", _D.LENGTH, _M, "1000 * metre", "mi"),
    Unit("mi", "mile", _D.LENGTH, _I, "5280 * foot", "km"),
    Unit("°", "degree", _D.ANGLE, _B, "[angle]"),
    Unit("turn", "turn", _D.ANGLE, _B, "360 * degree", plural="turns"),
    Unit("flat", "hexagon_flat", _D.ANGLE, _B, "60 * degree", plural="flats"),
    Unit("L", "litre", _D.VOLUME, _M, "metre ** 3 / 1000", "US qt"),
    Unit("mL", "millilitre", _D.VOLUME, _M, "litre / 1000", "US fl oz"),
    Unit("US gal", "us_gallon", _D.VOLUME, _I, "231 * inch ** 3", "L"),
    Unit("US qt", "us_quart", _D.VOLUME, _I, "us_gallon / 4", "L"),
    Unit("US pt", "us_pint", _D.VOLUME, _I, "us_gallon / 8", "L"),
    Unit("US fl oz", "us_fluid_ounce", _D.VOLUME, _I, "us_gallon / 128", "mL"),
    Unit("imp gal", "imperial_gallon", _D.VOLUME, _I, "4.54609 * litre", "L"),
    Unit("imp qt", "imperial_quart", _D.VOLUME, _I, "imperial_gallon / 4", "L"),
    Unit("imp pt", "imperial_pint", _D.VOLUME, _I, "imperial_gallon / 8", "L"),
    Unit("imp fl oz", "imperial_fluid_ounce", _D.VOLUME, _I, "imperial_gallon / 160", "mL"),
    Unit("bar", "bar", _D.PRESSURE, _M, "100000 * pascal", "psi"),
    Unit("kPa", "kilopascal", _D.PRESSURE, _M, "1000 * pascal", "psi"),
    Unit("psi", "pound_per_square_inch", _D.PRESSURE, _I, "pound_force / inch ** 2", "bar"),
    Unit("mbar", "millibar", _D.PRESSURE, _M, "bar / 1000", "psi"),
    Unit("MPa", "megapascal", _D.PRESSURE, _M, "1000000 * pascal", "psi"),
    Unit("Pa", "pascal", _D.PRESSURE, _M, "newton / metre ** 2", "psi"),
    Unit("kgf/cm²", "kilogram_force_per_cm2", _D.PRESSURE, _M, "kilogram_force / centimetre ** 2", "psi"),
    Unit("kg", "kilogram", _D.MASS, _M, "[mass]", "lb"),
    Unit("g", "gram", _D.MASS, _M, "kilogram / 1000", "oz"),
    Unit("lb", "pound", _D.MASS, _I, "0.45359237 * kilogram", "kg"),
    Unit("oz", "ounce", _D.MASS, _I, "pound / 16", "g"),
    Unit("t", "tonne", _D.MASS, _M, "1000 * kilogram", "lb"),
    Unit("N", "newton", _D.FORCE, _M, "kilogram * metre / second ** 2", "lbf"),
    Unit("kN", "kilonewton", _D.FORCE, _M, "1000 * newton", "lbf"),
    Unit("daN", "decanewton", _D.FORCE, _M, "10 * newton", "lbf"),
    Unit("lbf", "pound_force", _D.FORCE, _I, "9.80665 * pound * metre / second ** 2", "N"),
    Unit("ozf", "ounce_force", _D.FORCE, _I, "pound_force / 16", "N"),
    Unit("kgf", "kilogram_force", _D.FORCE, _M, "9.80665 * kilogram * metre / second ** 2", "lbf"),
    Unit("°C", "degree_celsius", _D.TEMPERATURE, _M, "kelvin; offset: 273.15", "°F"),
    Unit("°F", "degree_fahrenheit", _D.TEMPERATURE, _I, "5 / 9 * kelvin; offset: 45967 / 180", "°C"),
    Unit("K", "kelvin", _D.TEMPERATURE, _M, "[temperature]; offset: 0", "°F"),
    Unit("min", "minute", _D.TIME, _B, "60 * second"),
    Unit("h", "hour", _D.TIME, _B, "60 * minute"),
    Unit("s", "second", _D.TIME, _B, "[time]"),
    Unit("day", "day", _D.TIME, _B, "24 * hour", plural="days"),
    Unit("week", "week", _D.TIME, _B, "7 * day", plural="weeks"),
    Unit("year", "year", _D.CALENDAR, _B, "12 * month", plural="years"),
    Unit("month", "month", _D.CALENDAR, _B, "[calendar]", plural="months"),
    Unit("V", "volt", _D.VOLTAGE, _B, "[voltage]"),
    Unit("mV", "millivolt", _D.VOLTAGE, _B, "volt / 1000"),
    Unit("A", "ampere", _D.CURRENT, _B, "[current]"),
    Unit("mA", "milliampere", _D.CURRENT, _B, "ampere / 1000"),
    Unit("Ω", "ohm", _D.RESISTANCE, _B, "[resistance]"),
    Unit("mΩ", "milliohm", _D.RESISTANCE, _B, "ohm / 1000"),
    Unit("kΩ", "kilohm", _D.RESISTANCE, _B, "1000 * ohm"),
    Unit("MΩ", "megohm", _D.RESISTANCE, _B, "1000000 * ohm"),
    Unit("Ah", "ampere_hour", _D.CHARGE, _B, "[charge]"),
    Unit("rpm", "turn_per_minute", _D.ROTATIONAL_SPEED, _B, "[rotational_speed]"),
    Unit("Hz", "hertz", _D.FREQUENCY, _B, "[frequency]"),
    Unit("kW", "kilowatt", _D.POWER, _M, "1000 * watt", "bhp"),
    Unit("W", "watt", _D.POWER, _M, "newton * metre / second", "bhp"),
    Unit("PS", "metric_horsepower", _D.POWER, _M, "75 * kilogram_force * metre / second", "bhp"),
    Unit("bhp", "mechanical_horsepower", _D.POWER, _I, "550 * pound_force * foot / second", "kW"),
    Unit("%", "percent", _D.RATIO, _B, "[ratio]"),
    Unit("pc", "piece", _D.COUNT, _B, "[pieces]", plural="pcs"),
    Unit("cycle", "cycle", _D.CYCLES, _B, "[cycles]", plural="cycles"),
)

_BY_SYMBOL = {row.symbol: row for row in UNITS}


def unit(symbol: str) -> Unit:
    """The unit with exactly this symbol, for use in code. KeyError where there is none: that is a bug."""
    return _BY_SYMBOL[symbol]
