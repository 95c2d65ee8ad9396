"""The overview: the whole chart in little, always true, and a way to anywhere."""

from collections.abc import Callable

import numpy as np
import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from stitchview.canvas.looks import Look
from stitchview.chart.area import Area
from tests.canvas.charts import Making, full_chart
from tests.canvas.overviewstage import Corner, PaintWatch, a_red_corner, ready
from tests.canvas.stage import close

CornerFor = Callable[..., Corner]
RED, PAPER = 0xFFFF0000, 0xFFFFFFFF


def test_the_whole_chart_is_seen_in_its_place(corner_for: CornerFor, qtbot: QtBot) -> None:
    """The chart lies in the middle on the colour of the desk, each part of it where it belongs."""
    corner = corner_for(a_red_corner())
    corner.stage.zoom(30, 0, 0)
    corner.stage.canvas.centre_on(2, 2)
    corner.look()
    picture = ready(qtbot, corner)
    desk = Look().ground.desk
    # 40 squares on 200 pixels are 5 pixels each; above and below stay 50.
    assert picture[20, 100] == 0xFF000000 | desk.red << 16 | desk.green << 8 | desk.blue
    assert (picture[126:149, 151:] == RED).all()
    assert (picture[51:120, 40:140] == PAPER).all()


@pytest.mark.parametrize("size", [(1, 1), (1, 300), (300, 1), (83, 64), (200, 200), (900, 700), (1500, 20)])
def test_any_chart_gets_its_picture(corner_for: CornerFor, qtbot: QtBot, size: tuple[int, int]) -> None:
    """From one square to a wall, an overview comes, and lies within its widget."""
    corner = corner_for(full_chart(Making(*size, 3), bare=True))
    picture = ready(qtbot, corner)
    assert len(np.unique(picture)) > 1


def test_the_first_frame_does_not_wait_for_it(corner_for: CornerFor, qtbot: QtBot) -> None:
    """When the window opens, the overview shows paper at first, and its picture a moment later."""
    corner = corner_for(full_chart(Making(900, 700, 3), bare=True))
    first = corner.shown()
    assert not corner.overview.up_to_date
    assert (ready(qtbot, corner) != first).mean() > 0.2


def test_what_is_done_is_told_apart_even_in_white(corner_for: CornerFor, qtbot: QtBot) -> None:
    """Done squares are hatched, so that white thread on white cloth shows too."""
    corner = corner_for(a_red_corner())
    before = ready(qtbot, corner)
    corner.mark(Area(0, 0, 20, 15))
    after = ready(qtbot, corner)
    changed = before != after
    assert 0.1 < changed[52:120, 4:96].mean() < 0.6
    assert not changed[:, 110:].any()


def test_marks_come_in_time_and_only_where_they_are(corner_for: CornerFor, qtbot: QtBot) -> None:
    """Many quick marks are drawn together, and only where they were made."""
    corner = corner_for(a_red_corner())
    ready(qtbot, corner)
    watch = PaintWatch(corner.overview)
    for column in range(8):
        corner.mark(Area(column, 4, 1, 1))
        corner.stage.turn()
    assert not watch.rooms
    ready(qtbot, corner)
    assert len(watch.rooms) == 1
    # Eight squares of five pixels, and a few pixels around them.
    assert watch.rooms[0].width() < 60
    assert watch.rooms[0].height() < 30


def test_after_many_marks_it_is_as_if_drawn_anew(corner_for: CornerFor, qtbot: QtBot) -> None:
    """Whatever was marked and unpicked, the overview ends as a new one would begin."""
    for side in (90, 300):
        corner = corner_for(full_chart(Making(130, 131, 4)), side)
        ready(qtbot, corner)
        for area, state in ((Area(3, 5, 60, 70), 1), (Area(50, 60, 80, 71), 1), (Area(10, 10, 20, 90), 0)):
            corner.mark(area, state)
            ready(qtbot, corner)
        other = Corner(corner.stage, side)
        assert np.array_equal(ready(qtbot, corner), ready(qtbot, other))
        close(other.overview)


def test_it_shows_where_the_view_and_the_band_are(corner_for: CornerFor, qtbot: QtBot) -> None:
    """A frame stands around what the canvas shows, and all but the band is dim."""
    corner = corner_for(a_red_corner())
    canvas = corner.stage.canvas
    corner.stage.zoom(15, 0, 0)
    canvas.centre_on(20, 10)
    corner.look()
    plain = ready(qtbot, corner)
    canvas.set_lit(Area(0, 8, 40, 2))
    corner.overview.showing_changed()
    banded = ready(qtbot, corner)
    assert (banded[60:80, 20:60] != plain[60:80, 20:60]).all()
    assert np.array_equal(banded[92:98, 10:60], plain[92:98, 10:60])
    pointer = Look().ground.pointer
    frame = 0xFF000000 | pointer.red << 16 | pointer.green << 8 | pointer.blue
    rows, columns = np.nonzero(plain == frame)
    x, y, width, height = canvas.view.area.column, canvas.view.area.row, *_size(canvas.view.area)
    assert (columns.min(), columns.max() + 1) == (5 * x, 5 * (x + width))
    assert (rows.min(), rows.max() + 1) == (50 + 5 * y, 50 + 5 * (y + height))


def _size(area: Area) -> tuple[int, int]:
    return area.columns, area.rows


def test_moving_the_view_leaves_nothing_behind(corner_for: CornerFor, qtbot: QtBot) -> None:
    """The frame moves with the view, and where it was the picture is whole again."""
    corner = corner_for(full_chart(Making(130, 131, 4), bare=True))
    corner.stage.zoom(11, 0, 0)
    ready(qtbot, corner)
    for x, y in ((10, 10), (120, 30), (64, 128), (0, 0)):
        corner.stage.canvas.centre_on(x, y)
        corner.look()
    other = Corner(corner.stage)
    assert np.array_equal(ready(qtbot, corner), ready(qtbot, other))
    close(other.overview)


