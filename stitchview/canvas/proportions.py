"""The chart drawn with the proportions that it will have on the cloth."""

from dataclasses import dataclass

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QImage

from stitchview.canvas.items import ItemStates
from stitchview.canvas.looks import Look
from stitchview.canvas.painting import ChartPainter
from stitchview.canvas.showing import Showing
from stitchview.canvas.smallpicture import SmallPicture, fitted
from stitchview.chart.model import Chart
from stitchview.done.marks import Marks
from stitchview.follow.clothpitch import Pitch


@dataclass(frozen=True, slots=True)
class Outline:
    """How large a chart is drawn, in pixels: `width` and `height` as on the cloth."""

    width: int
    height: int


def square_picture(chart: Chart, longest: int) -> QImage:
    """The whole chart in colour, nothing done, its squares square: `longest` pixels at its long side."""
    marks = Marks(chart)
    painter = ChartPainter(chart, marks.squares, ItemStates(marks.parts, marks.lines, marks.points))
    picture = SmallPicture(painter, fitted(chart.columns, chart.rows, longest, longest))
    while not picture.work(Showing(Look())):
        pass
    image = picture.image
    return QImage() if image is None else image


def outline_in(columns: int, rows: int, pitch: Pitch, room: QSize) -> Outline:
    """The largest outline with the proportions of so many squares of a pitch that lies in a room."""
    width, height = columns * pitch.across_mm, rows * pitch.down_mm
    scale = min(room.width() / width, room.height() / height)
    return Outline(max(1, round(width * scale)), max(1, round(height * scale)))


def stretched(picture: QImage, outline: Outline) -> QImage:
    """A picture as large as an outline."""
    return picture.scaled(
        outline.width,
        outline.height,
        Qt.AspectRatioMode.IgnoreAspectRatio,
        Qt.TransformationMode.SmoothTransformation,
    )
