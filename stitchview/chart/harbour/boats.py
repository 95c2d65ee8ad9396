"""Fishing boats and sailing boats, with masts, rigging and lights, each mirrored in the water."""

from dataclasses import dataclass

from stitchview.chart.area import Area
from stitchview.chart.colour import Colour
from stitchview.chart.harbour.chance import Chance
from stitchview.chart.harbour.easel import Coat, Painting, Patch, Stuff, lay
from stitchview.chart.harbour.needlework import Ink
from stitchview.chart.harbour.shapes import Point, arc
from stitchview.chart.harbour.view import View
from stitchview.chart.harbour.water import mirror

HULLS = ("#2F5E73", "#7C2F3F", "#2E5A50", "#3B4377", "#8A5A3C")
BOTTOM = Coat(Colour.from_hex("#5A2436"))
RAIL = Coat(Colour.from_hex("#D8B9A8"), across=-0.3)
CABIN = Coat(Colour.from_hex("#CDB9BC"), across=-0.45, down=-0.1)
ROOF = Coat(Colour.from_hex("#6E3A48"), across=-0.4)
WOOD = Coat(Colour.from_hex("#5B3B45"), across=-0.5)
PANE = Coat(Colour.from_hex("#FFD777"), Stuff.LIGHT)
SAILS = ("#B5523F", "#C9784A", "#D9C3B0", "#8C3F4B")
NET = Coat(Colour.from_hex("#3E6A6B"), grain=0.5)
FLAG = Coat(Colour.from_hex("#C2394B"), across=0.5)


@dataclass(frozen=True, slots=True)
class Berth:
    """Where a boat lies: the column of its middle, its waterline, its length, and which way it looks.

    `bow` is 1 when it looks to the right and -1 to the left.
    """

    middle: float
    waterline: int
    length: float
    bow: int
    colour: str

    def at(self, along: float, up: float) -> Point:
        """The point `along` (-0.5 stern to 0.5 bow) and `up` from the water, in shares of the length."""
        return self.middle + self.bow * along * self.length, self.waterline - up * self.length

    def figure(self, *corners: Point) -> list[Point]:
        """The points of a figure on the boat, each given as for `at`."""
        return [self.at(along, up) for along, up in corners]


def float_boats(painting: Painting, view: View) -> None:
    """Lay all boats, the farthest first."""
    chance = view.chance("boats")
    plan = [
        (0.335, 0.035, 0.060, 1, "sail"),
        (0.455, 0.060, 0.080, 1, "sail"),
        (0.90, 0.30, 0.21, -1, "trawler"),
        (0.64, 0.38, 0.25, -1, "trawler"),
        (0.145, 0.42, 0.20, 1, "sail"),
        (0.84, 0.62, 0.13, 1, "dinghy"),
        (0.36, 0.66, 0.40, 1, "trawler"),
        (0.66, 0.86, 0.15, -1, "dinghy"),
    ]
    for share, depth, length, bow, kind in plan:
        colour = chance.one_of(SAILS if kind == "sail" else HULLS)
        _float(painting, Berth(*_place(view, share, depth), length * view.unit, bow, colour), kind)


def _place(view: View, share: float, depth: float) -> tuple[float, int]:
    return view.across(share), view.below_horizon(depth)


def _float(painting: Painting, berth: Berth, kind: str) -> None:
    if berth.length < 3:
        return
    reach, height = berth.length * 0.70, berth.length * 1.25
    area = Area(int(berth.middle - reach), int(berth.waterline - height), int(2 * reach), int(height) + 1)
    area = Area(area.column, area.row, area.columns, berth.waterline - area.row)
    patch = painting.patch(area)
    builders = {"trawler": _trawler, "sail": _sailing_boat, "dinghy": _dinghy}
    builders[kind](patch, berth)
    mirror(painting, patch, berth.waterline, 0.86)
    lay(painting, patch)


