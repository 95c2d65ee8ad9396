"""One evening with a chart, and the next one: the same square, the same band, the same marks."""

import sqlite3
from collections.abc import Callable
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest

from stitchview.canvas.touch import Shape
from stitchview.chart.fileformat import read_chart, write_chart
from stitchview.chart.model import Chart
from stitchview.done.change import DONE
from stitchview.done.layerfile import open_layer
from stitchview.follow.band import Band, band_of_rows
from stitchview.follow.span import Span
from tests.journeys.sofa import Sofa

IDENTITY = "7d1f0c52-3a44-4c1b-9a37-5f2c8d1e6b90"


@pytest.fixture
def folder_chart(sofa: Sofa, small_chart: Callable[[], Chart]) -> Path:
    """The small harbour, kept as a folder that can be read in an editor."""
    path = sofa.folder / "small harbour"
    write_chart(replace(small_chart(), identity=IDENTITY), path)
    return path


def kept_marks(path: Path) -> tuple[np.ndarray, ...]:
    """The marks on the disk, read by whoever opens the chart next, without touching anything."""
    opened = open_layer(path, read_chart(path), path.parent / "nowhere", look_only=True)
    opened.layer.close()
    assert opened.notices == ()
    return opened.marks.families


def test_an_evening_is_there_again_the_next(sofa: Sofa, folder_chart: Path) -> None:
    """Band, marks, thread, tool and the exact view are found again, and only one file is beside the chart."""
    sofa.sit_down(folder_chart)
    sofa.press("+", "+", "+")
    sofa.point_at((3, 4))
    sofa.press("B", "Alt+Up", "Alt+Up", "Ctrl+Down")
    assert sofa.works.band.band == band_of_rows(1, 8)
    sofa.press("M", "5")
    sofa.click((1, 1))
    sofa.press("U", "1")
    sofa.click((1, 1))
    sofa.press("Ctrl+Z", "K", "O", "D", "P", "4")
    sofa.press("Right", "Down", "Shift+Right")
    marked = [family.copy() for family in sofa.desk.marks.families]
    view, showing = sofa.canvas.view, sofa.canvas.showing
    held = sofa.works.holding.held
    assert sofa.desk.tally.total().done > 1
    assert sofa.get_up()

    assert sorted(each.name for each in sofa.folder.iterdir()) == ["small harbour", "small harbour.svdone"]
    assert all(np.array_equal(*pair) for pair in zip(kept_marks(folder_chart), marked, strict=True))
    with closing(sqlite3.connect(sofa.folder / "small harbour.svdone")) as layer:
        assert layer.execute("PRAGMA integrity_check").fetchone() == ("ok",)

    sofa.sit_down()
    assert sofa.sitting.path == folder_chart
    assert sofa.canvas.view == view
    assert sofa.works.band.band == band_of_rows(1, 8)
    assert sofa.works.holding.held == held
    assert sofa.works.holding.takes.only == held.thread
    assert replace(sofa.canvas.showing.pointers, recalled=None) == showing.pointers
    assert (sofa.canvas.showing.look, sofa.canvas.showing.lit) == (showing.look, showing.lit)
    assert all(np.array_equal(*pair) for pair in zip(sofa.desk.marks.families, marked, strict=True))


def test_last_strokes_are_pointed_out_and_found_again(sofa: Sofa, harbour: Path) -> None:
    """Opened again, the chart shows for a moment where she stopped, and H goes back there."""
    sofa.sit_down(harbour)
    sofa.press("M", "3")
    sofa.drag((5, 6), (9, 8))
    sofa.press(*["+"] * 12)
    sofa.canvas.centre_on(55, 45)
    assert sofa.get_up()
    sofa.sit_down()
    recalled = sofa.canvas.showing.pointers.recalled
    assert recalled is not None
    assert (recalled.column, recalled.row) >= (5, 6)
    assert (recalled.right, recalled.bottom) <= (10, 9)
    assert not sofa.canvas.view.area.holds(5, 6)
    sofa.qtbot.waitUntil(lambda: sofa.canvas.showing.pointers.recalled is None, timeout=8000)
    sofa.press("H")
    assert sofa.canvas.showing.pointers.recalled == recalled
    assert recalled.clipped(sofa.canvas.view.area) == recalled


