"""Back stitch, knots and beads: finding those in an area, and drawing them finely."""

import itertools
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QRect, QRectF, Qt
from PySide6.QtGui import QColor, QPainter

from stitchview.canvas.inks import Inks
from stitchview.canvas.itemindex import BlockIndex, Indices, Reaches
from stitchview.canvas.itemsprites import ItemSprites, LineForm, PointForm
from stitchview.chart.area import Area
from stitchview.chart.model import Chart
from stitchview.chart.stitches import LineKind, Lines
from stitchview.done.change import DONE, FIRST_STATES

SMALLEST_FINE = 10
SMALLEST_TWO_WIDE = 8
# So many bars are drawn sooner than it is seen which of them join.
FEW = 32

States = NDArray[np.uint8]
Wholes = NDArray[np.int32]


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
        left, right = np.minimum(lines.x1, lines.x2), np.maximum(lines.x1, lines.x2)
        top, bottom = np.minimum(lines.y1, lines.y2), np.maximum(lines.y1, lines.y2)
        spans = Reaches(left // 2, top // 2, right // 2, bottom // 2)
        self._lines = BlockIndex(spans, chart.columns, chart.rows)
        x, y = points.x // 2, points.y // 2
        self._points = BlockIndex(Reaches(x, y, x, y), chart.columns, chart.rows)

    def near(self, area: Area) -> "Near":
        """Give the lines and points that may be in `area`, for asking more exactly about parts of it."""
        return Near(self.chart, self._lines.near(area), self._points.near(area))

    def lines_in(self, area: Area) -> Indices:
        """Give the lines that touch `area`, its border included."""
        return self.near(area).lines_in(area)

    def points_in(self, area: Area) -> Indices:
        """Give the knots and beads in `area`, its border included."""
        return self.near(area).points_in(area)


@dataclass(frozen=True)
class Near:
    """Lines and points of a chart that may be in some area."""

    chart: Chart
    lines: Indices
    points: Indices

    def __bool__(self) -> bool:
        return len(self.lines) > 0 or len(self.points) > 0

    def lines_in(self, area: Area) -> Indices:
        """Give those lines that touch `area`, its border included."""
        lines, found = self.chart.lines, self.lines
        if not len(found):
            return found
        x1, y1, x2, y2 = lines.x1[found], lines.y1[found], lines.x2[found], lines.y2[found]
        kept = (np.maximum(x1, x2) >= 2 * area.column) & (np.minimum(x1, x2) <= 2 * area.right)
        kept &= (np.maximum(y1, y2) >= 2 * area.row) & (np.minimum(y1, y2) <= 2 * area.bottom)
        slanted = np.flatnonzero(kept & (x1 != x2) & (y1 != y2))
        if len(slanted):
            kept[slanted] = _crosses(x1[slanted], y1[slanted], x2[slanted], y2[slanted], area)
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
    """What fine drawing needs: inks, ready pictures, pixels to a square, whether dimmed, whether worked."""

    inks: Inks
    sprites: ItemSprites
    pitch: int
    dimmed: int
    worked: bool


def draw_lines(painter: QPainter, near: Near, states: States, area: Area, pencil: Pencil) -> None:
    """Draw the lines of `area`: level and upright ones as bars, and over them the others.

    The painter's origin is the chart's corner, in device pixels. What lies over what never depends on
    what is exposed: bars lie in the order of their codes, each thread over its own rims, and the others
    in the chart's order.
    """
    found = near.lines_in(area.grown(1))
    if not len(found):
        return
    codes = pencil.inks.codes(near.chart.lines.keys[found], states[found])
    bars = is_straight(near.chart.lines, found)
    if pencil.worked:
        # Worked back stitch shows stitch by stitch, which bars cannot.
        bars &= ~((codes // pencil.inks.count == DONE) & (near.chart.lines.kinds[found] == LineKind.BACK))
    _draw_bars(painter, near.chart.lines, found[bars], codes[bars], pencil)
    _draw_slanted(painter, near.chart.lines, (found[~bars], codes[~bars]), area, pencil)


def _draw_bars(painter: QPainter, lines: Lines, found: Indices, codes: Indices, pencil: Pencil) -> None:
    """Draw level and upright lines with edges on whole pixels: of each thread all rims, then all lines."""
    inks, rim = pencil.inks, pencil.sprites.rim
    places = _places(lines, found, pencil.pitch)
    for code in np.unique(codes).tolist():
        width = pencil.sprites.bar_width(inks.state(code) == DONE)
        bars = places[codes == code]
        bars = _widened(_joined(bars) if len(bars) > FEW else bars, width)
        level = bars[:, 2:3] > bars[:, 3:]
        for colour, more in inks.coats(code, pencil.dimmed, rim):
            side = int(more) // 2
            _fill(painter, bars + np.where(level, (0, -side, 0, 2 * side), (-side, 0, 2 * side, 0)), colour)


def _joined(places: NDArray[np.int32]) -> NDArray[np.int32]:
    """Join what lies end to end on one line: outlines are mostly drawn square by square."""
    upright = places[:, 2] == 0
    joined = []
    for mine, across in ((places[~upright], 0), (places[upright], 1)):
        if not len(mine):
            continue
        beside, start, size = mine[:, 1 - across], mine[:, across], mine[:, 2 + across]
        order = np.lexsort((start, beside))
        beside, start, end = beside[order], start[order], (start + size)[order]
        # Rows and columns are set so far apart that the furthest end reached never reaches another one.
        reached = np.maximum.accumulate(end + beside.astype(np.int64) * _FAR)
        new = np.append(True, start[1:] + beside[1:].astype(np.int64) * _FAR > reached[:-1])
        first = np.flatnonzero(new)
        last = np.append(first[1:], len(new)) - 1
        whole = np.zeros((len(first), 4), np.int32)
        whole[:, 1 - across], whole[:, across] = beside[first], start[first]
        whole[:, 2 + across] = reached[last] - beside[last].astype(np.int64) * _FAR - start[first]
        joined.append(whole)
    return np.concatenate(joined)


_FAR = 1 << 24


def _places(lines: Lines, found: Indices, pitch: int) -> NDArray[np.int32]:
    """Give left, top, width and height of lines without their own width, in pixels: shape (n, 4)."""
    x1, y1, x2, y2 = (ends[found] * pitch >> 1 for ends in (lines.x1, lines.y1, lines.x2, lines.y2))
    left, top = np.minimum(x1, x2), np.minimum(y1, y2)
    return np.stack([left, top, np.abs(x2 - x1), np.abs(y2 - y1)], 1)


def _widened(places: NDArray[np.int32], width: int) -> NDArray[np.int32]:
    wide: NDArray[np.int32] = places + np.array((-(width // 2), -(width // 2), width, width), np.int32)
    return wide


def _fill(painter: QPainter, places: NDArray[np.int32], colour: QColor) -> None:
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(colour)
    # QRectF is rounded; of QRect Qt would cut off the part of a pixel by which scaled screens shift it.
    painter.drawRects(list(itertools.starmap(QRectF, places.tolist())))


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

    Only those to do and done: the others have forms, and are drawn pixel by pixel.
    """
    lines, pitch = near.chart.lines, pencil.pitch
    found = near.lines_in(area.grown(1))
    found = found[is_straight(lines, found) & (states[found] < FIRST_STATES)]
    if not len(found):
        return
    codes = pencil.inks.codes(lines.keys[found], states[found])
    width = 1 if pitch < SMALLEST_TWO_WIDE else 2
    places = _widened(_places(lines, found, pitch), width)
    for code in np.unique(codes).tolist():
        _fill(painter, places[codes == code], pencil.inks.thread(code, pencil.dimmed))


def is_straight(lines: Lines, found: Indices) -> NDArray[np.bool_]:
    """Tell which of the lines `found` are level or upright."""
    straight: NDArray[np.bool_] = (lines.x1[found] == lines.x2[found]) | (lines.y1[found] == lines.y2[found])
    return straight


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
