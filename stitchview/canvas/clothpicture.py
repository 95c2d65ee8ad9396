"""The piece as it looks on the cloth, for showing: stitches in their colours, no symbols, no key, no grid."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QLineF, QPointF, Qt
from PySide6.QtGui import QColor, QImage, QPainter, QPen

from stitchview.canvas.glyphs import cross_masks
from stitchview.canvas.looks import EARLIER_SHARE, REST_SHARE
from stitchview.canvas.mixing import Floats, laid, packed, parts_of_colour
from stitchview.canvas.qtcolours import as_qt
from stitchview.chart.area import Area
from stitchview.chart.colour import Colour
from stitchview.chart.model import CREAM, Chart
from stitchview.chart.stitches import CORNERS, HALVES, THREE_QUARTERS, PartShape, PointKind
from stitchview.done.change import DONE, Selection
from stitchview.done.timeline import Arrays
from stitchview.errors import CommandError

SMALLEST_WOVEN = 6
LARGEST = 40
MOST_PIXELS = 120_000_000
LEG_WIDTH, LINE_WIDTH, KNOT_WIDTH = 0.27, 0.2, 0.5


@dataclass(frozen=True, slots=True)
class ClothWish:
    """Whole pixels a square, the colour of the cloth (None for the chart's own, else cream), and which part.

    `area` is None for all of the chart.
    """

    pitch: int = 4
    cloth: Colour | None = None
    area: Area | None = None

    def area_on(self, chart: Chart) -> Area:
        """The part of a chart that is shown; raises `CommandError` where it lies outside."""
        area = (self.area or chart.area).clipped(chart.area)
        if area.empty:
            raise CommandError(
                "The region lies outside the chart.",
                f"The chart has {chart.columns} columns and {chart.rows} rows.",
            )
        return area


@dataclass(frozen=True, eq=False, slots=True)
class Coat:
    """Stitches that are drawn with `share` of their colour, the rest cloth."""

    stitches: Selection
    share: float


def now_picture(chart: Chart, states: Arrays, wish: ClothWish, rest: float = REST_SHARE) -> QImage:
    """The piece with what is done in full colour and the rest pale; with `rest` 0 it is bare cloth."""
    done, left = _sorted(states, chart)
    return cloth_picture(chart, [Coat(left, rest), Coat(done, 1.0)] if rest else [Coat(done, 1.0)], wish)


def finished_picture(chart: Chart, wish: ClothWish) -> QImage:
    """The piece as it will be, all stitched."""
    all_of = Selection(
        np.flatnonzero(chart.squares.reshape(-1)),
        *(np.arange(len(each.keys)) for each in (chart.parts, chart.lines, chart.points)),
    )
    return cloth_picture(chart, [Coat(all_of, 1.0)], wish)


def new_picture(chart: Chart, before: Arrays, after: Arrays, wish: ClothWish) -> QImage:
    """What is done `after` and was not `before` in full colour, what was done by then half, the rest pale."""
    was, _ = _sorted(before, chart)
    now, left = _sorted(after, chart)
    new = Selection(*(np.setdiff1d(*pair, assume_unique=True) for pair in _pairs(now, was)))
    old = Selection(*(np.intersect1d(*pair, assume_unique=True) for pair in _pairs(now, was)))
    return cloth_picture(chart, [Coat(left, REST_SHARE / 2), Coat(old, EARLIER_SHARE), Coat(new, 1.0)], wish)


def cloth_picture(chart: Chart, coats: Sequence[Coat], wish: ClothWish) -> QImage:
    """The coats one over the other on bare cloth; raises `CommandError` for a size that cannot be drawn."""
    pitch, cloth = wish.pitch, wish.cloth or (chart.cloth.colour if chart.cloth else CREAM)
    if not 1 <= pitch <= LARGEST:
        raise CommandError(f"A square cannot be {pitch} pixels wide.", f"Ask for 1 to {LARGEST} pixels.")
    area = wish.area_on(chart)
    if area.columns * area.rows * pitch * pitch > MOST_PIXELS:
        size = f"{area.columns * pitch:,} x {area.rows * pitch:,}"
        raise CommandError(
            f"The picture would have {size} pixels, which is too many.",
            "Ask for fewer pixels a square.",
        )
    pixels = np.empty((area.rows * pitch, area.columns * pitch), np.uint32)
    pixels[:] = packed(parts_of_colour(cloth).astype(np.uint8))
    for coat in coats:
        _lay_squares(pixels, chart, coat, area, _woven(chart, coat.share, pitch, cloth))
    image = QImage(
        pixels.data, pixels.shape[1], pixels.shape[0], pixels.strides[0], QImage.Format.Format_RGB32
    )
    image = image.copy()
    painter = QPainter(image)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.scale(pitch / 2, pitch / 2)
    painter.translate(-2 * area.column, -2 * area.row)
    for coat in coats:
        _lay_parts(painter, chart, coat, cloth)
    for coat in coats:
        _lay_lines(painter, chart, coat, cloth)
        _lay_points(painter, chart, coat, cloth)
    painter.end()
    return image


def _sorted(states: Arrays, chart: Chart) -> tuple[Selection, Selection]:
    """The stitches done, and those left."""
    flat = [each.reshape(-1) for each in states]
    done = Selection(*(np.flatnonzero(each == DONE) for each in flat))
    stitched = chart.squares.reshape(-1) != 0
    left = [np.flatnonzero(each != DONE) for each in flat]
    return done, Selection(left[0][stitched[left[0]]], *left[1:])


def _pairs(one: Selection, other: Selection) -> list[tuple[NDArray[np.int64], NDArray[np.int64]]]:
    return list(zip(one.families, other.families, strict=True))


def _lay_squares(
    pixels: NDArray[np.uint32], chart: Chart, coat: Coat, area: Area, woven: NDArray[np.uint8]
) -> None:
    """Lay ready squares of each thread where the coat has whole stitches, many at a time."""
    chosen = coat.stitches.squares
    if not len(chosen):
        return
    ready, pitch = packed(woven), woven.shape[1]
    grid = pixels.reshape(area.rows, pitch, area.columns, pitch)
    rows, columns = np.divmod(chosen, chart.columns)
    if area != chart.area:
        inside = (rows >= area.row) & (rows < area.bottom) & (columns >= area.column) & (columns < area.right)
        rows, columns = rows[inside], columns[inside]
    numbers = chart.squares[rows, columns].astype(np.intp) - 1
    rows, columns = rows - area.row, columns - area.column
    for begin in range(0, len(rows), 1 << 17):
        piece = slice(begin, begin + (1 << 17))
        grid[rows[piece], :, columns[piece], :] = ready[numbers[piece]]


def _woven(chart: Chart, share: float, pitch: int, cloth: Colour) -> NDArray[np.uint8]:
    """A square of each thread, sRGB of shape (key entries, pitch, pitch, 3): a small cross, or its colour."""
    colours = np.array([parts_of_colour(_on(entry.colour, cloth, share)) for entry in chart.key], np.float32)
    flat: Floats = np.repeat(np.repeat(colours[:, None, None, :], pitch, 1), pitch, 2)
    if pitch >= SMALLEST_WOVEN:
        masks = cross_masks(pitch)
        under, shade, over = (
            each.astype(np.float32)[..., None] / np.float32(255)
            for each in (masks.under, masks.shade, masks.over)
        )
        ground, dark = parts_of_colour(cloth), colours[:, None, None, :] * np.float32(1 - 0.38 * share)
        covered = laid(np.broadcast_to(ground, flat.shape), flat, np.float32(0.5))
        covered = laid(covered, laid(flat, dark, np.float32(0.45)), under)
        flat = laid(laid(covered, dark, shade * np.float32(0.8)), flat, over)
    return (flat + np.float32(0.5)).astype(np.uint8)


def _lay_parts(painter: QPainter, chart: Chart, coat: Coat, cloth: Colour) -> None:
    parts = chart.parts
    for number, chosen in _by_key(parts.keys, coat.stitches.parts):
        painter.setPen(_pen(_on(chart.key[number - 1].colour, cloth, coat.share), LEG_WIDTH))
        legs: list[QLineF] = []
        for at in chosen.tolist():
            corner = QPointF(2 * int(parts.columns[at]), 2 * int(parts.rows[at]))
            legs += [leg.translated(corner) for leg in _LEGS[PartShape(int(parts.shapes[at]))]]
        painter.drawLines(legs)


def _lay_lines(painter: QPainter, chart: Chart, coat: Coat, cloth: Colour) -> None:
    lines = chart.lines
    for number, chosen in _by_key(lines.keys, coat.stitches.lines):
        painter.setPen(_pen(_on(chart.key[number - 1].colour, cloth, coat.share), LINE_WIDTH))
        ends = np.column_stack((lines.x1[chosen], lines.y1[chosen], lines.x2[chosen], lines.y2[chosen]))
        painter.drawLines([QLineF(*each) for each in ends.tolist()])


def _lay_points(painter: QPainter, chart: Chart, coat: Coat, cloth: Colour) -> None:
    points = chart.points
    painter.setPen(Qt.PenStyle.NoPen)
    for number, chosen in _by_key(points.keys, coat.stitches.points):
        colour = as_qt(_on(chart.key[number - 1].colour, cloth, coat.share))
        for at in chosen.tolist():
            middle = QPointF(int(points.x[at]), int(points.y[at]))
            painter.setBrush(colour)
            painter.drawEllipse(middle, KNOT_WIDTH, KNOT_WIDTH)
            if points.kinds[at] == PointKind.BEAD:
                # A bead shines where the light falls on it.
                painter.setBrush(QColor(255, 255, 255, round(170 * coat.share)))
                painter.drawEllipse(middle + QPointF(-0.15, -0.18), 0.13, 0.13)


def _by_key(keys: NDArray[np.uint16], chosen: NDArray[np.int64]) -> list[tuple[int, NDArray[np.int64]]]:
    mine = keys[chosen]
    return [(int(number), chosen[mine == number]) for number in np.unique(mine)]


def _on(colour: Colour, cloth: Colour, share: float) -> Colour:
    return cloth.mixed(colour, share)


def _pen(colour: Colour, squares: float) -> QPen:
    return QPen(as_qt(colour), 2 * squares, Qt.PenStyle.SolidLine, Qt.PenCapStyle.RoundCap)


def _legs(shape: PartShape) -> tuple[QLineF, ...]:
    """The legs of a part stitch in a square of two by two, as they lie on the cloth."""
    rising, falling = QLineF(0.3, 1.7, 1.7, 0.3), QLineF(0.3, 0.3, 1.7, 1.7)
    if shape in HALVES:
        return (rising,) if shape is PartShape.HALF_RISING else (falling,)
    right, down = CORNERS[shape]
    quarter = QLineF(1.7 if right else 0.3, 1.7 if down else 0.3, 1, 1)
    return (quarter, rising if right == down else falling) if shape in THREE_QUARTERS else (quarter,)


_LEGS = {shape: _legs(shape) for shape in PartShape}
