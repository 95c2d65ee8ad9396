"""Taking hold of the band by one of its edges on the canvas."""

from PySide6.QtCore import QPointF, Qt

from stitchview.canvas.chartcanvas import ChartCanvas
from stitchview.chart.turning import Turn
from stitchview.follow.band import Edge

# How near, in logical pixels, the pointer must be to an edge of the band to take hold of it.
EDGE_REACH = 5
INSIDE_SHARE = 0.15

_WAYS = {Edge.TOP: (0, -1), Edge.BOTTOM: (0, 1), Edge.LEFT: (-1, 0), Edge.RIGHT: (1, 0)}
_SIDES = {way: edge for edge, way in _WAYS.items()}


def edge_near(canvas: ChartCanvas, place: QPointF) -> Edge | None:
    """Give the edge of the lit area near a place of the canvas, in logical pixels, if there is one."""
    seen, turn, view = canvas.showing.lit, canvas.view.turn, canvas.view.flat
    if seen is None:
        return None
    lit = turn.area(seen, canvas.view.columns, canvas.view.rows)
    ratio = canvas.devicePixelRatioF()
    x, y, width, height = view.pixels_of(lit)
    reach = EDGE_REACH * ratio
    # Inside the band a press nearly always means the square, so little of it is taken.
    inside = min(reach, view.pitch * INSIDE_SHARE)
    at = place * ratio
    along_x = x - reach <= at.x() <= x + width + reach
    along_y = y - reach <= at.y() <= y + height + reach
    edges = (
        (Edge.TOP, lit.row > 0 and along_x, y - at.y()),
        (Edge.BOTTOM, lit.bottom < view.rows and along_x, at.y() - y - height),
        (Edge.LEFT, lit.column > 0 and along_y, x - at.x()),
        (Edge.RIGHT, lit.right < view.columns and along_y, at.x() - x - width),
    )
    near = (edge for edge, beside, beyond in edges if beside and -inside <= beyond <= reach)
    return next((edge_seen_as(edge, turn.back) for edge in near), None)


def edge_seen_as(edge: Edge, turn: Turn) -> Edge:
    """Give the side on which an edge of the band is seen when the chart is turned."""
    return _SIDES[turn.step(*_WAYS[edge])]


def line_under(edge: Edge, x: float, y: float) -> int:
    """Give the line nearest to a point of the chart, in squares, that an edge would be dragged to."""
    return round(y if edge in (Edge.TOP, Edge.BOTTOM) else x)


def cursor_for(edge: Edge, turn: Turn) -> Qt.CursorShape:
    """Give the pointer's form over an edge of a chart seen turned."""
    upright = (edge in (Edge.TOP, Edge.BOTTOM)) != turn.lies
    return Qt.CursorShape.SplitVCursor if upright else Qt.CursorShape.SplitHCursor
