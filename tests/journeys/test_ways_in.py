"""All the ways to a chart: first start, last evening, recent list, drag and drop, and the command line."""

import os
import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import QMimeData, QPoint, QPointF, Qt, QUrl
from PySide6.QtGui import QDragEnterEvent, QDropEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QFileDialog, QMessageBox

from stitchview.chart.fileformat import write_chart
from stitchview.chart.model import Chart
from stitchview.errors import CommandError
from stitchview.follow.numbering import Numbering
from stitchview.ui.front import check_display
from stitchview.ui.theme import Theme, is_dark
from stitchview.ui.welcome import WelcomePanel
from tests.journeys.sofa import Sofa


@pytest.fixture
def second(sofa: Sofa, random_chart: Callable[[int, int, int, int], Chart]) -> Path:
    """Another chart in the folder."""
    path = sofa.folder / "second.svchart"
    chart = random_chart(30, 20, 3, 2)
    write_chart(replace(chart, identity="1b8f4a52-6d0e-4c1b-9a37-5f2c8d1e6b91"), path)
    return path


def drop(sofa: Sofa, *paths: Path) -> bool:
    """Drop files on the window; whether it took them."""
    dragged = QMimeData()
    dragged.setUrls([QUrl.fromLocalFile(str(path)) for path in paths])
    place, copy = QPoint(300, 300), Qt.DropAction.CopyAction
    left, none = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier
    enter = QDragEnterEvent(place, copy, dragged, left, none)
    enter.ignore()
    QApplication.sendEvent(sofa.window, enter)
    if enter.isAccepted():
        QApplication.sendEvent(sofa.window, QDropEvent(QPointF(place), copy, dragged, left, none))
    return enter.isAccepted()


def test_the_first_start_shows_a_sample_and_the_welcome(sofa: Sofa) -> None:
    """Whoever has no chart yet can try everything at once, on a copy of her own."""
    program = sofa.sit_down()
    welcome = program.window.findChild(WelcomePanel)
    assert welcome is not None
    assert welcome.isVisible()
    sample = sofa.sitting.path
    assert "samples" in sample.parts
    assert str(sample).startswith(os.environ["XDG_DATA_HOME"])
    assert welcome.close_button.hasFocus()
    QTest.mouseClick(welcome.close_button, Qt.MouseButton.LeftButton)
    assert not welcome.isVisible()
    assert sofa.canvas.hasFocus()
    sofa.press("B")
    assert sofa.works.band.band is not None
    assert sofa.get_up()
    assert sample.with_suffix(".svdone").exists()
    program = sofa.sit_down()
    assert sofa.sitting.path == sample
    assert program.window.findChild(WelcomePanel) is None
    assert sofa.works.band.band is not None


def test_the_last_chart_opens_by_itself_unless_it_was_put_away(sofa: Sofa, harbour: Path) -> None:
    """Closed with the window, a chart is there at the next start; put away before, it is only in the list."""
    sofa.sit_down(harbour)
    assert sofa.get_up()
    program = sofa.sit_down()
    assert sofa.sitting.path == harbour
    sofa.press("Ctrl+W")
    assert program.window.empty.isVisible()
    assert sofa.get_up()
    program = sofa.sit_down()
    assert program.charts.sitting is None
    assert program.window.findChild(WelcomePanel) is None
    sofa.press_card("harbour")
    assert sofa.sitting.path == harbour


def test_charts_are_opened_from_the_list_of_recent_ones(sofa: Sofa, harbour: Path, second: Path) -> None:
    """The latest stands first, and each remembers its own place."""
    program = sofa.sit_down(harbour)
    sofa.press("B")
    assert program.charts.open(second)
    assert sofa.works.band.band is None
    listed = program.menus.recent.actions()
    assert [each.text() for each in listed] == ["second.svchart", "harbour.svchart"]
    listed[1].trigger()
    assert sofa.sitting.path == harbour
    assert sofa.works.band.band is not None


def test_a_dropped_chart_is_opened(sofa: Sofa, harbour: Path, second: Path) -> None:
    """Dropped on the window, a chart takes the place of the open one, whose marks are kept."""
    sofa.sit_down(harbour)
    sofa.press("M", "3")
    sofa.drag((5, 5), (9, 9))
    done = sofa.desk.tally.total().done
    assert drop(sofa, second)
    assert sofa.sitting.path == second
    assert drop(sofa, harbour)
    assert sofa.desk.tally.total().done == done


