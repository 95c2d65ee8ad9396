"""The town that climbs the hillside behind the quay, with the church on top."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.area import Area
from stitchview.chart.colour import Colour
from stitchview.chart.harbour.chance import Noise, middles
from stitchview.chart.harbour.easel import Coat, Painting, Patch, Stuff, grain, lay
from stitchview.chart.harbour.houses import House, build_house
from stitchview.chart.harbour.needlework import Ink
from stitchview.chart.harbour.shapes import disc
from stitchview.chart.harbour.view import View
from stitchview.chart.harbour.water import mirror

WALLS = ("#8A4A52", "#A9705F", "#6C6A96", "#B79A90", "#7D4766", "#8F6A86", "#C08F78", "#5D5F86", "#9A5B62")
SPIRE = Coat(Colour.from_hex("#4C3B5E"), across=-0.7)
TOWER = Coat(Colour.from_hex("#7F6488"), across=-0.35, grain=0.05)
CLOCK = Coat(Colour.from_hex("#FFE9A8"), Stuff.LIGHT)
LEAVES = np.array([74.0, 62.0, 92.0])
TOP_SHARE = 0.20
HIGHEST = 9


@dataclass(frozen=True, slots=True)
class Town:
    """The plan of the town: the row of its street, the width of a usual house, and its tiers.

    `left` is the first column of the front row, `step` how many rows a tier stands above the last.
    """

    view: View
    street: int
    waterline: int
    left: int
    usual: float
    tiers: int
    step: float

    def base(self, tier: int, column: float) -> int:
        """The row below the houses of a tier at a column; the hill rises to the right."""
        share = (column - self.left) / max(self.view.columns - self.left, 1)
        slope = 0.65 + 0.5 * min(max(share, 0.0), 1.0)
        return self.street - round(tier * self.step * slope)


def plan_town(view: View, street: int, waterline: int) -> Town:
    """A town whose houses grow more in number than in size when the picture is large."""
    usual = max(3.0, 0.105 * view.unit * min(1.0, (500 / view.unit) ** 0.45))
    step = usual * 0.70
    tiers = int(np.clip(1 + round(TOP_SHARE * view.unit / step), 1, HIGHEST))
    return Town(view, street, waterline, int(view.across(0.645)), usual, tiers, step)


def build_town(painting: Painting, town: Town) -> None:
    """Lay the hillside, the church, and the houses from the highest tier down to the street."""
    whole = _town_patch(painting, town)
    for tier in range(town.tiers - 1, -1, -1):
        patch = _town_patch(painting, town)
        if tier == town.tiers - 1:
            _build_church(patch, town)
        _grow_hillside(patch, town, tier + 1)
        _build_tier(patch, town, tier)
        lay(whole, patch)
    mirror(painting, whole, town.waterline, 0.85)
    lay(painting, whole)


def _town_patch(painting: Painting, town: Town) -> Patch:
    left = town.left - round(0.06 * town.view.unit)
    top = int(town.view.horizon - 0.60 * town.view.unit)
    return painting.patch(Area(left, top, town.view.columns - left, town.street - top))


def _build_tier(patch: Patch, town: Town, tier: int) -> None:
    chance = town.view.chance(f"houses of tier {tier}")
    far = 0.50 * tier / max(town.tiers - 1, 1)
    usual = town.usual * (1 - 0.30 * tier / max(town.tiers, 1))
    column = round(town.left + tier * usual * 0.55 - (tier > 0) * usual * 0.3)
    while column < town.view.columns:
        width = max(3, round(usual * chance.between(0.70, 1.30)))
        height = max(2, round(usual * chance.between(0.75, 1.45)))
        base = town.base(tier, column + width / 2)
        house = House(column, base, width, height, far, tier == 0 and chance.happens(0.5))
        build_house(patch, house, chance.one_of(WALLS), chance)
        column += width + (round(usual * chance.between(0.15, 0.6)) if chance.happens(0.18) else 0)


def _grow_hillside(patch: Patch, town: Town, tier: int) -> None:
    """Trees and rocks that show wherever no house stands, up to the height of a tier."""
    area, view = patch.area, town.view
    if area.empty:
        return
    across = middles(area.column, area.right)
    skyline = _treetops(across, town, tier)
    rows = middles(area.row, area.bottom)[:, None]
    mask = rows > skyline[None, :]
    noise = Noise(view.chance("leaves").salt())
    size = max(1.5, 0.012 * view.unit)
    leaves = noise.layered(across[None, :] / size, rows / (0.8 * size), 2)
    colours = LEAVES * (0.55 + 0.75 * leaves + 0.12 * (grain(area) - 0.5))[..., None]
    patch.colours[mask] = np.clip(np.rint(colours), 0, 255).astype(np.uint8)[mask]
    patch.stuff[mask] = Stuff.LAND
    patch.labels[mask] = 252


def _treetops(across: NDArray[np.float64], town: Town, tier: int) -> NDArray[np.float64]:
    noise = Noise(town.view.chance(f"trees {tier}").salt())
    bumps = noise.layered(across / (0.35 * town.usual), np.array(2.5), 3)
    bases = np.array([town.base(tier - 1, float(column)) for column in across], np.float64)
    begin = town.left + (tier - 1) * town.usual * 0.45 - 0.5 * town.usual
    share = np.clip((across - begin) / (1.2 * town.usual), 0, 1)
    return np.asarray(town.street - (town.street - bases + 0.55 * town.usual * bumps) * share)


def _build_church(patch: Patch, town: Town) -> None:
    """The harbour church: a tower with a lit clock and a spire."""
    unit = town.view.unit
    width = max(2, round(0.046 * unit))
    left, top = round(town.view.across(0.845)), town.street - round(0.40 * unit)
    walls = Area(left, top, width, town.street - top)
    patch.box(walls, TOWER)
    patch.needlework.frame(walls, Ink.OUTLINE)
    corners = [(left - 0.5, top), (left + width / 2, top - 0.14 * unit), (left + width + 0.5, top)]
    patch.polygon(corners, SPIRE)
    patch.needlework.outline(corners)
    middle = (left + width / 2, top + width * 0.75)
    patch.disc(middle, max(width * 0.30, 0.8), CLOCK)
    if width >= 5:
        patch.needlework.outline(disc(middle, width * 0.30, width * 0.30, 12))
        patch.needlework.back(middle, (middle[0], middle[1] - width * 0.22), Ink.OUTLINE)
        patch.needlework.back(middle, (middle[0] + width * 0.15, middle[1] + 0.5), Ink.OUTLINE)