def _hull(patch: Patch, berth: Berth, height: float, coat: Coat) -> None:
    """A hull with a rising bow, a pale rail and a red bottom just above the water."""
    sheer = [(-0.50, 0.92), (-0.30, 0.78), (0.0, 0.76), (0.25, 0.98), (0.42, 1.34), (0.52, 1.62)]
    top = [berth.at(along, up * height) for along, up in sheer]
    foot = [berth.at(0.40, 0.0), berth.at(-0.46, 0.0)]
    patch.cover([*top, *foot], coat)
    rail = [berth.at(along, up * height - 0.16 * height) for along, up in reversed(sheer)]
    patch.polygon([*top, *rail], RAIL)
    keel = [berth.at(-0.465, 0.16 * height), berth.at(0.425, 0.16 * height), *foot]
    if 0.16 * height * berth.length >= 0.8:
        patch.polygon(keel, BOTTOM)
    if berth.length > 8:
        patch.needlework.path([foot[1], *top, foot[0]], Ink.OUTLINE)
        patch.needlework.path(rail, Ink.OUTLINE)


def _trawler(patch: Patch, berth: Berth) -> None:
    needle, size = patch.needlework, berth.length
    planks = max(4, round(size / 60)) if size > 60 else 0
    coat = Coat(Colour.from_hex(berth.colour), across=-0.45, down=-0.5, course=planks)
    fore, aft = berth.at(0.22, 0.72), berth.at(-0.36, 0.50)
    thick = size * 0.014
    patch.bar(berth.at(0.22, 0.10), fore, thick, WOOD)
    patch.bar(berth.at(-0.36, 0.10), aft, thick, WOOD)
    boom = berth.at(-0.02, 0.46)
    patch.bar(berth.at(0.21, 0.20), boom, thick * 0.8, WOOD)
    _net(patch, berth)
    _wheelhouse(patch, berth)
    _hull(patch, berth, 0.15, coat)
    _rig(patch, berth, fore, aft)
    needle.straight(fore, boom, Ink.RIGGING)
    _flag(patch, aft, berth)
    needle.bead(berth.at(0.22, 0.60), Ink.LANTERN)
    needle.bead(berth.at(-0.36, 0.40), Ink.PORT if berth.bow > 0 else Ink.STARBOARD)
    if size > 30:
        for along in (-0.32, -0.22, -0.12):
            needle.knot(berth.at(along, 0.075), Ink.FRAME)
        needle.path(arc(berth.at(0.52, 0.24), berth.at(0.66, 0.02), size * 0.02, 3), Ink.RIGGING)


def _rig(patch: Patch, berth: Berth, fore: Point, aft: Point) -> None:
    needle = patch.needlework
    needle.straight(fore, berth.at(0.52, 0.24), Ink.RIGGING)
    needle.straight(fore, aft, Ink.RIGGING)
    needle.straight(aft, berth.at(-0.50, 0.14), Ink.RIGGING)
    shrouds = (0.13, 0.30) if berth.length < 60 else (0.10, 0.14, 0.29, 0.33)
    for along in shrouds:
        needle.back(berth.at(0.22, 0.66), berth.at(along, 0.13), Ink.RIGGING)
    if berth.length < 60:
        return
    # Ratlines: the rungs between the shrouds.
    for rung in range(1, 8):
        share = rung / 8
        left = 0.10 + (0.22 - 0.10) * share
        right = 0.14 + (0.22 - 0.14) * share
        needle.back(berth.at(left, 0.13 + 0.53 * share), berth.at(right, 0.13 + 0.53 * share), Ink.RIGGING)


def _wheelhouse(patch: Patch, berth: Berth) -> None:
    needle = patch.needlework
    walls = berth.figure((-0.30, 0.08), (-0.30, 0.31), (-0.07, 0.31), (-0.07, 0.08))
    roof = berth.figure((-0.33, 0.30), (-0.31, 0.345), (-0.06, 0.345), (-0.03, 0.30))
    outlined = berth.length > 10
    patch.polygon(walls, CABIN)
    if outlined:
        needle.outline(walls)
    patch.cover(roof, ROOF)
    if outlined:
        needle.outline(roof)
    pane = 0.055
    for along in (-0.275, -0.20, -0.125):
        corner, opposite = berth.at(along, 0.275), berth.at(along + pane, 0.205)
        left, right = sorted((corner[0], opposite[0]))
        top, bottom = corner[1], opposite[1]
        window = Area(round(left), round(top), max(1, round(right - left)), max(1, round(bottom - top)))
        if berth.length > 14 or along == -0.20:
            patch.box(window, PANE)
        if window.columns >= 2:
            needle.frame(window, Ink.OUTLINE)


