"""Student's t, for a whole number f of degrees of freedom.

With θ = atan(t/√f) the probability that |T| ≤ t is a finite sum (Abramowitz and Stegun 26.7.3 and 26.7.4):

    f odd     2/π·[θ + sin θ·(cos θ + 2/3·cos³ θ + … + 2·4…(f-3)/(3·5…(f-2))·cos^(f-2) θ)]
    f even    sin θ·[1 + 1/2·cos² θ + 1·3/(2·4)·cos⁴ θ + … + 1·3…(f-3)/(2·4…(f-2))·cos^(f-2) θ]
"""

from functools import cache
from math import cos, pi, sin, sqrt, tan

from torqueaudit_plugins.final_drive.calc.bisection import root_of

MOST_FREEDOM = 10_000  # the sum has half as many terms


@cache
def two_sided_t(level: float, freedom: int) -> float:
    """The t that |T| exceeds with probability 1 - `level`: 2.776445 for 0.95 and 4 degrees of freedom.

    Raises ValueError, with a sentence, for a level that is not above 0 and below 1, or without freedom.
    """
    if not 0 < level < 1:
        raise ValueError(f"a level of confidence of {level:g} is none; it lies between 0 and 1, such as 0.95")
    if not 1 <= freedom <= MOST_FREEDOM:
        raise ValueError(f"{freedom} degrees of freedom; from 1 to {MOST_FREEDOM} can be worked out")
    angle = root_of(lambda theta: _within(theta, freedom) - level, 0.0, pi / 2)
    return sqrt(freedom) * tan(angle)


def _within(theta: float, freedom: int) -> float:
    odd = freedom % 2
    square, total = cos(theta) ** 2, 0.0
    term = cos(theta) if odd else 1.0
    for step in range(2 + odd, freedom + 1, 2):
        total += term
        term *= square * (step - 1) / step
    return (theta + sin(theta) * total) * 2 / pi if odd else sin(theta) * total
