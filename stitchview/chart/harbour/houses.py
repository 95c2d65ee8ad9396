"""Gabled houses and warehouses with lit windows, doors and chimneys."""

from dataclasses import dataclass

from stitchview.chart.area import Area
from stitchview.chart.colour import Colour
from stitchview.chart.harbour.chance import Chance
from stitchview.chart.harbour.easel import Coat, Patch, Stuff
from stitchview.chart.harbour.needlework import Ink
from stitchview.chart.harbour.shapes import Point, corners_of

ROOFS = ("#4A2F4A", "#5C3346", "#3B3A58", "#6B3D46", "#43344F")
WINDOW_LIGHTS = ("#FFD873", "#FFC25A", "#FFE79A", "#FBAF4E")
DARK_PANE = Coat(Colour.from_hex("#2A2D52"), down=0.35)
DOOR = Coat(Colour.from_hex("#3A2338"), across=0.2)
CHIMNEY = Coat(Colour.from_hex("#57344A"), across=-0.3)
DUSK = Colour.from_hex("#7B5C88")
STAGE = Coat(Colour.from_hex("#33263F"))


@dataclass(frozen=True, slots=True)
class House:
    """A house of whole squares: the `left` column, the row below its walls, its width and wall height.

    `distance` from 0 (near) to 1 (lost in the haze) pales it; `shop` gives it a row of wide windows.
    """

    left: int
    base: int
    width: int
    height: int
    distance: float = 0.0
    shop: bool = False

    @property
    def eaves(self) -> int:
        """The first row of the walls."""
        return self.base - self.height

    @property
    def walls(self) -> Area:
        """The squares of the walls."""
        return Area(self.left, self.eaves, self.width, self.height)


def build_house(patch: Patch, house: House, colour: str, chance: Chance) -> None:
    """Paint one house, with its outlines, window frames and lights."""
    wall = Colour.from_hex(colour).mixed(DUSK, house.distance)
    course = 3 if house.width > 24 else 0
    roof_height = round(house.width * chance.between(0.34, 0.60))
    _raise_chimney(patch, house, roof_height, chance)
    patch.cover(corners_of(house.walls), Coat(wall, across=-0.22, down=-0.10, grain=0.05, course=course))
    patch.needlework.frame(house.walls, Ink.OUTLINE)
    _roof(patch, house, roof_height, chance)
    _glaze(patch, house, chance)


def _raise_chimney(patch: Patch, house: House, roof_height: int, chance: Chance) -> None:
    if house.width < 5 or chance.happens(0.25):
        return
    width = max(1, round(house.width * 0.10))
    left = house.left + round(house.width * chance.one_of((0.12, 0.68, 0.78)))
    stack = Area(left, house.eaves - round(roof_height * 1.05), width, round(roof_height * 1.05))
    patch.box(stack, CHIMNEY)
    patch.needlework.frame(stack, Ink.OUTLINE)


def _roof(patch: Patch, house: House, height: int, chance: Chance) -> None:
    left, right, eaves = house.left, house.left + house.width, house.eaves
    ridge, over = eaves - height, max(0.5, round(house.width * 0.04))
    middle = (left + right) / 2
    course = 2 if house.width > 30 else 0
    slate = Colour.from_hex(chance.one_of(ROOFS)).mixed(DUSK, house.distance)
    tiles = Coat(slate, across=-0.45, grain=0.08, course=course)
    shape = chance.share()
    if shape < 0.40:
        corners: list[Point] = [(left - over, eaves), (middle, ridge), (right + over, eaves)]
        gable = Coat(tiles.colour.mixed(Colour.from_hex("#C77F78"), 0.30), across=-0.4, grain=0.06)
        patch.cover(corners, gable)
        _hang_gable(patch, house, ridge, chance)
    elif shape < 0.80:
        inset = house.width * chance.between(0.14, 0.24)
        corners = [(left - over, eaves), (left + inset, ridge), (right - inset, ridge), (right + over, eaves)]
        patch.cover(corners, tiles)
        _set_dormers(patch, house, height, chance)
    else:
        inset = house.width * 0.20
        knee = eaves - round(height * 0.65)
        corners = [(left - over, eaves), (left + inset / 2, knee), (middle, ridge - 1)]
        corners += [(right - inset / 2, knee), (right + over, eaves)]
        patch.cover(corners, tiles)
        _hang_gable(patch, house, ridge, chance)
    patch.needlework.outline(corners)


