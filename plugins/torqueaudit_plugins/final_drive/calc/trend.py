"""Wear against distance: a line by ordinary least squares, and the distance at which it reaches a limit.

    y = a + b·x        s² = Σ(y - a - b·x)²/(n - 2)        Sxx = Σ(x - x̄)²

The interval of the distance x0 at which a + b·x0 equals the limit is Fieller's: every x0 whose line at the limit is
within t standard errors,

    (ȳ + b·d - limit)² ≤ t²·s²·(1/n + d²/Sxx)        d = x0 - x̄

It is finite where the slope differs from zero by more than t standard errors, and only then is a distance told. With
three or four points that choice alone spoils the upper end, so it is left open: at least so far.
Few points may lie on a line by chance. So t·s is never taken smaller than z·u, where u is the standard uncertainty of a
reading, which is known apart from them and takes the normal z (1.96 for 95 %).
Sources: ordinary least squares; E. C. Fieller, J. R. Statist. Soc. B 16 (1954) 175-185 (from memory).
"""

from collections.abc import Sequence
from decimal import Decimal
from math import fsum, isfinite, sqrt
from typing import NamedTuple

from torqueaudit_plugins.final_drive.calc.student import two_sided_t

LEVEL = 0.95
LEAST_DISTANCES = 3
LEAST_FOR_BOTH_ENDS = 5  # points; with fewer the interval, told only of a line that rises, holds as little as 83 %
SAME_PERCENT = 1e-9  # a fitted line is not exact; on its limit it is not past it, as a wear is not
TOO_FEW = (
    f"too few points for a line: wear measured at {LEAST_DISTANCES} different distances is needed, and more tell better"
)
NOT_RISING = (
    "the wear does not rise clearly over these distances, so no distance to the limit can be told; measure again later"
)


class Reach(NamedTuple):
    """The distance in km at which the line reaches a limit, and the ends of its interval; None: open above."""

    distance_km: float
    low_km: float
    high_km: float | None


class Trend(NamedTuple):
    """A line through wear in percent against distance in km, and what its scatter says of it; made by `fit`.

    `mean_km` and `mean_percent` are the point the line goes through, `spread` is Sxx in km², `scatter_percent` the
    residual standard deviation s, `t` the quantile of Student's t for `level`, `least_error_percent` is z·u.
    """

    points: int
    mean_km: float
    mean_percent: float
    slope: float  # percent per km
    spread: float
    scatter_percent: float
    level: float
    t: float
    least_error_percent: float = 0.0

    @property
    def error_percent(self) -> float:
        """What a single reading may be off the line at this level, t·s, and never less than z·u."""
        return max(self.t * self.scatter_percent, self.least_error_percent)

    @property
    def intercept_percent(self) -> float:
        """The line at distance zero."""
        return self.at(0)

    @property
    def slope_interval(self) -> tuple[float, float]:
        """The ends of the slope's interval, in percent per km."""
        half = self.error_percent / sqrt(self.spread)
        return self.slope - half, self.slope + half

    @property
    def rises(self) -> bool:
        """Whether the whole interval of the slope lies above zero."""
        return self.slope_interval[0] > 0

    def at(self, distance_km: float) -> float:
        """The line's wear in percent at a distance."""
        return self.mean_percent + self.slope * (distance_km - self.mean_km)

    def band_percent(self, distance_km: float) -> float:
        """Half the width of the line's interval at a distance, in percent."""
        away = distance_km - self.mean_km
        return self.error_percent * sqrt(1 / self.points + away * away / self.spread)

    def reaches(self, limit_percent: float) -> Reach | None:
        """Where the line reaches a limit, with Fieller's interval; None where the wear does not rise clearly."""
        if not isfinite(limit_percent):
            raise ValueError(f"a limit of {limit_percent} % is none")
        if not self.rises:
            return None
        above = limit_percent - self.mean_percent
        error = self.error_percent
        square = self.slope**2 - error**2 / self.spread
        half = error * sqrt(above**2 / self.spread + square / self.points)
        low, high = ((self.slope * above + sign * half) / square for sign in (-1, 1))
        ends = (self.mean_km + low, self.mean_km + high if self.points >= LEAST_FOR_BOTH_ENDS else None)
        return Reach(self.mean_km + above / self.slope, *ends)

    def is_past(self, limit_percent: Decimal, distance_km: float) -> bool:
        """Whether the line lies past a limit at a distance."""
        return self.at(distance_km) > float(limit_percent) + SAME_PERCENT


def fit(
    distances_km: Sequence[float], wear_percent: Sequence[float], level: float = LEVEL, sure_percent: float = 0.0
) -> Trend:
    """The line through wear in percent at distances in km, all of one chain.

    `sure_percent` is the expanded uncertainty (k = 2) of a reading: no interval is narrower than it allows.
    Raises ValueError, with a sentence: TOO_FEW for fewer than three different distances, and for what is no number.
    """
    from statistics import NormalDist  # every job loads this file, and few have measured wear three times

    if len(distances_km) != len(wear_percent):
        raise ValueError(f"{len(distances_km)} distances and {len(wear_percent)} wears do not go together")
    if not all(isfinite(number) for number in (*distances_km, *wear_percent)):
        raise ValueError("a distance or a wear is no number")
    if len(set(distances_km)) < LEAST_DISTANCES:
        raise ValueError(TOO_FEW)
    count = len(distances_km)
    mean_km, mean_percent = fsum(distances_km) / count, fsum(wear_percent) / count
    aways = [distance - mean_km for distance in distances_km]
    spread = fsum(away * away for away in aways)
    if not spread:
        raise ValueError(TOO_FEW)
    slope = fsum(away * (wear - mean_percent) for away, wear in zip(aways, wear_percent, strict=True)) / spread
    left = fsum((wear - mean_percent - slope * away) ** 2 for away, wear in zip(aways, wear_percent, strict=True))
    t = two_sided_t(level, count - 2)
    least_error = NormalDist().inv_cdf((1 + level) / 2) * sure_percent / 2
    return Trend(
        points=count,
        mean_km=mean_km,
        mean_percent=mean_percent,
        slope=slope,
        spread=spread,
        scatter_percent=sqrt(left / (count - 2)),
        level=level,
        t=t,
        least_error_percent=least_error,
    )


def sure_words(sure_percent: float, *, told: bool) -> str:
    """What the interval rests on besides the scatter of the points."""
    assumed = "" if told else " (nobody told it)"
    return f"Each wear is taken as sure to ± {sure_percent:.2g} %{assumed}; no interval is narrower than that allows."
