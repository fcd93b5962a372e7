"""A straight line through readings by least squares, how far to trust it, and where it meets a limit.

The sums are exact: readings are fractions, and only roots and Student's t are floats. Formulas: any text on regression,
here N. R. Draper and H. Smith, Applied Regression Analysis, chapters 1 and 3 (from memory); the fit is tested against
the certified values of NIST's Statistical Reference Datasets.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from procgen.upkeep.student import quantile_within

FEWEST = 3
"""Two points always lie on a line: they say nothing about how well it fits."""

NARROWEST = Fraction(1, 10**18)
"""Points whose x spread no more than this stand, for any meter and any calendar, at one place."""

CONFIDENCE = 0.90
"""Of ten new readings nine lie inside the band, and one in twenty comes to the limit before the band's early end."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """y = intercept + slope · x, with what least squares says about it."""

    slope: Fraction
    intercept: Fraction
    count: int
    """How many points it was fitted to; at least FEWEST."""
    mean_x: Fraction
    mean_y: Fraction
    spread_x: Fraction
    """Sum of the squared distances of all x from their mean; more than 0."""
    spread_y: Fraction
    residual: Fraction
    """Sum of the squared distances of all y from the line."""

    @property
    def freedom(self) -> int:
        """Degrees of freedom: points less the two that a line takes."""
        return self.count - 2

    @property
    def residual_sd(self) -> float:
        """Standard deviation of the points about the line, in the unit of y."""
        return math.sqrt(self.residual / self.freedom)

    @property
    def slope_error(self) -> float:
        """Standard error of the slope."""
        return math.sqrt(self.residual / self.freedom / self.spread_x)

    @property
    def intercept_error(self) -> float:
        """Standard error of the intercept."""
        share = Fraction(1, self.count) + self.mean_x**2 / self.spread_x
        return math.sqrt(self.residual / self.freedom * share)

    @property
    def r_squared(self) -> float:
        """Which part of the spread of y the line explains; 1 where y does not vary, since nothing is left over."""
        return float(1 - self.residual / self.spread_y) if self.spread_y else 1.0

    def at(self, x: Fraction) -> Fraction:
        """The line's y."""
        return self.intercept + self.slope * x

    def half_band(self, x: Fraction, confidence: float = CONFIDENCE) -> float:
        """Half the width of the prediction interval at x: where a single new reading is to be expected.

        t · s · √(1 + 1/n + (x − x̄)² / Sxx), with Student's t for n − 2 degrees of freedom.
        """
        away = 1 + Fraction(1, self.count) + (x - self.mean_x) ** 2 / self.spread_x
        return quantile_within(confidence, self.freedom) * self.residual_sd * math.sqrt(away)

    def crossing(self, y: Fraction, confidence: float = CONFIDENCE) -> "Crossing | None":
        """Where the line meets y, and between which x a single reading may meet it.

        The ends are where the edges of the prediction band meet y (inverse prediction: Draper and Smith, section 3.2):
        with u = x − x̄ and d = y − ȳ the roots of (d − b·u)² = t²s² · (1 + 1/n + u²/Sxx).
        None where the slope cannot be told from level at this confidence: the band then never closes on y.
        """
        if not self.slope:
            return None
        x = self.mean_x + (y - self.mean_y) / self.slope
        if not self.residual:
            return Crossing(x=x, earliest=x, latest=x)
        slope, distance = float(self.slope), float(y - self.mean_y)
        scatter = (quantile_within(confidence, self.freedom) * self.residual_sd) ** 2
        leading = slope**2 - scatter / float(self.spread_x)
        if leading <= 0:
            return None
        # leading·u² − 2·slope·d·u + d² − scatter·(1 + 1/n) = 0
        constant = distance**2 - scatter * (1 + 1 / self.count)
        root = math.sqrt(max((slope * distance) ** 2 - leading * constant, 0.0))
        first, last = sorted(((slope * distance - root) / leading, (slope * distance + root) / leading))
        return Crossing(
            x=x,
            earliest=self.mean_x + Fraction(first),
            latest=self.mean_x + Fraction(last),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Crossing:
    """Where a line meets a limit: the best guess, and the range in which a single reading may meet it."""

    x: Fraction
    earliest: Fraction
    latest: Fraction


def fit(points: Sequence[tuple[Fraction, Fraction]]) -> Line | None:
    """The least-squares line through (x, y) points; None where they are fewer than FEWEST or all above one x."""
    count = len(points)
    if count < FEWEST:
        return None
    mean_x = sum((x for x, _ in points), Fraction(0)) / count
    mean_y = sum((y for _, y in points), Fraction(0)) / count
    spread_x = sum(((x - mean_x) ** 2 for x, _ in points), Fraction(0))
    if spread_x < NARROWEST:
        return None
    slope = sum(((x - mean_x) * (y - mean_y) for x, y in points), Fraction(0)) / spread_x
    intercept = mean_y - slope * mean_x
    return Line(
        slope=slope,
        intercept=intercept,
        count=count,
        mean_x=mean_x,
        mean_y=mean_y,
        spread_x=spread_x,
        spread_y=sum(((y - mean_y) ** 2 for _, y in points), Fraction(0)),
        residual=sum(((y - intercept - slope * x) ** 2 for x, y in points), Fraction(0)),
    )
