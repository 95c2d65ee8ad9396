"""What every journey begins with: an empty folder for charts, a place to sit, and a harbour."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from stitchview.chart.fileformat import write_chart
from stitchview.chart.model import Chart
from tests.journeys.sofa import Sofa

HARBOUR = "0b8f4a52-6d0e-4c1b-9a37-5f2c8d1e6b90"


@pytest.fixture
def sofa(qapp: QApplication, qtbot: QtBot, tmp_path: Path) -> Iterator[Sofa]:
    """An empty folder for charts, and a place to sit."""
    folder = tmp_path / "charts"
    folder.mkdir()
    sofa = Sofa(qapp, qtbot, folder)
    yield sofa
    if sofa.program is not None:
        sofa.program.charts.close()
        sofa.before.append(sofa.program)
    for program in sofa.before:
        program.wishes.keep()
        program.window.deleteLater()
    sofa.before.clear()
    sofa.program = None


@pytest.fixture
def harbour(sofa: Sofa, random_chart: Callable[[int, int, int, int], Chart]) -> Path:
    """A chart of 60 x 50 squares and six threads in the folder."""
    path = sofa.folder / "harbour.svchart"
    write_chart(replace(random_chart(60, 50, 6, 1), identity=HARBOUR), path)
    return path
