"""The quay: its wall, its lanterns and their reflections, and the cranes."""

import numpy as np

from stitchview.chart.area import Area
from stitchview.chart.colour import Colour
from stitchview.chart.harbour.chance import Chance
from stitchview.chart.harbour.easel import Coat, Painting, Patch, lay
from stitchview.chart.harbour.needlework import Ink
from stitchview.chart.harbour.shapes import Point
from stitchview.chart.harbour.town import CLOCK, build_town, plan_town
from stitchview.chart.harbour.view import View
from stitchview.chart.harbour.water import mirror

STONE = Coat(Colour.from_hex("#5A4C68"), down=-0.55, grain=0.22)
COPING = Coat(Colour.from_hex("#9C7F8C"), grain=0.08)
STEEL = Coat(Colour.from_hex("#3A3052"), across=-0.4)
CABIN = Coat(Colour.from_hex("#A04A45"), across=-0.4)
LEFT_END = 0.505


def build_quay(painting: Painting, view: View) -> None:
    """Lay the town, and before it the quay wall with its lanterns."""
    street = view.below_horizon(0.085)
    waterline = street + max(1, round(0.055 * view.unit))
    build_town(painting, plan_town(view, street, waterline))
    left, top = int(view.across(LEFT_END)), street - round(0.08 * view.unit) - 3
    patch = painting.patch(Area(left, top, view.columns - left, waterline - top))
    _build_wall(patch, view, (street, waterline))
    mirror(painting, patch, waterline, 0.85)
    lay(painting, patch)


def build_cranes(painting: Painting, view: View) -> None:
    """Lay two dockside cranes at the free end of the quay."""
    street = view.below_horizon(0.085)
    for share, height, reach in ((0.545, 0.34, -0.17), (0.615, 0.29, -0.13)):
        unit = view.unit
        area = Area(int(view.across(share) - 0.3 * unit), int(street - 0.45 * unit), int(0.5 * unit), 0)
        area = Area(area.column, area.row, area.columns, street - area.row)
        patch = painting.patch(area)
        _build_crane(patch, (view.across(share), street), (height * unit, reach * unit))
        mirror(painting, patch, street + max(1, round(0.055 * unit)), 0.6)
        lay(painting, patch)


def _build_wall(patch: Patch, view: View, rows: tuple[int, int]) -> None:
    street, waterline = rows
    left = int(view.across(LEFT_END))
    columns = view.columns - left
    stone = Coat(STONE.colour, down=STONE.down, grain=STONE.grain, course=4 if view.unit > 200 else 0)
    patch.box(Area(left, street, columns, waterline - street), stone)
    patch.box(Area(left, street, columns, max(1, round(0.007 * view.unit))), COPING)
    patch.needlework.back((left, street), (view.columns, street), Ink.OUTLINE)
    patch.needlework.back((left, street), (left, waterline), Ink.OUTLINE)
    _hang_lanterns(patch, view, rows, view.chance("lanterns"))


def _hang_lanterns(patch: Patch, view: View, rows: tuple[int, int], chance: Chance) -> None:
    street, waterline = rows
    spacing = max(5.0, 0.085 * view.unit * min(1.0, (500 / view.unit) ** 0.3))
    height = max(2.0, 0.050 * view.unit * min(1.0, (500 / view.unit) ** 0.2))
    for x in np.arange(view.across(LEFT_END) + spacing * 0.4, view.columns - 1, spacing):
        column = float(np.floor(x)) + 0.5
        patch.bar((column, street), (column, street - height), height / 14, STEEL)
        if height > 8:
            patch.disc((column, street - height), max(1.0, height / 9), CLOCK)
        patch.needlework.bead((column, street - height), Ink.LANTERN)
        for step in range(3):
            below = waterline + (0.5 + step * 1.4 + chance.share()) * max(1.0, 0.02 * view.unit)
            if below < view.rows:
                patch.needlework.bead((column + chance.between(-0.6, 0.6), below), Ink.LANTERN)


def _build_crane(patch: Patch, foot: tuple[float, int], size: tuple[float, float]) -> None:
    (x, street), (height, reach) = foot, size
    leg = height * 0.085
    waist, top = street - height * 0.42, street - height
    if height < 8:
        return
    for side in (-1, 1):
        patch.bar((x + side * leg * 1.6, street), (x + side * leg, waist), leg * 0.28, STEEL)
    patch.bar((x - leg * 1.3, waist), (x + leg * 1.3, waist), leg * 0.4, STEEL)
    patch.box(Area(round(x - leg), round(waist - leg * 1.8), max(2, round(leg * 2)), round(leg * 1.8)), CABIN)
    tip = (x + reach, top)
    patch.bar((x - leg * 0.4, waist - leg), tip, leg * 0.26, STEEL)
    mast = (x + leg * 0.8, waist - height * 0.36)
    patch.bar((x + leg * 0.8, waist - leg), mast, leg * 0.26, STEEL)
    needle = patch.needlework
    needle.straight(mast, tip, Ink.RIGGING)
    needle.straight(mast, (x + leg * 1.4, waist - leg), Ink.RIGGING)
    hook = (tip[0], top + height * 0.42)
    needle.straight(tip, hook, Ink.RIGGING)
    needle.bead(hook, Ink.PORT)
    _lattice_jib(patch, (x - leg * 0.4, waist - leg), tip, leg)


def _lattice_jib(patch: Patch, foot: Point, tip: Point, leg: float) -> None:
    """The open lattice under the jib, in back stitch, where there is room for it."""
    steps = min(16, int((foot[1] - tip[1]) / 5))
    if steps < 8:
        return
    shares = [number / steps for number in range(steps + 1)]
    across, down = tip[0] - foot[0], tip[1] - foot[1]
    upper = [(foot[0] + across * share, foot[1] + down * share) for share in shares]
    lower = [(x - leg * 0.3, y + leg * 0.8 * (1 - at)) for (x, y), at in zip(upper, shares, strict=True)]
    for number in range(steps):
        patch.needlework.back(upper[number], lower[number + 1], Ink.OUTLINE)
        patch.needlework.back(lower[number], lower[number + 1], Ink.OUTLINE)
        patch.needlework.back(lower[number], upper[number], Ink.OUTLINE)