def test_a_click_or_a_drag_goes_there(corner_for: CornerFor, qtbot: QtBot) -> None:
    """Where she clicks or drags on the overview comes into the middle of the canvas, and nowhere beyond."""
    corner = corner_for(a_red_corner())
    ready(qtbot, corner)
    left = Qt.MouseButton.LeftButton
    QTest.mouseClick(corner.overview, left, pos=QPoint(100, 75))
    QTest.mousePress(corner.overview, left, pos=QPoint(50, 100))
    QTest.mouseMove(corner.overview, QPoint(55, 110))
    QTest.mouseRelease(corner.overview, left, pos=QPoint(55, 110))
    QTest.mouseMove(corner.overview, QPoint(99, 99))
    QTest.mouseClick(corner.overview, Qt.MouseButton.RightButton, pos=QPoint(10, 10))
    QTest.mouseClick(corner.overview, left, pos=QPoint(199, 3))
    assert corner.guide.asked == [(20, 5), (10, 10), (11, 12), (pytest.approx(39.8), 0)]


@pytest.mark.parametrize(
    ("key", "across", "down"),
    [
        (Qt.Key.Key_Left, -1, 0),
        (Qt.Key.Key_Right, 1, 0),
        (Qt.Key.Key_Up, 0, -1),
        (Qt.Key.Key_Down, 0, 1),
    ],
)
def test_arrow_keys_move_the_view(
    corner_for: CornerFor, qtbot: QtBot, key: Qt.Key, across: int, down: int
) -> None:
    """With the keyboard on the overview, each arrow moves the view a quarter of itself."""
    corner = corner_for(full_chart(Making(130, 131, 4), bare=True))
    ready(qtbot, corner)
    corner.stage.zoom(10, 0, 0)
    corner.stage.canvas.centre_on(60, 60)
    x, y = corner.stage.canvas.view.centre
    QTest.keyClick(corner.overview, key)
    assert corner.guide.asked == [(x + across * 15 / 4, y + down * 10 / 4)]


def test_other_keys_go_on_to_the_window(corner_for: CornerFor, qtbot: QtBot) -> None:
    """Keys the overview does not know are left to the window."""
    corner = corner_for(a_red_corner())
    ready(qtbot, corner)
    QTest.keyClick(corner.overview, Qt.Key.Key_M)
    assert not corner.guide.asked


def test_it_shows_that_it_has_the_keyboard(corner_for: CornerFor, qtbot: QtBot) -> None:
    """Whoever works by keyboard sees when the overview takes the arrow keys."""
    corner = corner_for(a_red_corner())
    corner.overview.activateWindow()
    corner.overview.clearFocus()
    without = ready(qtbot, corner)
    corner.overview.setFocus()
    qtbot.waitUntil(corner.overview.hasFocus)
    assert (corner.shown(focus=True) != without).any()


def test_another_look_or_thread_in_hand_shows_soon(corner_for: CornerFor, qtbot: QtBot) -> None:
    """Night, the worked look and a thread in hand come to the overview a moment after the canvas."""
    corner = corner_for(a_red_corner())
    pictures = [ready(qtbot, corner)]
    canvas = corner.stage.canvas
    for look, in_hand in ((Look(night=True), 0), (Look(worked=True), 0), (Look(), 1), (Look(dim=0.3), 0)):
        canvas.set_look(look)
        canvas.set_in_hand(in_hand)
        canvas.set_lit(Area(0, 0, 40, 3))
        corner.overview.showing_changed()
        pictures.append(ready(qtbot, corner))
    for one in range(5):
        for other in range(one):
            assert (pictures[one] != pictures[other]).any()


def test_another_chart_takes_its_place(corner_for: CornerFor, qtbot: QtBot) -> None:
    """When another chart is opened, or none, the overview shows that."""
    corner = corner_for(a_red_corner())
    ready(qtbot, corner)
    corner.stage.canvas.set_painter(None)
    corner.overview.showing_changed()
    assert len(np.unique(corner.shown())) == 1
    QTest.mouseClick(corner.overview, Qt.MouseButton.LeftButton, pos=QPoint(100, 75))
    QTest.keyClick(corner.overview, Qt.Key.Key_Left)
    assert not corner.guide.asked


def test_a_hidden_overview_rests_and_catches_up(corner_for: CornerFor, qtbot: QtBot) -> None:
    """While it is hidden it costs nothing; shown again it is up to date."""
    corner = corner_for(a_red_corner())
    before = ready(qtbot, corner)
    corner.overview.hide()
    corner.mark(Area(0, 0, 20, 15))
    assert corner.overview.up_to_date
    corner.overview.show()
    qtbot.waitUntil(lambda: bool((corner.shown() != before).any()))


def test_it_can_have_any_size(corner_for: CornerFor, qtbot: QtBot, qapp: QApplication) -> None:
    """Made larger or smaller the overview comes anew in that size."""
    assert qapp
    corner = corner_for(full_chart(Making(130, 131, 4), bare=True))
    for width, height in ((80, 300), (400, 100), (64, 64)):
        corner.overview.resize(width, height)
        assert ready(qtbot, corner).shape == (height, width)


def test_it_has_a_name_for_a_screen_reader(corner_for: CornerFor) -> None:
    """A screen reader can say what the overview is and which keys work on it."""
    overview = corner_for(a_red_corner()).overview
    assert overview.accessibleName() == "Overview of the chart"
    assert "arrow keys" in overview.accessibleDescription()
    assert overview.focusPolicy() == Qt.FocusPolicy.StrongFocus
