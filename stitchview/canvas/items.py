"""Back stitch, knots and beads: finding those in an area, and drawing them finely."""

import functools
import itertools
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QRect
from PySide6.QtGui import QColor, QPainter

from stitchview.canvas.bars import Bars, Drawn, Form, States, Wholes, forms, is_straight
from stitchview.canvas.inks import Inks
from stitchview.canvas.itemindex import BlockIndex, Indices, Reaches
from stitchview.canvas.itemsprites import ItemSprites, LineForm, PointForm
from stitchview.chart.area import Area
from stitchview.chart.model import Chart
from stitchview.chart.stitches import LineKind, Lines
from stitchview.done.change import DONE, FIRST_STATES, OPEN, STATES

SMALLEST_FINE = 10
SMALLEST_TWO_WIDE = 8
# So many slanted lines are drawn sooner than it is seen which of them only pass by.
FEW = 32

_NONE: Indices = np.zeros(0, np.intp)


@dataclass(frozen=True)
class ItemStates:
    """The states of a chart's part stitches, lines and points, one uint8 for each."""

    parts: States
    lines: States
    points: States


class Items:
    """A chart's lines and points, found by place and given in the chart's order.

    The order never depends on what is exposed, so that a piece drawn anew fits what was there.
    """

    def __init__(self, chart: Chart) -> None:
        self.chart = chart
        lines, points = chart.lines, chart.points
        self.bars = Bars(lines, chart.columns, chart.rows)
        self._slanted = np.flatnonzero(~is_straight(lines, slice(None)))
        x1, y1, x2, y2 = (ends[self._slanted] // 2 for ends in (lines.x1, lines.y1, lines.x2, lines.y2))
        spans = Reaches(np.minimum(x1, x2), np.minimum(y1, y2), np.maximum(x1, x2), np.maximum(y1, y2))
        self._lines = BlockIndex(spans, chart.columns, chart.rows)
        x, y = points.x // 2, points.y // 2
        self._points = BlockIndex(Reaches(x, y, x, y), chart.columns, chart.rows)

    def near(self, area: Area) -> "Near":
        """Give the lines and points that may be in `area`, for asking more exactly about parts of it."""
        slanted = self._lines.near(area)
        if len(slanted):
            slanted = self._slanted[slanted]
        return Near(self.chart, self.bars, self.bars.near(area), slanted, self._points.near(area))

    def slanted_in(self, area: Area) -> Indices:
        """Give the slanted lines that touch `area`, its border included."""
        return self.near(area).slanted_in(area)

    def points_in(self, area: Area) -> Indices:
        """Give the knots and beads in `area`, its border included."""
        return self.near(area).points_in(area)


@dataclass(frozen=True)
class Near:
    """Bars, slanted lines and points of a chart that may be in some area."""

    chart: Chart
    bars: Bars
    straight: Indices
    slanted: Indices
    points: Indices

    def __bool__(self) -> bool:
        return len(self.straight) > 0 or len(self.slanted) > 0 or len(self.points) > 0

    def bars_in(self, area: Area, states: States, forms: NDArray[np.uint8]) -> Drawn:
        """Give what of the bars is in `area`, its border included, in these forms."""
        return self.bars.drawn(self.straight, area, states, forms)

    def slanted_in(self, area: Area) -> Indices:
        """Give those slanted lines that touch `area`, its border included."""
        lines, found = self.chart.lines, self.slanted
        if not len(found):
            return found
        x1, y1, x2, y2 = lines.x1[found], lines.y1[found], lines.x2[found], lines.y2[found]
        kept = (np.maximum(x1, x2) >= 2 * area.column) & (np.minimum(x1, x2) <= 2 * area.right)
        kept &= (np.maximum(y1, y2) >= 2 * area.row) & (np.minimum(y1, y2) <= 2 * area.bottom)
        # A few that only pass by are drawn sooner than they are told from the others.
        if len(found) > FEW and (inside := np.flatnonzero(kept)).size:
            kept[inside] = _crosses(x1[inside], y1[inside], x2[inside], y2[inside], area)
        return found[kept]

    def points_in(self, area: Area) -> Indices:
        """Give those knots and beads that are in `area`, its border included."""
        points, found = self.chart.points, self.points
        if not len(found):
            return found
        x, y = points.x[found], points.y[found]
        kept = (x >= 2 * area.column) & (x <= 2 * area.right) & (y >= 2 * area.row) & (y <= 2 * area.bottom)
        return found[kept]


def _crosses(x: Wholes, y: Wholes, end_x: Wholes, end_y: Wholes, area: Area) -> NDArray[np.bool_]:
    """Tell which lines, made endless, pass through `area`: its corners do not all lie on one side of them."""
    across, down = end_x - x, end_y - y
    sides = [
        (2 * right - x).astype(np.int64) * down - (2 * bottom - y).astype(np.int64) * across
        for right in (area.column, area.right)
        for bottom in (area.row, area.bottom)
    ]
    passed: NDArray[np.bool_] = (np.minimum.reduce(sides) <= 0) & (np.maximum.reduce(sides) >= 0)
    return passed


@dataclass(frozen=True)
class Pencil:
    """What drawing lines needs: inks, ready pictures, pixels a square, whether dimmed, the forms of bars."""

    inks: Inks
    sprites: ItemSprites
    pitch: int
    dimmed: int
    forms: NDArray[np.uint8]


def draw_lines(painter: QPainter, near: Near, states: States, area: Area, pencil: Pencil) -> None:
    """Draw the lines of `area`: level and upright ones as bars, and over them the others.

    The painter's origin is the chart's corner, in device pixels. What lies over what never depends on
    what is exposed: bars lie in the order of their codes, each thread over its own rims, and the others
    in the chart's order.
    """
    around, alone = area.grown(1), _NONE
    if len(near.straight):
        bars = near.bars_in(around, states, pencil.forms)
        _draw_bars(painter, bars, pencil)
        alone = bars.alone
    found = near.slanted_in(around)
    if len(alone):
        found = np.sort(np.concatenate([found, alone]))
    if len(found):
        codes = pencil.inks.codes(near.chart.lines.keys[found], states[found])
        _draw_slanted(painter, near.chart.lines, (found, codes), area, pencil)


def _draw_bars(painter: QPainter, bars: Drawn, pencil: Pencil) -> None:
    """Draw level and upright lines with edges on whole pixels: of each thread all rims, then all lines."""
    inks, rim = pencil.inks, pencil.sprites.rim
    places, level = _places(bars.ends, pencil.pitch), (bars.ends[2] > bars.ends[0])[:, None]
    codes = inks.codes(bars.keys, bars.states)
    for code in sorted(set(codes.tolist())):
        mine = codes == code
        width = pencil.sprites.bar_width(inks.state(code) == DONE)
        thread = _widened(places[mine], width)
        for colour, more in inks.coats(code, pencil.dimmed, rim):
            side = int(more) // 2
            beside = np.where(level[mine], (0, -side, 0, 2 * side), (-side, 0, 2 * side, 0))
            _fill(painter, thread + beside if side else thread, colour)


def _places(ends: Wholes, pitch: int) -> Wholes:
    """Give left, top, width and height of lines without their own width, in pixels: shape (n, 4)."""
    places = (ends * pitch >> 1).T
    places[:, 2:] -= places[:, :2]
    return places


def _widened(places: Wholes, width: int) -> Wholes:
    wide: Wholes = places + np.array((-(width // 2), -(width // 2), width, width), np.int32)
    return wide


def _fill(painter: QPainter, places: Wholes, colour: QColor) -> None:
    fill = painter.fillRect
    for left, top, width, height in places.tolist():
        fill(left, top, width, height, colour)


def _draw_slanted(
    painter: QPainter, lines: Lines, seen: tuple[Indices, Indices], area: Area, pencil: Pencil
) -> None:
    """Draw lines, given with their codes, as pictures that are kept."""
    found, codes = seen
    pitch, sprites = pencil.pitch, pencil.sprites
    x, y = lines.x1[found], lines.y1[found]
    left, top = x * pitch, y * pitch
    columns = (
        (left >> 1).tolist(),
        (top >> 1).tolist(),
        zip(
            (lines.x2[found] - x).tolist(),
            (lines.y2[found] - y).tolist(),
            (left & 1).tolist(),
            (top & 1).tolist(),
            lines.kinds[found].tolist(),
            codes.tolist(),
            itertools.repeat(pencil.dimmed),
            strict=False,
        ),
    )
    shown = QRect(area.column * pitch, area.row * pitch, area.columns * pitch, area.rows * pitch)
    for across, down, told in zip(*columns, strict=True):
        for sprite in sprites.line(told) or sprites.pieces(LineForm(*told), shown.translated(-across, -down)):
            painter.drawPixmap(across + sprite.x, down + sprite.y, sprite.picture)


def draw_small_bars(painter: QPainter, near: Near, states: States, area: Area, pencil: Pencil) -> None:
    """Draw the level and upright lines of `area`, one or two pixels wide, for sizes below fine drawing.

    Those that the pencil's forms leave alone are drawn pixel by pixel.
    """
    if not len(near.straight):
        return
    bars = near.bars_in(area.grown(1), states, pencil.forms)
    codes = pencil.inks.codes(bars.keys, bars.states)
    width = 1 if pencil.pitch < SMALLEST_TWO_WIDE else 2
    places = _widened(_places(bars.ends, pencil.pitch), width)
    for code in sorted(set(codes.tolist())):
        _fill(painter, places[codes == code], pencil.inks.thread(code, pencil.dimmed))


# Asked at every piece of a picture.
@functools.lru_cache(8)
def bar_forms(fine: bool, worked: bool, unseen: bool) -> NDArray[np.uint8]:
    """Give how level and upright lines are drawn: finely or small, `worked`, those to do `unseen` or not."""
    changes: dict[tuple[int, int], Form] = {}
    for kind in LineKind:
        if fine and worked and kind == LineKind.BACK:
            # Worked back stitch shows stitch by stitch, which bars cannot.
            changes[kind, DONE] = Form.ALONE
        if not fine:
            changes |= {(kind, state): Form.ALONE for state in range(FIRST_STATES, STATES)}
        if unseen:
            changes[kind, OPEN] = Form.LEFT_OUT
    return forms(changes)


def draw_points(painter: QPainter, near: Near, states: States, area: Area, pencil: Pencil) -> None:
    """Draw the knots and beads of `area`; the painter's origin is the chart's corner, in device pixels."""
    points, pitch = near.chart.points, pencil.pitch
    found = near.points_in(area.grown(1))
    if not len(found):
        return
    x, y = points.x[found] * pitch, points.y[found] * pitch
    columns = (
        (x >> 1).tolist(),
        (y >> 1).tolist(),
        (x & 1).tolist(),
        (y & 1).tolist(),
        points.kinds[found].tolist(),
        pencil.inks.codes(points.keys[found], states[found]).tolist(),
    )
    for left, top, odd_x, odd_y, kind, code in zip(*columns, strict=True):
        sprite = pencil.sprites.point(PointForm(odd_x, odd_y, kind, code, pencil.dimmed))
        painter.drawPixmap(left + sprite.x, top + sprite.y, sprite.picture)
