"""What one sitting works with: the desk, the canvas, the pointers, the band, and what is held."""

from dataclasses import dataclass

from stitchview.canvas.chartcanvas import ChartCanvas, ViewListener
from stitchview.canvas.desk import Desk
from stitchview.canvas.items import ItemStates
from stitchview.canvas.looks import Shown
from stitchview.canvas.painting import ChartPainter
from stitchview.canvas.paperlayer import unread
from stitchview.ui.bandwork import BandWork
from stitchview.ui.going import Going
from stitchview.ui.holding import Holding
from stitchview.ui.looking import Looking
from stitchview.ui.piecebook import PieceBook
from stitchview.ui.pointer import Pointer


@dataclass(frozen=True, eq=False)
class Bench:
    """The parts of a sitting; each alters only itself, and the sitting shows what has altered."""

    desk: Desk
    canvas: ChartCanvas
    painter: ChartPainter
    pointer: Pointer
    band: BandWork
    going: Going
    holding: Holding
    looks: Looking
    piece: PieceBook


def lay_out(desk: Desk, listener: ViewListener) -> Bench:
    """Make the parts for the chart on a desk; the canvas shows nothing until it is given the painter."""
    marks, canvas = desk.marks, ChartCanvas(listener)
    painter = ChartPainter(desk.chart, marks.squares, ItemStates(marks.parts, marks.lines, marks.points))
    pointer = Pointer(canvas)
    band = BandWork(marks, pointer)
    going = Going(canvas, pointer, band)
    first = Shown.PICTURE if unread(desk.chart.sheets) else Shown.SYMBOLS
    holding, looks, piece = Holding(len(desk.chart.key)), Looking(first), PieceBook(desk.chart)
    return Bench(desk, canvas, painter, pointer, band, going, holding, looks, piece)
