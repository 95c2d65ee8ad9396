"""Part stitches, back stitch, knots and beads, drawn finely where they can be told apart."""

import itertools
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QLineF, QPointF, Qt
from PySide6.QtGui import QColor, QPainter, QPen

from stitchview.canvas.atlas import Threads, dimmed_colours, far_colours, packed
from stitchview.canvas.itemindex import Indices, RowIndex
from stitchview.canvas.partsprites import PartSprites
from stitchview.chart.area import Area
from stitchview.chart.model import Chart
from stitchview.chart.stitches import LineKind, PointKind

SMALLEST_PART = 7
SMALLEST_FINE = 12

States = NDArray[np.uint8]


@dataclass(frozen=True)
class ItemStates:
    """The states of a chart's part stitches, lines and points, one uint8 for each."""

    parts: States
    lines: States
    points: States


class Items:
    """A chart's stitches that are not full crosses, found by place and drawn in a fixed order.

    The order never depends on what is exposed, so that a piece drawn anew fits what was there.
    """

    def __init__(self, chart: Chart) -> None:
        self.chart = chart
        parts, lines, points = chart.parts, chart.lines, chart.points
        self._parts = RowIndex(parts.rows, parts.rows, chart.rows)
        top, bottom = np.minimum(lines.y1, lines.y2), np.maximum(lines.y1, lines.y2)
        self._lines = RowIndex(top // 2, bottom // 2, chart.rows)
        self._points = RowIndex(points.y // 2, points.y // 2, chart.rows)

    def parts_in(self, area: Area) -> Indices:
        """Give the part stitches whose square lies in `area`."""
        parts = self.chart.parts
        found = self._parts.within(area.row, area.bottom - 1)
        return found[_inside(parts.columns[found], parts.rows[found], area)]

    def lines_in(self, area: Area) -> Indices:
        """Give the lines whose bounding rectangle touches `area`, its border included."""
        lines = self.chart.lines
        found = self._lines.within(area.row - 1, area.bottom)
        x1, y1, x2, y2 = lines.x1[found], lines.y1[found], lines.x2[found], lines.y2[found]
        kept = (np.maximum(x1, x2) >= 2 * area.column) & (np.minimum(x1, x2) <= 2 * area.right)
        kept &= (np.maximum(y1, y2) >= 2 * area.row) & (np.minimum(y1, y2) <= 2 * area.bottom)
        return found[kept]

    def points_in(self, area: Area) -> Indices:
        """Give the knots and beads in `area`, its border included."""
        points = self.chart.points
        found = self._points.within(area.row - 1, area.bottom)
        x, y = points.x[found], points.y[found]
        kept = (x >= 2 * area.column) & (x <= 2 * area.right) & (y >= 2 * area.row) & (y <= 2 * area.bottom)
        return found[kept]


class Inks:
    """The colours of items by code = state * (key entries + 1) + key number, lit and dimmed."""

    def __init__(self, threads: Threads) -> None:
        colours = far_colours(threads)
        dimmed = dimmed_colours(colours, threads.look)
        self.count = len(threads.key) + 1
        self.packed = packed(colours), packed(dimmed)
        self._colours = [QColor(*row) for row in colours.tolist()], [QColor(*row) for row in dimmed.tolist()]

    def codes(self, keys: NDArray[np.uint16], states: States) -> NDArray[np.intp]:
        """Give the codes of items of these key numbers and states."""
        return states.astype(np.intp) * self.count + keys

    def colour(self, code: int, dimmed: bool) -> QColor:
        """Give the colour of a code for a pen or brush."""
        return self._colours[dimmed][code]


@dataclass(frozen=True)
class Pencil:
    """What fine drawing needs: threads, inks and part pictures, the size, and whether it is dimmed."""

    threads: Threads
    inks: Inks
    sprites: PartSprites
    pitch: int
    dimmed: bool

    def ground_ink(self, faded: bool = False) -> QColor:
        """Give the ink of outlines."""
        look = self.threads.look
        ink = look.ground.faded_ink if faded else look.ground.ink
        shown = ink.mixed(look.ground.dim, look.dim) if self.dimmed else ink
        return QColor(shown.red, shown.green, shown.blue)

    def paper(self) -> QColor:
        """Give the colour of bare paper."""
        look = self.threads.look
        paper = look.ground.paper
        shown = paper.mixed(look.ground.dim, look.dim) if self.dimmed else paper
        return QColor(shown.red, shown.green, shown.blue)


def draw_parts(painter: QPainter, items: Items, states: ItemStates, area: Area, pencil: Pencil) -> None:
    """Draw the part stitches of `area`; the painter's origin is the chart's corner, in device pixels."""
    parts, pitch = items.chart.parts, pencil.pitch
    found = items.parts_in(area)
    rows = zip(
        (parts.columns[found] * pitch).tolist(),
        (parts.rows[found] * pitch).tolist(),
        parts.shapes[found].tolist(),
        parts.keys[found].tolist(),
        states.parts[found].tolist(),
        strict=True,
    )
    picture, dimmed, draw = pencil.sprites.picture, pencil.dimmed, painter.drawImage
    for x, y, shape, number, state in rows:
        draw(x, y, picture(shape, number, state, dimmed))


def draw_lines(painter: QPainter, items: Items, states: ItemStates, area: Area, pencil: Pencil) -> None:
    """Draw back stitch and straight stitch: first the light rims of what is to do, then all lines by thread."""
    lines = items.chart.lines
    found = items.lines_in(area.grown(1))
    if not len(found):
        return
    codes = pencil.inks.codes(lines.keys[found], states.lines[found])
    kinds = lines.kinds[found]
    # Straight stitches lie over back stitch; within a kind, threads lie in the order of the key.
    groups = kinds.astype(np.intp) * (2 * pencil.inks.count) + codes
    order = np.argsort(groups, kind="stable")
    half = pencil.pitch / 2
    ends = np.stack([lines.x1[found], lines.y1[found], lines.x2[found], lines.y2[found]], 1)[order] * half
    drawn = [QLineF(*row) for row in ends.tolist()]
    starts = np.flatnonzero(np.r_[True, np.diff(groups[order]) != 0]).tolist()
    width = max(1.5, pencil.threads.look.line_weight * pencil.pitch)
    to_do = [
        line for line, state in zip(drawn, states.lines[found][order].tolist(), strict=True) if state == 0
    ]
    painter.setPen(_pen(pencil.paper(), width + max(1.5, pencil.pitch * 0.1)))
    painter.drawLines(to_do)
    for start, end in itertools.pairwise((*starts, len(drawn))):
        code, kind = int(codes[order[start]]), int(kinds[order[start]])
        painter.setPen(_line_pen(pencil, code, kind, width))
        painter.drawLines(drawn[start:end])


def _line_pen(pencil: Pencil, code: int, kind: int, width: float) -> QPen:
    done = code >= pencil.inks.count
    colour = pencil.inks.colour(code, pencil.dimmed)
    if done and not pencil.threads.look.worked:
        return _pen(colour, max(1.0, width * 0.45))
    pen = _pen(colour, width)
    if done and kind == LineKind.BACK:
        # Worked back stitch shows as separate stitches, one to a square.
        pen.setCapStyle(Qt.PenCapStyle.FlatCap)
        pen.setDashPattern([pencil.pitch * 0.36 / width, pencil.pitch * 0.14 / width])
    return pen


def _pen(colour: QColor, width: float) -> QPen:
    pen = QPen(colour, width)
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    return pen


def draw_points(painter: QPainter, items: Items, states: ItemStates, area: Area, pencil: Pencil) -> None:
    """Draw knots as filled rounds and beads as rings."""
    points, half = items.chart.points, pencil.pitch / 2
    found = items.points_in(area.grown(1))
    codes = pencil.inks.codes(points.keys[found], states.points[found]).tolist()
    places = zip(
        points.x[found].tolist(), points.y[found].tolist(), points.kinds[found].tolist(), codes, strict=True
    )
    for x, y, kind, code in places:
        _draw_point(painter, QPointF(x * half, y * half), kind == PointKind.BEAD, code, pencil)


def _draw_point(painter: QPainter, middle: QPointF, bead: bool, code: int, pencil: Pencil) -> None:
    done = code >= pencil.inks.count
    worked = pencil.threads.look.worked
    colour = pencil.inks.colour(code, pencil.dimmed)
    radius = pencil.pitch * (0.3 if bead else 0.22)
    faded = done and not worked
    rim = colour.darker(170) if done and worked else pencil.ground_ink(faded)
    painter.setPen(QPen(rim, max(1.0, pencil.pitch * (0.05 if done else 0.08))))
    painter.setBrush(pencil.paper() if faded else colour)
    painter.drawEllipse(middle, radius, radius)
    if bead:
        painter.setBrush(pencil.paper())
        painter.drawEllipse(middle, radius * 0.36, radius * 0.36)
    elif faded:
        painter.drawPoint(middle)


def _inside(columns: NDArray[np.int32], rows: NDArray[np.int32], area: Area) -> NDArray[np.bool_]:
    kept: NDArray[np.bool_] = (columns >= area.column) & (columns < area.right)
    kept &= (rows >= area.row) & (rows < area.bottom)
    return kept