def _net(patch: Patch, berth: Berth) -> None:
    if berth.length < 16:
        return
    heap = berth.figure((-0.04, 0.11), (0.0, 0.17), (0.06, 0.19), (0.13, 0.15), (0.17, 0.11))
    patch.polygon(heap, NET)
    for along, up in ((0.0, 0.15), (0.05, 0.175), (0.10, 0.15)):
        patch.needlework.knot(berth.at(along, up), Ink.LANTERN)


def _flag(patch: Patch, mast: Point, berth: Berth) -> None:
    size = berth.length * 0.06
    if size < 1.5:
        return
    x, y = mast
    corners = [(x, y), (x - size * 1.7, y + size * 0.35), (x, y + size)]
    patch.polygon(corners, FLAG)
    patch.needlework.outline(corners)


def _sailing_boat(patch: Patch, berth: Berth) -> None:
    needle = patch.needlework
    sail = Coat(Colour.from_hex(berth.colour), across=0.35 * berth.bow, down=-0.12)
    pale = Coat(Colour.from_hex("#E2CDB8"), across=0.3 * berth.bow, down=-0.15)
    head = berth.at(0.06, 1.15)
    main = [berth.at(0.04, 1.08), berth.at(0.03, 0.22), berth.at(-0.46, 0.20), berth.at(-0.22, 0.70)]
    jib = [berth.at(0.09, 0.98), berth.at(0.50, 0.20), berth.at(0.10, 0.24)]
    patch.polygon(main, sail)
    patch.polygon(jib, pale)
    patch.bar(berth.at(0.06, 0.10), head, berth.length * 0.018, WOOD)
    _hull(patch, berth, 0.12, Coat(Colour.from_hex("#3A2C48"), across=-0.4))
    if berth.length > 8:
        needle.outline(main)
        needle.outline(jib)
        needle.straight(head, berth.at(0.52, 0.19), Ink.RIGGING)
        needle.straight(head, berth.at(-0.50, 0.11), Ink.RIGGING)
    if berth.length > 30:
        for share in (0.30, 0.55, 0.78):
            luff = berth.at(0.035, 0.22 + 0.86 * share)
            leech = berth.at(-0.46 + 0.40 * share, 0.20 + 0.80 * share)
            needle.back(luff, leech, Ink.RIGGING)
    needle.bead(head, Ink.LANTERN)


def _dinghy(patch: Patch, berth: Berth) -> None:
    coat = Coat(Colour.from_hex(berth.colour), across=-0.3, down=-0.5)
    if berth.length > 14:
        patch.bar(berth.at(-0.20, 0.16), berth.at(0.16, 0.13), 0.02 * berth.length, WOOD)
        patch.needlework.back(berth.at(-0.02, 0.20), berth.at(-0.34, 0.02), Ink.RIGGING)
    _hull(patch, berth, 0.17, coat)
    patch.needlework.knot(berth.at(0.36, 0.20), Ink.LANTERN)


def moor(painting: Painting, view: View, chance: Chance) -> None:
    """Mooring piles in the near water, one with a lantern."""
    unit = view.unit
    if unit < 20:
        return
    for share, height in ((0.035, 0.20), (0.075, 0.155), (0.96, 0.16)):
        x, foot = view.across(share), view.below_horizon(0.93 + 0.03 * chance.share())
        width = max(1, round(0.020 * unit))
        top = foot - round(height * unit)
        patch = painting.patch(Area(int(x) - 2 * width, top - width, 4 * width + 1, foot - top + width))
        pile = Area(int(x) - width // 2, top, width, foot - top)
        patch.box(pile, Coat(WOOD.colour, across=-0.9, grain=0.25))
        patch.box(Area(pile.column, top, width, max(1, width // 3)), RAIL)
        patch.needlework.frame(pile, Ink.OUTLINE)
        patch.needlework.bead((pile.column + width / 2, float(top)), Ink.LANTERN)
        mirror(painting, patch, foot, 0.8)
        lay(painting, patch)