def test_undo_reaches_into_the_evening_before(sofa: Sofa, harbour: Path) -> None:
    """What was marked last week is taken back today, one stroke after the other."""
    sofa.sit_down(harbour)
    sofa.press("M", "3")
    sofa.drag((5, 5), (9, 9))
    first = sofa.desk.tally.total().done
    sofa.drag((20, 20), (25, 25))
    assert sofa.get_up()
    sofa.sit_down()
    sofa.press("Ctrl+Z")
    assert sofa.desk.tally.total().done == first
    sofa.press("Ctrl+Z")
    assert sofa.desk.tally.total().done == 0
    assert sofa.get_up()
    sofa.sit_down()
    sofa.press("Ctrl+Shift+Z", "Ctrl+Shift+Z")
    assert (sofa.desk.marks.squares[5:10, 5:10][sofa.desk.chart.squares[5:10, 5:10] > 0] == DONE).all()
    assert sofa.desk.tally.total().done > first


def test_a_chart_corrected_and_grown_keeps_its_marks_and_its_place(sofa: Sofa, harbour: Path) -> None:
    """A sheet added at the left, a square corrected: marks, band, pointer and view stay on their squares."""
    sofa.sit_down(harbour)
    sofa.press(*["+"] * 6)
    sofa.point_at((30, 25))
    sofa.press("F", "M", "3")
    sofa.drag((28, 24), (31, 27))
    sofa.put_pointer((33, 22))
    sofa.press("]", "]")
    middle, pitch, done = sofa.canvas.view.centre, sofa.canvas.view.pitch, sofa.desk.tally.total().done
    band = sofa.works.band.band
    assert sofa.get_up()

    old = read_chart(harbour)
    squares = np.pad(old.squares, ((2, 0), (7, 0)), constant_values=1)
    squares[2 + 40, 7 + 50] = 3 - (old.squares[40, 50] == 3)
    write_chart(replace(old, squares=squares, origin=(-7, -2)), harbour)

    sofa.sit_down()
    assert sofa.desk.tally.total().done == done
    marked = sofa.desk.marks.squares[2 + 24 : 2 + 28, 7 + 28 : 7 + 32]
    assert (marked[old.squares[24:28, 28:32] > 0] == DONE).all()
    assert band is not None
    assert band.columns is not None
    assert band.rows is not None
    moved = Band(Span(band.rows.first + 2, 10), Span(band.columns.first + 7, 10))
    assert sofa.works.band.band == moved
    assert sofa.canvas.showing.pointers.cursor == (33 + 7, 22 + 2)
    assert sofa.canvas.view.pitch == pitch
    # To half a pixel: a view begins at whole pixels, whatever the chart has grown by.
    assert sofa.canvas.view.centre == pytest.approx((middle[0] + 7, middle[1] + 2), abs=0.5 / pitch + 1e-9)
    assert sofa.works.holding.thread == 2


def test_a_double_click_brings_the_band_and_marks_nothing(sofa: Sofa, harbour: Path) -> None:
    """Also while marking, a double click is meant for the band; the half mark is taken back."""
    program = sofa.sit_down(harbour)
    sofa.press("M", "1", *["+"] * 4)
    square = next((c, 25) for c in range(25, 60) if sofa.desk.chart.squares[25, c])
    sofa.double_click(square)
    assert sofa.desk.tally.total().done == 0
    assert sofa.works.band.band == band_of_rows(21, 10)
    assert not program.menus.commands["redo"].isEnabled()
    assert sofa.get_up()
    sofa.sit_down(harbour)
    assert not sofa.desk.can_redo
    assert not sofa.desk.can_undo


