"""Hills behind the water, and the rocky headland the lighthouse stands on."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.area import Area
from stitchview.chart.colour import Colour
from stitchview.chart.harbour.chance import Noise, middles
from stitchview.chart.harbour.easel import Painting, Patch, Stuff, grain, lay
from stitchview.chart.harbour.needlework import Ink
from stitchview.chart.harbour.view import View
from stitchview.chart.harbour.water import mirror

HAZE = np.array([236.0, 168.0, 142.0])


@dataclass(frozen=True, slots=True)
class Ridge:
    """One line of hills: how high it stands (shares of the unit), its colour, and how hazy its foot is."""

    low: float
    high: float
    length: float
    colour: str
    haze: float
    lights: float


RIDGES = (
    Ridge(0.050, 0.140, 0.55, "#9A6F98", 0.55, 0.0),
    Ridge(0.028, 0.092, 0.36, "#75608F", 0.42, 0.0),
    Ridge(0.012, 0.060, 0.24, "#514673", 0.25, 0.010),
)


def raise_hills(painting: Painting, view: View) -> None:
    """Lay the lines of hills, the farthest first, each with its mirror picture in the water."""
    for number, ridge in enumerate(RIDGES):
        heights = _skyline(view, ridge, number)
        top = view.horizon - int(heights.max()) - 1
        patch = painting.patch(Area(0, top, view.columns, view.horizon - top))
        _fill_below(patch, view.horizon - heights, view, ridge)
        _set_lights(patch, view, ridge, heights)
        mirror(painting, patch, view.horizon)
        lay(painting, patch)


def _skyline(view: View, ridge: Ridge, number: int) -> NDArray[np.float64]:
    noise = Noise(view.chance(f"ridge {number}").salt())
    across = middles(0, view.columns)
    octaves = int(np.clip(np.log2(view.unit) - 2, 2, 7))
    swell = noise.layered(across / (ridge.length * view.unit), np.array(number * 9.5), octaves)
    share = np.clip((swell - 0.22) / 0.5, 0, 1)
    # The hills stand lower before the sun, so that its light comes down to the water.
    gap = 1 - 0.75 * np.exp(-(((across - view.sun[0]) / (0.16 * view.unit)) ** 2))
    return np.asarray((ridge.low + (ridge.high - ridge.low) * share) * gap * view.unit)


def _fill_below(patch: Patch, skyline: NDArray[np.float64], view: View, ridge: Ridge) -> None:
    rows = middles(patch.area.row, patch.area.bottom)[:, None]
    mask = rows > skyline[None, :]
    depth = np.clip((rows - skyline) / np.maximum(view.horizon - skyline, 1), 0, 1)
    colour = Colour.from_hex(ridge.colour)
    body = np.array([colour.red, colour.green, colour.blue], np.float64)
    light = 1.06 - 0.10 * depth + 0.10 * (grain(patch.area) - 0.5)
    colours = body * light[..., None]
    colours += (HAZE - colours) * (ridge.haze * depth**2)[..., None]
    patch.colours[:] = np.clip(np.rint(colours), 0, 255)
    patch.stuff[:] = Stuff.LAND
    patch.labels[mask] = int(ridge.low * 1000) % 255 + 1


def _set_lights(patch: Patch, view: View, ridge: Ridge, heights: NDArray[np.float64]) -> None:
    chance = view.chance(f"far lights {ridge.colour}")
    for column in range(0, view.columns, max(1, int(view.unit / 60))):
        if not chance.happens(ridge.lights * 12) or heights[column] < 2:
            continue
        row = view.horizon - chance.between(0.1, 0.6) * heights[column]
        patch.needlework.knot((column + 0.5, np.floor(row) + 0.5), Ink.WINDOW)
