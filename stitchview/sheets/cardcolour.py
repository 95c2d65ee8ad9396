"""The colour of a thread as a photograph of a thread card shows it."""

import numpy as np
from numpy.typing import NDArray


def colour_around(colour: NDArray[np.uint8], x: float, y: float, reach: float) -> tuple[int, int, int]:
    """Red, green and blue of the pixels (H, W, 3) within ``reach`` of (x, y), in the middle.

    The median of each channel, because between strands lie shadows and the card shows through.
    """
    high, wide = colour.shape[:2]
    left, right = max(0, int(x - reach)), min(wide, int(x + reach) + 1)
    top, bottom = max(0, int(y - reach)), min(high, int(y + reach) + 1)
    down, across = np.mgrid[top:bottom, left:right]
    inside = (across - x) ** 2 + (down - y) ** 2 <= max(reach, 1.0) ** 2
    pixels = colour[top:bottom, left:right][inside]
    if not len(pixels):
        pixels = colour[min(high - 1, max(0, int(y))), min(wide - 1, max(0, int(x)))][None]
    red, green, blue = np.median(pixels, axis=0).round().astype(int).tolist()
    return red, green, blue
