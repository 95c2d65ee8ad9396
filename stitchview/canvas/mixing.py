"""Colours as arrays: taken apart, laid over each other, and packed as pixels."""

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.colour import Colour

Pixels = NDArray[np.uint32]
Floats = NDArray[np.float32]


def parts_of_colour(colour: Colour) -> Floats:
    """Give a colour's sRGB parts as float32 of shape (3,)."""
    return np.array((colour.red, colour.green, colour.blue), np.float32)


def shares(mask: NDArray[np.uint8]) -> Floats:
    """Turn coverage of shape (..., pitch, pitch) into shares of 1, ready to be laid over colours."""
    told: Floats = mask.astype(np.float32)[..., None] / np.float32(255)
    return told


def laid(ground: Floats, ink: Floats, coverage: Floats | np.float32) -> Floats:
    """Lay ink over a ground, both of shape (..., 3), by coverage from 0 to 1."""
    result: Floats = ground + (ink - ground) * coverage
    return result


def packed(colours: NDArray[np.uint8]) -> Pixels:
    """Pack sRGB colours of shape (..., 3) as RGB32 of shape (...)."""
    pixels = np.full(colours.shape[:-1], 0xFF000000, np.uint32)
    for channel, shift in enumerate((16, 8, 0)):
        pixels |= colours[..., channel].astype(np.uint32) << np.uint32(shift)
    return pixels
