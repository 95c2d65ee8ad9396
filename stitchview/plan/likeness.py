"""How alike two colours look: CIEDE2000 under normal sight and under simulated colour-vision deficiency."""

import functools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import Enum
from typing import Any

import numpy as np
from coloraide import Color
from numpy.typing import NDArray

from stitchview.chart.colour import Colour

Labs = NDArray[np.float64]
"""D65 Lab values, shape (n, 3)."""

_KEPT = 1 << 16
# One part in a thousand million, so that rounding never lifts a bound above what it bounds.
_UNDER = 1 - 1e-9


class Sight(Enum):
    """How colours are seen; the three deficiencies at full severity, by coloraide's filter names."""

    NORMAL = "normal"
    PROTAN = "protan"
    DEUTAN = "deutan"
    TRITAN = "tritan"


@dataclass(frozen=True, slots=True)
class Near:
    """One of several colours by its `index`, and its CIEDE2000 `difference` from the one asked about."""

    index: int
    difference: float


def difference(first: Colour, second: Colour, sight: Sight = Sight.NORMAL) -> float:
    """CIEDE2000 (ISO/CIE 11664-6, all weights 1) between two colours as somebody of this sight sees them."""
    return lab_difference(_lab(first, sight), _lab(second, sight))


def lab_difference(first: Color, second: Color) -> float:
    """CIEDE2000 between two colours given in Lab."""
    return float(first.delta_e(second, method="2000"))


def labs(colours: Sequence[Colour], sight: Sight = Sight.NORMAL) -> Labs:
    """D65 Lab values of colours, shape (n, 3)."""
    values = [_lab(colour, sight).coords(nans=False) for colour in colours]
    return np.array(values, np.float64).reshape(len(values), 3)


def least_difference(first: Labs, second: Labs) -> NDArray[np.float64]:
    """A lower bound of CIEDE2000 between all pairs of two lists of Lab values, shape (n, m).

    Never above the true difference, so that what it rules out need not be reckoned. In the terms of
    Sharma, Wu and Dalal 2005: dC'^2 + dH'^2 is the squared distance in the (a', b) plane, S_C and S_L
    depend on the pair's means alone, and S_H <= 1 + 0.015 x 1.59 C' because T < 1.59 at every hue.
    With |R_T| <= r, x^2 + y^2 + R_T x y >= (1 - r / 2)(x^2 + y^2). R_T works about the blue at 275
    degrees: r = R_C sin 60 degrees anywhere, but less than 0.007 where both hues lie in the half
    circle from 335 or in that from 35 degrees, for then their mean is 60 degrees from there or more.
    """
    chromas = [np.hypot(each[:, 1], each[:, 2]) for each in (first, second)]
    stretch = 1.5 - _saturation((chromas[0][:, None] + chromas[1][None, :]) / 2) / 2
    one_a, other_a = stretch * first[:, 1][:, None], stretch * second[:, 1][None, :]
    one_b, other_b = first[:, 2][:, None], second[:, 2][None, :]
    one_c, other_c = np.hypot(one_a, one_b), np.hypot(other_a, other_b)
    middle_c = (one_c + other_c) / 2
    away = _in_half_circle(one_a, one_b, 335) & _in_half_circle(other_a, other_b, 335)
    away |= _in_half_circle(one_a, one_b, 35) & _in_half_circle(other_a, other_b, 35)
    kept = np.where(away, 1 - 0.0035, 1 - np.sqrt(0.75) * _saturation(middle_c))
    middle = ((first[:, 0][:, None] + second[:, 0][None, :]) / 2 - 50) ** 2
    light = (first[:, 0][:, None] - second[:, 0][None, :]) / (1 + 0.015 * middle / np.sqrt(20 + middle))
    chroma = (one_c - other_c) ** 2
    hue = np.maximum(0, (one_a - other_a) ** 2 + (one_b - other_b) ** 2 - chroma)
    apart = chroma / (1 + 0.045 * middle_c) ** 2 + hue / (1 + 0.015 * 1.59 * middle_c) ** 2
    bound: NDArray[np.float64] = np.sqrt(light**2 + kept * apart) * _UNDER
    return bound


