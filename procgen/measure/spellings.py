"""How people write the units, and the spellings that are refused because two units share them.

A separator in N·m (dot, full stop, hyphen, space, ×), look-alike characters, and capitals in longer words need no row
of their own: `units.known_unit` forgives them.
"""

from procgen.measure.unit_table import Dimension

SPELLINGS: dict[str, str] = {
    "N·m": "Nm, newton metre, newton metres, newton meter, newton meters",
    "lbf·ft": (
        "lb·ft, lbs·ft, ft·lb, ft·lbs, ft·lbf, lbft, ftlb, ftlbs, lbfft, ftlbf, lb/ft, lbs/ft, ft/lb, ft/lbs, "
        "foot pound, foot pounds, pound foot, pounds foot, pound feet"
    ),
    "lbf·in": (
        "lb·in, lbs·in, in·lb, in·lbs, in·lbf, lbin, inlb, inlbs, inlbf, lbfin, lb/in, in/lb, in/lbs, "
        "inch pound, inch pounds, pound inch, pound inches"
    ),
    "ozf·in": "oz·in, in·oz, in·ozf, inch ounce, inch ounces",
    "kgf·m": "kg·m, m·kg, m·kgf, kgm, mkg, mkgf, kgfm, kp·m, m·kp, mkp, kpm",
    "kgf·cm": "kg·cm, cm·kg, cm·kgf, kgcm, cmkg, kgfcm, kp·cm",
    "N·cm": "Ncm",
    "daN·m": "daNm",
    "kN·m": "kNm",
    "mm": "millimetre, millimetres, millimeter, millimeters",
    "in": "\", '', inch, inches, ins",
    "m": "metre, metres, meter, meters",
    "cm": "centimetre, centimetres, centimeter, centimeters",
    "µm": "um, micron, microns, micrometre, micrometres, micrometer, micrometers",
    "thou": "mil, mils, thousandths",
    "ft": "foot, feet",
    "km": "kms, kilometre, kilometres, kilometer, kilometers",
    "mi": "mile, miles",
    "°": "deg, degs, degree, degrees",
    "turn": "rev, revs, revolution, revolutions",
    "L": "l, litre, litres, liter, liters, ltr, ltrs, dm³",
    "mL": "ml, cc, ccm, cm³, millilitre, millilitres, milliliter, milliliters",
    "US gal": "US gals, gal US, gal (US), US gallon, US gallons",
    "US qt": "US qts, qt US, qt (US), US quart, US quarts",
    "US pt": "US pts, pt US, pt (US), US pint, US pints",
    "US fl oz": "US floz, fl oz US, fl oz (US), US fluid ounce, US fluid ounces",
    "imp gal": "gal imp, gal (imp), UK gal, imperial gallon, imperial gallons, UK gallon, UK gallons",
    "imp qt": "qt imp, qt (imp), UK qt, imperial quart, imperial quarts, UK quart, UK quarts",
    "imp pt": "pt imp, pt (imp), UK pt, imperial pint, imperial pints, UK pint, UK pints",
    "imp fl oz": "imp floz, fl oz imp, fl oz (imp), UK fl oz, imperial fluid ounce, imperial fluid ounces",
    "bar": "bars",
    "psi": "lbf/in², lb/in², lbs/in², lbf/sq in, lb/sq in",
    "mbar": "hPa, millibar, millibars",
    "MPa": "N/mm²",
    "kgf/cm²": "kg/cm², kp/cm², kgf/sq cm, kg/sq cm",
    "kg": "kgs, kilo, kilos, kilogram, kilograms, kilogramme, kilogrammes",
    "g": "gram, grams, gramme, grammes",
    "lb": "lbs, pound, pounds",
    "oz": "ounce, ounces",
    "t": "tonne, tonnes",
    "N": "newton, newtons",
    "kN": "kilonewton, kilonewtons",
    "lbf": "lb f, pound force, pounds force",
    "kgf": "kp, kg f",
    "°C": "C, degC, deg C, degree C, degrees C, degrees Celsius, Celsius",
    "°F": "F, degF, deg F, degree F, degrees F, degrees Fahrenheit, Fahrenheit",
    "min": "mins, minute, minutes",
    "h": "hr, hrs, hour, hours",
    "s": "sec, secs, second, seconds",
    "day": "d",
    "week": "wk, wks",
    "month": "mth, mths",
    "year": "yr, yrs",
    "V": "volt, volts, V DC, Vdc",
    "A": "amp, amps, ampere, amperes",
    "Ω": "ohm, ohms",
    "mΩ": "milliohm, milliohms",
    "kΩ": "kohm, kilohm, kilohms",
    "MΩ": "Mohm, megohm, megohms",
    "Ah": "A h, amp hour, amp hours",
    "rpm": "r/min, rev/min, revs/min, 1/min, r.p.m.",
    "Hz": "hertz",
    "kW": "kilowatt, kilowatts",
    "W": "watt, watts",
    "%": "per cent, percent, pct",
    "pc": "piece, pieces, off",
}

