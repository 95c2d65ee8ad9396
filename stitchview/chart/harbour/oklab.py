"""Colours as an eye sees them apart: sRGB to OKLab and back (CSS Color Module Level 4, sample code)."""

import numpy as np
from numpy.typing import NDArray

Reals = NDArray[np.float64]

_TO_CONES = np.array(
    [
        [0.4122214694707629, 0.5363325372617349, 0.0514459932675022],
        [0.2119034958178251, 0.6806995506452344, 0.1073969535369405],
        [0.0883024591900564, 0.2817188391361215, 0.6299787016738222],
    ]
)
_TO_LAB = np.array(
    [
        [0.2104542683093140, 0.7936177747023054, -0.0040720430116193],
        [1.9779985324311684, -2.4285922420485799, 0.4505937096174110],
        [0.0259040424655478, 0.7827717124575296, -0.8086757549230774],
    ]
)
_FROM_LAB = np.linalg.inv(_TO_LAB)
_FROM_CONES = np.linalg.inv(_TO_CONES)


def to_oklab(srgb: NDArray[np.generic]) -> Reals:
    """OKLab lightness (0 to 1), a and b of sRGB parts 0 to 255; both of shape (..., 3)."""
    share = np.asarray(srgb, np.float64) / 255
    linear = np.where(share <= 0.04045, share / 12.92, ((share + 0.055) / 1.055) ** 2.4)
    return np.asarray(np.cbrt(linear @ _TO_CONES.T) @ _TO_LAB.T)


def from_oklab(lab: Reals) -> NDArray[np.uint8]:
    """sRGB parts 0 to 255 of OKLab colours of shape (..., 3), the nearest there is."""
    linear = np.clip((lab @ _FROM_LAB.T) ** 3 @ _FROM_CONES.T, 0, 1)
    share = np.where(linear <= 0.0031308, linear * 12.92, 1.055 * linear ** (1 / 2.4) - 0.055)
    return np.asarray(np.rint(share * 255), np.uint8)
