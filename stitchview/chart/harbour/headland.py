"""The rocky headland with the lighthouse and the keeper's cottage."""

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.area import Area
from stitchview.chart.colour import Colour
from stitchview.chart.harbour.chance import Noise, middles
from stitchview.chart.harbour.easel import Coat, Painting, Patch, Stuff, lay
from stitchview.chart.harbour.houses import House, build_house
from stitchview.chart.harbour.needlework import Ink
from stitchview.chart.harbour.shapes import Point
from stitchview.chart.harbour.view import View, bands
from stitchview.chart.harbour.water import mirror

ROCK_DARK = np.array([44.0, 36.0, 64.0])
ROCK_LIT = np.array([190.0, 116.0, 104.0])
WHITE_WALL = Coat(Colour.from_hex("#D9C7C6"), across=0.50, grain=0.04)
RED_WALL = Coat(Colour.from_hex("#A8384A"), across=0.55, grain=0.04)
IRON = Coat(Colour.from_hex("#2B2740"), across=0.4)
LAMP = Coat(Colour.from_hex("#FFEFA6"), Stuff.LIGHT, down=-0.1)
DOME = Coat(Colour.from_hex("#8C2F45"), across=0.6)
BEAM = np.array([255.0, 236.0, 178.0])
STRIPES = 5


def build_headland(painting: Painting, view: View) -> None:
    """Lay the rocks, the cottage and the lighthouse with its beam."""
    unit = view.unit
    foot = (view.across(0.115), float(round(view.horizon - 0.040 * unit)))
    top = int(foot[1] - 0.40 * unit)
    waterline = view.below_horizon(0.07)
    patch = painting.patch(Area(0, top, int(view.across(0.36)), waterline - top))
    _shine(painting, view, (foot[0], foot[1] - 0.305 * unit))
    cottage = House(int(foot[0] + 0.045 * unit), int(foot[1]) + 1, int(0.085 * unit), int(0.04 * unit))
    if cottage.width >= 3:
        build_house(patch, cottage, "#A58FA0", view.chance("cottage"))
    _build_tower(patch, foot, unit)
    _pile_rocks(patch, view, waterline)
    mirror(painting, patch, waterline)
    lay(painting, patch)


def _build_tower(patch: Patch, foot: Point, unit: float) -> None:
    height, low, high = 0.27 * unit, 0.030 * unit, 0.019 * unit
    if height < 3:
        return
    x, y = foot
    for stripe in range(STRIPES):
        below, above = stripe / STRIPES, (stripe + 1) / STRIPES
        wide, narrow = low + (high - low) * below, low + (high - low) * above
        bottom, top = round(y - height * below), round(y - height * above)
        corners = [(x - wide, bottom), (x - narrow, top), (x + narrow, top), (x + wide, bottom)]
        patch.polygon(corners, RED_WALL if stripe % 2 else WHITE_WALL)
        patch.needlework.path([corners[1], corners[2]], Ink.OUTLINE)
    patch.needlework.back((x - low, y), (x - high, y - height), Ink.OUTLINE)
    patch.needlework.back((x + low, y), (x + high, y - height), Ink.OUTLINE)
    for up in (0.32, 0.72):
        if unit > 150:
            side = max(2, int(0.010 * unit))
            window = Area(int(x), int(y - height * up), side, int(side * 1.6))
            patch.box(window, LAMP)
            patch.needlework.frame(window, Ink.OUTLINE)
    _crown_tower(patch, (x, y - height), high, unit)


def _crown_tower(patch: Patch, top: Point, high: float, unit: float) -> None:
    x, y = top
    deck, glass = max(0.008 * unit, 1.0), max(0.032 * unit, 1.0)
    patch.polygon(_block(x, y, high * 1.45, deck), IRON)
    patch.polygon(_block(x, y - deck, high * 0.78, glass), LAMP)
    roof = y - deck - glass
    patch.polygon([(x - high, roof), (x, roof - high * 1.25), (x + high, roof)], DOME)
    needle = patch.needlework
    needle.outline([(x - high, roof), (x, roof - high * 1.25), (x + high, roof)])
    needle.back((x, roof - high * 1.25), (x, roof - high * 2.1), Ink.OUTLINE)
    rail = y - deck - 0.45 * glass
    needle.back((x - high * 1.45, rail), (x + high * 1.45, rail), Ink.FRAME)
    for share in np.linspace(-1.45, 1.45, 7):
        post = x + high * float(share)
        needle.back((post, y - deck), (post, rail), Ink.FRAME)
    for share in (-0.78, -0.26, 0.26, 0.78):
        bar = x + high * share
        needle.back((bar, y - deck), (bar, roof), Ink.OUTLINE)


