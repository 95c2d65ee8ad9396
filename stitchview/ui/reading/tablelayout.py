"""Where each sheet is drawn on the reading table, and which place of the table a point means."""

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, QSize

from stitchview.chart.area import Area
from stitchview.sheets.tablecells import Cell, Size

# Room around the sheets, where one can be laid outside all others.
MARGIN = 30
GAP = 10
# A sheet is never smaller, so that a finger finds it (WCAG 2.2, 2.5.5).
LEAST_SIDE = 44

Spans = dict[int, tuple[float, float]]


@dataclass(frozen=True)
class TableLayout:
    """`rects` in pixels in the order of the sheets, their `cells`, and the `room` that all of them take."""

    rects: tuple[QRectF, ...]
    cells: tuple[Cell, ...]
    room: QSize

    def cell_at(self, point: QPointF) -> Cell:
        """The cell a point means: the nearest there is, or a new one outside all sheets."""
        across = _spans(
            [(rect.left(), rect.right()) for rect in self.rects], [cell[0] for cell in self.cells]
        )
        down = _spans([(rect.top(), rect.bottom()) for rect in self.rects], [cell[1] for cell in self.cells])
        return _nearest(across, point.x()), _nearest(down, point.y())

    def rect_of(self, cell: Cell) -> QRectF:
        """Where a sheet would lie in a cell: on the one there is, between others, or outside them."""
        for rect, taken in zip(self.rects, self.cells, strict=True):
            if taken == cell:
                return rect
        across = _spans(
            [(rect.left(), rect.right()) for rect in self.rects], [cell[0] for cell in self.cells]
        )
        down = _spans([(rect.top(), rect.bottom()) for rect in self.rects], [cell[1] for cell in self.cells])
        left, right = _span(across, cell[0])
        top, bottom = _span(down, cell[1])
        return QRectF(left, top, right - left, bottom - top)

    def _columns_and_rows(self) -> tuple[Spans, Spans]:
        columns, rows = [cell[0] for cell in self.cells], [cell[1] for cell in self.cells]
        across = _spans([(rect.left(), rect.right()) for rect in self.rects], columns)
        return across, _spans([(rect.top(), rect.bottom()) for rect in self.rects], rows)


def laid_out(sizes: Sequence[Size], cells: Sequence[Cell], room: QSize) -> TableLayout:
    """Sheets of so many squares in their cells, as large as fits into the room, the same scale for all."""
    wide, high = (
        _longest([s[0] for s in sizes], [c[0] for c in cells]),
        _longest([s[1] for s in sizes], [c[1] for c in cells]),
    )
    gaps = GAP * (max(len(wide), 1) - 1), GAP * (max(len(high), 1) - 1)
    scale = _scale(sizes, (sum(wide.values()), sum(high.values())), room, gaps)
    lefts, tops = _starts(wide, scale), _starts(high, scale)
    rects = [
        QRectF(lefts[cell[0]], tops[cell[1]], size[0] * scale, size[1] * scale)
        for size, cell in zip(sizes, cells, strict=True)
    ]
    return _in_the_middle(rects, cells, room)


def laid_as_read(areas: Sequence[Area], cells: Sequence[Cell], room: QSize) -> TableLayout:
    """Sheets where they show the chart, over each other where they show the same squares."""
    left, top = min(area.column for area in areas), min(area.row for area in areas)
    whole = max(area.right for area in areas) - left, max(area.bottom for area in areas) - top
    scale = _scale([(area.columns, area.rows) for area in areas], whole, room, (0, 0))
    rects = [
        QRectF(
            MARGIN + (area.column - left) * scale,
            MARGIN + (area.row - top) * scale,
            area.columns * scale,
            area.rows * scale,
        )
        for area in areas
    ]
    return _in_the_middle(rects, cells, room)


def _in_the_middle(rects: Sequence[QRectF], cells: Sequence[Cell], room: QSize) -> TableLayout:
    needed = _room(rects)
    by = QPointF(max(0, (room.width() - needed.width()) // 2), max(0, (room.height() - needed.height()) // 2))
    return TableLayout(tuple(rect.translated(by) for rect in rects), tuple(cells), needed)


def _scale(sizes: Sequence[Size], whole: Size, room: QSize, gaps: Size) -> float:
    """Pixels a square."""
    across = (room.width() - 2 * MARGIN - gaps[0]) / max(1, whole[0])
    down = (room.height() - 2 * MARGIN - gaps[1]) / max(1, whole[1])
    least = LEAST_SIDE / max(1, min((min(size) for size in sizes), default=LEAST_SIDE))
    return max(min(across, down), least)


def _room(rects: Sequence[QRectF]) -> QSize:
    right = max((rect.right() for rect in rects), default=0.0)
    bottom = max((rect.bottom() for rect in rects), default=0.0)
    return QSize(int(right) + MARGIN, int(bottom) + MARGIN)


def _longest(lengths: Sequence[int], places: Sequence[int]) -> dict[int, int]:
    """The longest sheet of every column or row of the table; one in which nothing lies is as the longest."""
    longest: dict[int, int] = {}
    for length, place in zip(lengths, places, strict=True):
        longest[place] = max(longest.get(place, 0), length)
    usual = max(longest.values(), default=1)
    return {place: longest.get(place, usual) for place in range(max(places, default=-1) + 1)}


def _starts(lengths: dict[int, int], scale: float) -> dict[int, float]:
    starts, at = {}, float(MARGIN)
    for place in sorted(lengths):
        starts[place] = at
        at += lengths[place] * scale + GAP
    return starts


def _spans(edges: Sequence[tuple[float, float]], places: Sequence[int]) -> Spans:
    spans: Spans = {}
    for (start, end), place in zip(edges, places, strict=True):
        before = spans.get(place, (start, end))
        spans[place] = min(before[0], start), max(before[1], end)
    return spans


def _nearest(spans: Spans, at: float) -> int:
    first, last = min(spans), max(spans)
    if at < spans[first][0]:
        return first - 1
    if at > spans[last][1]:
        return last + 1

    def far(place: int) -> float:
        return abs(sum(spans[place]) / 2 - at)

    return min(spans, key=far)


def _span(spans: Spans, place: int) -> tuple[float, float]:
    if place in spans:
        return spans[place]
    if place < min(spans):
        start = spans[min(spans)][0]
        return start - MARGIN + 4.0, start - 4.0
    end = spans[max(spans)][1]
    return end + 4.0, end + MARGIN - 4.0