def _hang_gable(patch: Patch, house: House, ridge: int, chance: Chance) -> None:
    """A lit attic window and, on a warehouse, the beam of its hoist with a rope."""
    size = max(1, round(house.width * 0.11))
    middle = house.left + house.width // 2
    window = Area(middle - (size + 1) // 2, ridge + round((house.eaves - ridge) * 0.55), size, size)
    if house.width >= 7:
        _window(patch, window, chance.happens(0.6), chance)
    if house.shop and house.width >= 12:
        reach = house.width * 0.13
        top = ridge + (house.eaves - ridge) * 0.42
        patch.needlework.back((middle, top), (middle + reach, top), Ink.OUTLINE)
        patch.needlework.straight((middle + reach, top), (middle + reach, house.eaves + 2), Ink.RIGGING)


def _set_dormers(patch: Patch, house: House, height: int, chance: Chance) -> None:
    size = max(1, round(house.width * 0.10))
    if house.width < 12:
        return
    for share in (0.30, 0.64):
        left = house.left + round(house.width * share)
        top = house.eaves - round(height * 0.55)
        cap: list[Point] = [(left - 1, top), (left + size / 2, top - size * 0.8), (left + size + 1, top)]
        patch.polygon(cap, STAGE)
        patch.needlework.outline(cap)
        _window(patch, Area(left, top, size, size), chance.happens(0.55), chance)


def _glaze(patch: Patch, house: House, chance: Chance) -> None:
    """Rows of windows, with a door and perhaps wide shop windows on the ground floor."""
    pane = max(1, round(house.width * chance.between(0.10, 0.15)))
    tall = max(1, round(pane * 1.45))
    in_a_row = max(1, int(house.width / (pane * 2.3)))
    floors = max(1, int(house.height / (tall * 1.95)))
    gap = (house.width - in_a_row * pane) / (in_a_row + 1)
    storey = house.height / floors
    door = chance.one_of(range(in_a_row))
    lit = chance.between(0.35, 0.75)
    for floor in range(floors):
        top = house.eaves + round(storey * floor + (storey - tall) * 0.5)
        for place in range(in_a_row):
            left = house.left + round(gap + place * (pane + gap))
            if floor == floors - 1 and place == door and house.width >= 6:
                _door(patch, Area(left, top, pane + 1, house.base - top))
            else:
                _window(patch, Area(left, top, pane, tall), chance.happens(lit), chance)


def _door(patch: Patch, door: Area) -> None:
    patch.box(door, DOOR)
    patch.needlework.frame(door, Ink.OUTLINE)
    if door.columns >= 3:
        patch.needlework.knot((door.column + door.columns - 0.5, door.row + door.rows / 2), Ink.LANTERN)


def _window(patch: Patch, window: Area, lit: bool, chance: Chance) -> None:
    glow = Coat(Colour.from_hex(chance.one_of(WINDOW_LIGHTS)), Stuff.LIGHT, down=-0.14)
    patch.box(window, glow if lit else DARK_PANE)
    middle = (window.column + window.columns / 2, window.row + window.rows / 2)
    if window.columns < 2:
        if lit and chance.happens(0.3):
            patch.needlework.knot(middle, Ink.WINDOW)
        return
    patch.needlework.frame(window, Ink.FRAME if lit else Ink.OUTLINE)
    if window.columns >= 3:
        bottom, right = float(window.bottom), float(window.right)
        patch.needlework.back((middle[0], window.row), (middle[0], bottom), Ink.OUTLINE)
        patch.needlework.back((window.column, middle[1]), (right, middle[1]), Ink.OUTLINE)
