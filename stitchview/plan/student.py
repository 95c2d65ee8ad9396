"""Student's t: the quantile that a forecast from few sittings needs, without a library of statistics."""

import functools
import math

TOLERANCE = 1e-12


@functools.cache
def t_quantile(share: float, freedom: int) -> float:
    """The value that Student's t with `freedom` degrees of freedom stays below with probability `share`.

    Found by halving on the distribution, whose tail is the regularised incomplete beta function
    (NIST Digital Library of Mathematical Functions, 8.17). Raises `ValueError` outside 0 < share < 1
    or for less than one degree of freedom.
    """
    if not 0 < share < 1 or freedom < 1:
        raise ValueError("a quantile needs a share between 0 and 1 and at least one degree of freedom")
    if share < 0.5:
        return -t_quantile(1 - share, freedom)
    low, high = 0.0, 1.0
    while t_share(high, freedom) < share:
        low, high = high, high * 2
    while high - low > TOLERANCE * max(1.0, high):
        middle = (low + high) / 2
        low, high = (middle, high) if t_share(middle, freedom) < share else (low, middle)
    return (low + high) / 2


def t_share(value: float, freedom: int) -> float:
    """The probability that Student's t with `freedom` degrees of freedom stays below `value`."""
    square = value * value
    # Near the middle the tail is almost a half and loses its digits, so what lies within is reckoned there.
    if square < freedom:
        tail = 0.5 - _beta_share(square / (freedom + square), 0.5, freedom / 2) / 2
    else:
        tail = _beta_share(freedom / (freedom + square), freedom / 2, 0.5) / 2
    return 1 - tail if value > 0 else tail


def _beta_share(x: float, a: float, b: float) -> float:
    """The regularised incomplete beta function of `x` from 0 to 1."""
    if x <= 0 or x >= 1:
        return max(0.0, min(1.0, x))
    if x > (a + 1) / (a + b + 2):
        return 1 - _beta_share(1 - x, b, a)
    log_front = a * math.log(x) + b * math.log1p(-x) - math.log(a)
    log_front += math.lgamma(a + b) - math.lgamma(a) - math.lgamma(b)
    return math.exp(log_front) / _fraction(x, a, b)


def _fraction(x: float, a: float, b: float) -> float:
    """The continued fraction 8.17.22 of the same library, from its far end; converges for these `x`."""
    found = 1.0
    for step in range(200, 0, -1):
        half, odd = divmod(step, 2)
        if odd:
            term = -(a + half) * (a + b + half) * x / ((a + 2 * half) * (a + 2 * half + 1))
        else:
            term = half * (b - half) * x / ((a + 2 * half - 1) * (a + 2 * half))
        found = 1 + term / found
    return found