def test_a_chart_kept_as_a_folder_is_opened_by_any_of_its_files(
    sofa: Sofa, random_chart: Callable[[int, int, int, int], Chart]
) -> None:
    """File choosers show files only, so the chart.json of a folder opens the folder."""
    folder = sofa.folder / "typed by hand"
    chart = replace(random_chart(12, 9, 2, 3), identity="2b8f4a52-6d0e-4c1b-9a37-5f2c8d1e6b92")
    write_chart(chart, folder)
    sofa.sit_down()
    assert drop(sofa, folder / "chart.json")
    assert sofa.sitting.path == folder
    assert sofa.get_up()
    assert (sofa.folder / "typed by hand.svdone").exists()


def test_a_dropped_text_is_no_chart_and_says_so(sofa: Sofa, harbour: Path) -> None:
    """Whatever else is dropped is refused in a sentence; plain words are not taken at all."""
    sofa.sit_down(harbour)
    letter = sofa.folder / "letter.txt"
    letter.write_text("Dear aunt")
    assert drop(sofa, letter)
    box = sofa.window.findChild(QMessageBox)
    assert box is not None
    assert "letter.txt" in box.text()
    box.close()
    assert sofa.sitting.path == harbour
    assert not drop(sofa)


def test_a_chart_is_chosen_in_the_dialog(sofa: Sofa, harbour: Path, second: Path) -> None:
    """The dialog begins in the folder of the last chart; what is chosen there opens."""
    sofa.sit_down(harbour)
    sofa.press("Ctrl+O")
    dialog = sofa.window.findChild(QFileDialog)
    assert dialog is not None
    assert Path(dialog.directory().absolutePath()) == sofa.folder
    dialog.selectFile(str(second))
    dialog.accept()
    assert sofa.sitting.path == second


def test_settings_are_in_force_at_once_and_the_next_evening(sofa: Sofa, harbour: Path) -> None:
    """Dark colours and counting from the centre show while the dialog is open, and are kept."""
    program = sofa.sit_down(harbour)
    wishes = replace(program.wishes.preferences, theme=Theme.DARK, numbering=Numbering.CENTRE, dim=0.8)
    program.wishes.take(wishes)
    assert is_dark(sofa.app)
    assert sofa.canvas.showing.look.night
    assert sofa.canvas.showing.look.dim == 0.8
    sofa.put_pointer((29, 20))
    assert "Column 1 left of the centre" in sofa.canvas.accessibleDescription()
    assert sofa.get_up()
    sofa.sit_down()
    assert sofa.canvas.showing.look.night
    assert "Column 1 left of the centre" in sofa.canvas.accessibleDescription()


@pytest.mark.parametrize(
    ("environment", "platform", "refused"),
    [
        ({}, "linux", True),
        ({"DISPLAY": ""}, "linux", True),
        ({"DISPLAY": ":0"}, "linux", False),
        ({"WAYLAND_DISPLAY": "wayland-0"}, "linux", False),
        ({"QT_QPA_PLATFORM": "offscreen"}, "linux", False),
        ({}, "darwin", False),
        ({}, "win32", False),
    ],
)
def test_no_display_is_said_in_a_sentence(environment: dict[str, str], platform: str, refused: bool) -> None:
    """Where no window can be opened the program says so and names what works without one."""
    if not refused:
        check_display(environment, platform)
        return
    with pytest.raises(CommandError, match="There is no display; `stitchview tour CHART OUTDIR` works"):
        check_display(environment, platform)


@pytest.mark.parametrize(
    ("display", "sentence"),
    [
        ({}, "There is no display;"),
        ({"DISPLAY": ":4711"}, "The display cannot be used;"),
        ({"QT_QPA_PLATFORM": "nonsense"}, "The display cannot be used;"),
    ],
)
def test_without_a_display_the_program_ends_with_a_sentence(
    harbour: Path, repository: Path, display: dict[str, str], sentence: str
) -> None:
    """Qt itself would end the process with an abort and a page of names of plugins."""
    if not sys.platform.startswith("linux"):
        pytest.skip("elsewhere there is always a display")
    hidden = ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")
    environment = {name: value for name, value in os.environ.items() if name not in hidden}
    told = subprocess.run(
        [sys.executable, "-m", "stitchview", str(harbour)],
        env={**environment, **display, "PYTHONPATH": str(repository)},
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )
    assert told.returncode == 1
    assert told.stderr == f"stitchview: {sentence} `stitchview tour CHART OUTDIR` works without one.\n"