AMBIGUOUS: dict[str, str] = {
    "gal": "may be US gal (3.785 L) or imp gal (4.546 L): write which.",
    "qt": "may be US qt (0.946 L) or imp qt (1.137 L): write which.",
    "pt": "may be US pt (0.473 L) or imp pt (0.568 L): write which.",
    "fl oz": "may be US fl oz (29.6 mL) or imp fl oz (28.4 mL): write which.",
    "hp": "may be bhp (550 ft·lbf/s, 745.7 W), PS (metric, 735.5 W) or electric (746 W): write bhp, PS or kW.",
    "ton": "may be 1000 kg, 2240 lb or 2000 lb: write t, kg or lb.",
    "nm": "would be nanometres: write N·m for a torque, mm for a length.",
    "NM": "may be N·m or nautical miles: write N·m for a torque.",
    "M": "may be m (metres), min (minutes) or months: write which.",
    "'": "may be feet or minutes of arc: write ft, or ° with decimals.",
    "mPa": "would be a thousandth of a pascal: write MPa for megapascals, mbar for millibars.",
    "#": "may be lb or lbf: write which.",
}
"""Spellings that are refused, each with the rest of the sentence that says why and what to write."""

AMBIGUOUS_TOO: dict[str, str] = {
    "gals": "gal",
    "gallon": "gal",
    "gallons": "gal",
    "qts": "qt",
    "quart": "qt",
    "quarts": "qt",
    "pts": "pt",
    "pint": "pt",
    "pints": "pt",
    "floz": "fl oz",
    "fluid ounce": "fl oz",
    "fluid ounces": "fl oz",
    "horsepower": "hp",
    "tons": "ton",
    "mpa": "mPa",
}
"""Other spellings of the refused ones."""

WRITTEN_AS: dict[Dimension, str] = {
    Dimension.TORQUE: "22 N·m",
    Dimension.LENGTH: "0.20 mm",
    Dimension.ANGLE: "90°",
    Dimension.VOLUME: "7.5 L",
    Dimension.PRESSURE: "1.1 bar",
    Dimension.MASS: "4 kg",
    Dimension.FORCE: "50 N",
    Dimension.TEMPERATURE: "80 °C",
    Dimension.TIME: "20 min",
    Dimension.CALENDAR: "5 years",
    Dimension.VOLTAGE: "12.6 V",
    Dimension.CURRENT: "10 A",
    Dimension.RESISTANCE: "0.9 Ω",
    Dimension.CHARGE: "70 Ah",
    Dimension.FREQUENCY: "65 Hz",
    Dimension.ROTATIONAL_SPEED: "750 rpm",
    Dimension.POWER: "30 kW",
    Dimension.RATIO: "4 %",
    Dimension.COUNT: "4 pcs",
    Dimension.CYCLES: "500 cycles",
}
"""One quantity of each dimension as an author should write it, for messages."""
