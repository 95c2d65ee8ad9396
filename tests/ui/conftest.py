"""What the tests of the window stand on: a chart on a desk, and clothes put back after each test."""

from collections.abc import Callable, Iterator
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from stitchview.canvas.desk import Desk
from stitchview.chart.model import Chart
from stitchview.done.change import DONE, Change, Selection
from stitchview.done.layerfile import open_layer

MakeDesk = Callable[[Chart], Desk]


@pytest.fixture
def make_desk(tmp_path: Path, qapp: QApplication) -> Iterator[MakeDesk]:
    """A builder of desks with a chart on them; all are closed after the test."""
    desks: list[Desk] = []

    def make(chart: Chart) -> Desk:
        folder = tmp_path / f"desk {len(desks)}"
        folder.mkdir()
        desks.append(Desk(open_layer(folder / "harbour.svchart", chart, folder / "elsewhere")))
        return desks[-1]

    yield make
    for desk in desks:
        assert desk.close() is None
        desk.deleteLater()


@pytest.fixture
def small_desk(make_desk: MakeDesk, small_chart: Callable[[], Chart]) -> Desk:
    """A desk with the small harbour on it, nothing stitched."""
    return make_desk(small_chart())


@pytest.fixture
def mark_thread() -> Callable[[Desk, int], Change | None]:
    """Marks all stitches of one thread."""

    def mark(desk: Desk, number: int) -> Change | None:
        chart = desk.chart
        keys = (chart.squares.ravel(), chart.parts.keys, chart.lines.keys, chart.points.keys)
        return desk.mark(Selection(*(np.flatnonzero(each == number) for each in keys)), DONE)

    return mark


@pytest.fixture(autouse=True)
def clothes_put_back(qapp: QApplication) -> Iterator[None]:
    """The program's palette, sheet, style and letters as they were before the test."""
    palette, sheet, font, style = qapp.palette(), qapp.styleSheet(), qapp.font(), qapp.style().objectName()
    yield
    qapp.styleHints().setColorScheme(Qt.ColorScheme.Unknown)
    if qapp.styleSheet() != sheet:
        qapp.setStyleSheet(sheet)
        qapp.setStyle(style)
        qapp.setPalette(palette)
    qapp.setFont(font)
