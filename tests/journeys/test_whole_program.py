"""The program as a process of its own: started with a chart, handed another, closed, and what it leaves."""

import os
import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import QSettings, Qt
from PySide6.QtWidgets import QSplitter

from stitchview.chart.fileformat import write_chart
from stitchview.chart.model import Chart
from stitchview.ui.settings import open_settings
from tests.journeys.sofa import Sofa

RUN = """
import sys
from PySide6.QtCore import QTimer
from PySide6.QtGui import QFileOpenEvent
from PySide6.QtWidgets import QApplication
from stitchview.ui.front import open_front
from stitchview.ui.run import run_window

def hand_over():
    QApplication.sendEvent(QApplication.instance(), QFileOpenEvent(sys.argv[2]))
    window = next(each for each in QApplication.topLevelWidgets() if each.inherits("QMainWindow"))
    print(window.windowTitle())
    QTimer.singleShot(0, window.close)

def look(*_):
    window = next(each for each in QApplication.topLevelWidgets() if each.inherits("QMainWindow"))
    print(window.windowTitle())
    QTimer.singleShot(0, hand_over)

front = open_front([sys.argv[1]])
# A timer can only be started once there is an application, and the program makes its own.
QTimer.singleShot(0, look)
print(run_window(front))
"""


READY = """
import os
import sys
from stitchview.ui.curtain import Curtain
from stitchview.ui.front import open_front
from stitchview.ui.window import Window

said = []
paint, show = Curtain.paintEvent, Window.show
def painting(self, event):
    paint(self, event)
    said.append("words painted")
def showing(self):
    said.append("window shown")
    show(self)
Curtain.paintEvent, Window.show = painting, showing
open_front([sys.argv[1]])
print("; ".join(said), flush=True)
os._exit(0)
"""


@pytest.fixture
def second(sofa: Sofa, random_chart: Callable[[int, int, int, int], Chart]) -> Path:
    """Another chart in the folder."""
    path = sofa.folder / "second.svchart"
    chart = replace(random_chart(30, 20, 3, 2), identity="1b8f4a52-6d0e-4c1b-9a37-5f2c8d1e6b91")
    write_chart(replace(chart, title="Second"), path)
    return path


def test_the_program_runs_from_start_to_end(harbour: Path, second: Path, repository: Path) -> None:
    """It opens what it is started with, then what the file manager hands it, and ends without a word."""
    told = subprocess.run(
        [sys.executable, "-X", "dev", "-c", RUN, str(harbour), str(second)],
        env={**os.environ, "PYTHONPATH": str(repository), "QT_QPA_PLATFORM": "offscreen"},
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    assert told.stdout.splitlines() == ["60 x 50, stitchview", "Second, stitchview", "0"], told.stderr
    complaints = [line for line in told.stderr.splitlines() if "This plugin does not support" not in line]
    assert complaints == []
    left = sorted(each.name for each in harbour.parent.iterdir())
    assert left == ["harbour.svchart", "harbour.svdone", "second.svchart", "second.svdone"]


def test_letters_are_loaded_before_the_window_is_there(harbour: Path, repository: Path) -> None:
    """What the first words take long for is done out of sight, or she would look at a black window."""
    told = subprocess.run(
        [sys.executable, "-c", READY, str(harbour)],
        env={**os.environ, "PYTHONPATH": str(repository), "QT_QPA_PLATFORM": "offscreen"},
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    assert told.stdout.startswith("words painted; window shown; words painted"), told.stderr


def test_the_window_stands_where_it_stood(sofa: Sofa, harbour: Path) -> None:
    """Its size and how the room is shared are found again; senseless values are passed over."""
    sofa.sit_down(harbour)
    sofa.window.resize(780, 560)
    sofa.app.processEvents()
    splitters = sofa.window.findChildren(QSplitter)
    across = next(each for each in splitters if each.orientation() is Qt.Orientation.Horizontal)
    across.setSizes([400, 374])
    sofa.app.processEvents()
    width = sofa.window.panels.keys.width()
    assert sofa.get_up()
    program = sofa.start()
    assert (program.window.width(), program.window.height()) == (780, 560)
    assert program.window.panels.keys.width() == width
    assert sofa.get_up()
    settings: QSettings = open_settings()
    settings.setValue("window/geometry", "no geometry")
    settings.setValue("window/across", b"nonsense")
    settings.sync()
    assert sofa.start().window.isVisible()