def nearest(
    colour: Colour, among: Sequence[Colour], most: int = 3, sight: Sight = Sight.NORMAL
) -> tuple[Near, ...]:
    """The `most` colours least different from `colour`, nearest first, equal ones as they stand there."""
    return nearest_of((colour,), among, most, sight)[0]


def nearest_of(
    colours: Sequence[Colour], among: Sequence[Colour], most: int = 3, sight: Sight = Sight.NORMAL
) -> tuple[tuple[Near, ...], ...]:
    """For each of `colours` what `nearest` gives; many at once cost far less than one by one."""
    if not among or most < 1:
        return ((),) * len(colours)
    # The same colour stands in many rows of a stash, and is reckoned once.
    homes: dict[Colour, list[int]] = {}
    for index, each in enumerate(among):
        homes.setdefault(each, []).append(index)
    distinct = list(homes.items())
    values = labs(list(homes), sight)
    return tuple(
        _nearest((colour, sight), least_difference(labs((colour,), sight), values)[0], distinct, most)
        for colour in colours
    )


def pairs_below(
    colours: Sequence[Colour], limit: float, sight: Sight = Sight.NORMAL
) -> Iterator[tuple[int, int, float]]:
    """All pairs of colours less than `limit` apart: (first index, second index, difference), in order."""
    values = labs(colours, sight)
    for first in range(len(colours) - 1):
        bounds = least_difference(values[first : first + 1], values[first + 1 :])[0]
        for step in np.flatnonzero(bounds < limit).tolist():
            second = first + 1 + step
            apart = difference(colours[first], colours[second], sight)
            if apart < limit:
                yield first, second, apart


def _nearest(
    asked: tuple[Colour, Sight],
    bounds: NDArray[np.float64],
    among: Sequence[tuple[Colour, list[int]]],
    most: int,
) -> tuple[Near, ...]:
    found: list[Near] = []
    for place in np.argsort(bounds, kind="stable").tolist():
        if len(found) >= most and bounds[place] > found[most - 1].difference:
            break
        other, indices = among[place]
        apart = difference(asked[0], other, asked[1])
        found += [Near(index, apart) for index in indices[:most]]
        found.sort(key=_by_difference)
        del found[most:]
    return tuple(found)


def _by_difference(near: Near) -> tuple[float, int]:
    return near.difference, near.index


def _in_half_circle(a: Labs, b: Labs, start: float) -> NDArray[np.bool_]:
    """Whether the hue lies well within the 180 degrees from `start` on; greys have none."""
    angle = np.radians(start)
    # Not on the rim, where rounding could turn two opposite hues the other way round.
    inside: NDArray[np.bool_] = b * np.cos(angle) - a * np.sin(angle) > 1e-6
    return inside


def _saturation(chroma: NDArray[np.float64]) -> NDArray[np.float64]:
    """The share sqrt(C^7 / (C^7 + 25^7)), 0 for greys and nearly 1 for strong colours."""
    squared = chroma * chroma
    seventh = squared * squared * squared * chroma
    share: NDArray[np.float64] = np.sqrt(seventh / (seventh + 25.0**7))
    return share


@functools.lru_cache(_KEPT)
def _lab(colour: Colour, sight: Sight) -> Color:
    return _simulated(colour, sight).convert("lab-d65")


def _simulated(colour: Colour, sight: Sight) -> Color:
    """As somebody of this sight sees it, clipped to what a screen can show.

    Machado, Oliveira and Fernandes 2009, severity 1, in linear sRGB; the matrices are coloraide's.
    """
    plain = Color("srgb", [colour.red / 255, colour.green / 255, colour.blue / 255])
    if sight is Sight.NORMAL:
        return plain
    # Left in linear light and clipped there, for coloraide would rather map into gamut.
    told: dict[str, Any] = {"method": "machado", "out_space": "srgb-linear"}
    return plain.filter(sight.value, 1, **told).clip()