def test_the_band_is_dragged_by_its_edges_and_on_the_rulers(sofa: Sofa, harbour: Path) -> None:
    """An edge on the chart, the bar on the ruler and a double click there all move the band."""
    sofa.sit_down(harbour)
    sofa.press(*["+"] * 4)
    sofa.point_at((30, 25))
    sofa.press("B")
    assert sofa.works.band.band == band_of_rows(21, 10)
    view, left = sofa.canvas.view, Qt.MouseButton.LeftButton
    none = Qt.KeyboardModifier.NoModifier
    edge = QPoint(sofa.canvas.width() // 2, view.pixel_of(0, 31)[1] + 1)
    QTest.mousePress(sofa.canvas, left, none, edge)
    QTest.mouseMove(sofa.canvas, edge + QPoint(0, int(2 * view.pitch)))
    QTest.mouseRelease(sofa.canvas, left, none, edge + QPoint(0, int(2 * view.pitch)))
    assert sofa.works.band.band == band_of_rows(21, 12)
    ruler = sofa.rulers["Row numbers"]
    bar = QPoint(ruler.width() // 2, view.pixel_of(0, 27)[1])
    QTest.mousePress(ruler, left, none, bar)
    QTest.mouseMove(ruler, bar - QPoint(0, int(3 * view.pitch)))
    QTest.mouseRelease(ruler, left, none, bar - QPoint(0, int(3 * view.pitch)))
    assert sofa.works.band.band == band_of_rows(18, 12)
    QTest.mouseDClick(ruler, left, none, QPoint(ruler.width() // 2, view.pixel_of(0, 33)[1] + 3))
    assert sofa.works.band.band == band_of_rows(28, 12)


def test_a_thread_wanted_in_the_key_is_shown_where_it_is_left(sofa: Sofa, harbour: Path) -> None:
    """Enter on a thread of the key takes it in hand and goes to a square where it is left."""
    sofa.sit_down(harbour)
    sofa.press(*["+"] * 12)
    keys = sofa.window.panels.keys
    keys.list.setFocus()
    sofa.press("Down", "Down", "Return")
    number = sofa.works.holding.thread
    assert number > 1
    column, row = sofa.canvas.showing.pointers.cursor or (0, 0)
    assert sofa.desk.chart.squares[row, column] == number
    assert sofa.canvas.view.area.holds(column, row)
    sofa.press("Space")
    assert sofa.works.holding.thread == 0


def test_the_overview_takes_her_elsewhere(sofa: Sofa, harbour: Path) -> None:
    """A click near its lower right corner looks there."""
    sofa.sit_down(harbour)
    sofa.press(*["+"] * 12)
    assert not sofa.canvas.view.area.holds(55, 45)
    overview = sofa.sitting.board.overview
    QTest.mouseClick(
        overview,
        Qt.MouseButton.LeftButton,
        Qt.KeyboardModifier.NoModifier,
        QPoint(overview.width() // 2 + overview.width() * 5 // 12, overview.height() // 2 + 50),
    )
    assert sofa.canvas.view.area.holds(55, 40)


def test_a_run_follows_the_columns_where_the_band_does(sofa: Sofa, small_chart: Callable[[], Chart]) -> None:
    """With a band of columns one press marks the run downwards, without it along the row."""
    path = sofa.folder / "columns.svchart"
    squares = np.array([[1, 1, 2], [1, 2, 2], [1, 1, 1]], np.uint16)
    chart = replace(small_chart(), identity=IDENTITY, squares=squares, sheets=())
    bare = Chart(chart.squares, chart.key, identity=IDENTITY)
    write_chart(bare, path)
    sofa.sit_down(path)
    sofa.press("4")
    sofa.click((0, 0))
    assert sofa.desk.marks.squares.tolist() == [[1, 1, 0], [0, 0, 0], [0, 0, 0]]
    sofa.press("Ctrl+Z", "V")
    sofa.click((0, 0))
    assert sofa.desk.marks.squares.tolist() == [[1, 0, 0], [1, 0, 0], [1, 0, 0]]
    assert sofa.works.holding.shape is Shape.RUN


def test_a_rectangle_by_keys_can_be_given_up(sofa: Sofa, harbour: Path) -> None:
    """The first press sets a corner and shows what it would take; Escape forgets it, then the pointer."""
    sofa.sit_down(harbour)
    sofa.put_pointer((10, 10))
    sofa.press("3", "Return", "Shift+Right", "Shift+Down")
    stretched = sofa.canvas.showing.pointers.stretched
    assert stretched is not None
    assert (stretched.columns, stretched.rows) == (2, 2)
    sofa.press("Escape")
    assert sofa.canvas.showing.pointers.stretched is None
    assert sofa.canvas.showing.pointers.cursor == (11, 11)
    assert sofa.desk.tally.total().done == 0
    sofa.press("Escape")
    assert sofa.canvas.showing.pointers.cursor is None


def test_the_middle_stays_whatever_becomes_of_the_window(sofa: Sofa, harbour: Path) -> None:
    """Made small, filling the screen and back again, the window shows exactly what it showed."""
    sofa.sit_down(harbour)
    sofa.press(*["+"] * 7)
    sofa.canvas.pan_by(37, 41)
    view = sofa.canvas.view
    for width, height in ((611, 433), (901, 777), (540, 401), (1000, 700)):
        sofa.window.resize(width, height)
        sofa.app.processEvents()
    assert sofa.canvas.view == view
    sofa.press("F11")
    sofa.app.processEvents()
    assert sofa.canvas.view.pitch == view.pitch
    sofa.press("F11")
    sofa.app.processEvents()
    sofa.window.resize(1000, 700)
    sofa.app.processEvents()
    assert sofa.canvas.view == view
