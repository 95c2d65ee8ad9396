"""A thread used instead of a printed one is drawn in its own colour, everywhere."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from PySide6.QtCore import QRect
from PySide6.QtGui import QImage, QPainter

from stitchview.canvas.items import ItemStates
from stitchview.canvas.painting import ChartPainter
from stitchview.canvas.showing import Showing
from stitchview.canvas.view import View
from stitchview.chart.colour import Colour
from stitchview.chart.model import Chart
from stitchview.done.marks import Marks
from stitchview.done.notebook import Notes
from stitchview.done.usedinstead import UsedInstead
from stitchview.done.usedkey import used_chart
from tests.canvas.charts import Making, full_chart
from tests.canvas.stage import Picture, Stage, pixels_of


def painter_of(chart: Chart) -> ChartPainter:
    marks = Marks(chart)
    return ChartPainter(chart, marks.squares, ItemStates(marks.parts, marks.lines, marks.points))


def painted(painter: ChartPainter, pitch: float, showing: Showing) -> Picture:
    view = View(31, 24, 300, 200, pitch)
    image = QImage(view.width, view.height, QImage.Format.Format_RGB32)
    pen = QPainter(image)
    painter.paint(pen, view, showing, QRect(0, 0, view.width, view.height))
    pen.end()
    return pixels_of(image)


@pytest.mark.parametrize("pitch", [0.5, 1, 4, 9, 24])
def test_the_picture_is_that_of_a_chart_printed_in_that_colour(
    pitch: float, stage_for: Callable[..., Stage]
) -> None:
    """Squares, lines, knots and the picture from afar follow the note, and go back without it."""
    chart = stage_for(full_chart(Making(31, 24, 5))).marks.chart
    entry = next(each for each in chart.key if not each.blend)
    note = UsedInstead(entry.name, entry.number, "Sample silk 3", "3", "silk", Colour(10, 240, 20))
    worked = used_chart(chart, Notes.of([note]))
    recoloured = replace(chart, key=tuple(replace(each) for each in worked.key))
    painter = painter_of(chart)
    before = painted(painter, pitch, Showing(key=chart.key))
    after = painted(painter, pitch, Showing(key=worked.key))
    assert np.array_equal(after, painted(painter_of(recoloured), pitch, Showing()))
    assert not np.array_equal(after, before)
    assert np.array_equal(painted(painter, pitch, Showing(key=chart.key)), before)
