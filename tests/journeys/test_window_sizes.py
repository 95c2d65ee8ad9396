"""The window is made larger and smaller while a chart is looked at."""

from pathlib import Path

import pytest

from stitchview.chart.area import Area
from tests.journeys.sofa import Sofa

SIZES = ((1300, 900), (700, 500), (1000, 700))


@pytest.mark.parametrize("key", ["", "0"])
def test_the_whole_chart_stays_the_whole_chart(sofa: Sofa, harbour: Path, key: str) -> None:
    """As it opens, and as asked for by key: all of it, as large as it fits, whatever the window becomes."""
    sofa.sit_down(harbour)
    if key:
        sofa.press("+", key)
    for size in SIZES:
        sofa.window.resize(*size)
        sofa.app.processEvents()
        view = sofa.canvas.view
        assert view == view.showing(Area(0, 0, view.columns, view.rows), 0.03 if key else 0.0)
        assert (view.width, view.height) == (sofa.canvas.width(), sofa.canvas.height())


def test_a_part_of_the_chart_keeps_its_middle(sofa: Sofa, harbour: Path) -> None:
    """Who has zoomed in sees squares of the same size about the same middle; the way back is as it was."""
    sofa.sit_down(harbour)
    sofa.press("+", "+", "+")
    pitch, middle = sofa.canvas.view.pitch, sofa.canvas.view.centre
    for size in SIZES:
        sofa.window.resize(*size)
        sofa.app.processEvents()
        assert sofa.canvas.view.pitch == pitch
        assert sofa.canvas.view.centre == pytest.approx(middle, abs=0.51 / pitch)