def _block(x: float, floor: float, half: float, height: float) -> list[Point]:
    half = max(half, 0.5)
    return [(x - half, floor), (x - half, floor - height), (x + half, floor - height), (x + half, floor)]


def _shine(painting: Painting, view: View, lamp: Point) -> None:
    """Lighten the sky along the two arms of the beam, and round the lamp."""
    reach = Area(0, int(lamp[1] - 0.3 * view.unit), view.columns, int(0.6 * view.unit))
    seen = reach.clipped(Area(0, 0, view.columns, view.horizon))
    if seen.empty or view.unit < 30:
        return
    for rows in bands(seen.row, seen.bottom, seen.columns):
        beam = _beam(np.asarray(rows + 0.5 - lamp[1]), middles(0, seen.columns)[None, :] - lamp[0], view.unit)
        colours = painting.colours[rows[:, 0]].astype(np.float64)
        colours += (BEAM - colours) * beam[..., None]
        painting.colours[rows[:, 0]] = np.clip(np.rint(colours), 0, 255)


def _beam(below: NDArray[np.float64], across: NDArray[np.float64], unit: float) -> NDArray[np.float64]:
    """How much light, 0 to 1, so many squares below and to the right of the lamp."""
    aside = below + 0.10 * across
    width = 0.006 * unit + 0.075 * np.abs(across)
    arms = np.exp(-((aside / width) ** 2) - 2.4 * np.abs(across) / unit) * 0.50
    halo = 0.85 * np.exp(-((np.hypot(across, below) / (0.030 * unit)) ** 2))
    return np.maximum(arms, halo)


def _pile_rocks(patch: Patch, view: View, waterline: int) -> None:
    area, unit = patch.area, view.unit
    if area.empty:
        return
    noise = Noise(view.chance("rocks").salt())
    across = middles(area.column, area.right)[None, :]
    rows = middles(area.row, area.bottom)[:, None]
    octaves = int(np.clip(np.log2(unit) - 3, 1, 5))
    share = across / view.across(0.30)
    profile = np.clip(1.0 - np.clip(share - 0.42, 0, 1) ** 1.3 * 2.4, -0.2, 1)
    bumps = noise.layered(across / (0.07 * unit), np.array([[3.0]]), octaves) - 0.5
    height = (0.062 * profile + 0.030 * bumps) * unit + 0.010 * unit
    mask = rows > waterline - np.maximum(height, 0.0)
    mask &= height > 0.5
    _colour_rocks(patch, mask, _facets(noise, across, rows, unit, octaves))
    _trace_rocks(patch, np.where(height > 0.5, waterline - height, np.inf)[0])


def _facets(
    noise: Noise, across: NDArray[np.float64], rows: NDArray[np.float64], unit: float, octaves: int
) -> NDArray[np.float64]:
    step = max(0.008 * unit, 1.0)
    here = noise.layered(across / (0.045 * unit), rows / (0.022 * unit), octaves)
    right = noise.layered((across + step) / (0.045 * unit), (rows - step) / (0.022 * unit), octaves)
    return np.clip(0.18 + (here - right) * 2.6, 0, 0.9)


def _colour_rocks(patch: Patch, mask: NDArray[np.bool_], lit: NDArray[np.float64]) -> None:
    colours = ROCK_DARK + (ROCK_LIT - ROCK_DARK) * lit[..., None]
    patch.colours[mask] = np.clip(np.rint(colours), 0, 255).astype(np.uint8)[mask]
    patch.stuff[mask] = Stuff.LAND
    patch.labels[mask] = 251
    patch.needlework.hide(patch.area, mask)


def _trace_rocks(patch: Patch, skyline: NDArray[np.float64]) -> None:
    columns = np.flatnonzero(np.isfinite(skyline))[::3]
    points = [(float(column), round(float(skyline[column]) * 2) / 2) for column in columns]
    patch.needlework.path(points, Ink.OUTLINE)
