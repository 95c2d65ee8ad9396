"""A planning window over a small harbour, without the main window around it."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import pytest
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from stitchview.canvas.desk import Desk
from stitchview.canvas.view import View
from stitchview.chart.model import Chart
from stitchview.ui.bench import Bench, lay_out
from stitchview.ui.hint import Hint, Voice
from stitchview.ui.messages import NoticeBar
from stitchview.ui.planning.making import plan_window
from stitchview.ui.planning.needbook import NeedBook
from stitchview.ui.planning.plantable import PlanTable
from stitchview.ui.planning.planwindow import PlanWindow
from stitchview.ui.signboard import SignBoard


class Board(QWidget):
    """What the window stands over; it counts how often everything was to be shown anew."""

    shown = 0

    def show_all(self) -> None:
        """Count."""
        self.shown += 1

    def view_changed(self, view: View) -> None:
        """The canvas looks elsewhere."""


@dataclass
class Plan:
    """A planning window, what it works on, and what it stands over."""

    bench: Bench
    window: PlanWindow
    board: Board

    @property
    def desk(self) -> Desk:
        return self.bench.desk


PlanOn = Callable[[Chart], Plan]


@pytest.fixture
def plan_on(make_desk: Callable[[Chart], Desk], qtbot: QtBot) -> Iterator[PlanOn]:
    """A builder of planning windows over a chart."""
    boards: list[Board] = []
    windows: list[PlanWindow] = []

    def make(chart: Chart) -> Plan:
        board, desk = Board(), make_desk(chart)
        boards.append(board)
        bench = lay_out(desk, board)
        bench.canvas.setParent(board)
        notices, hint = NoticeBar(), Hint()
        notices.setParent(board)
        hint.setParent(board)
        table = PlanTable(bench, Voice(notices, hint), SignBoard(bench.canvas), board.show_all)
        window = plan_window(NeedBook(table), board)
        window.show()
        windows.append(window)
        return Plan(bench, window, board)

    yield make
    for window in windows:
        window.close()
    for board in boards:
        board.close()
        board.deleteLater()


@pytest.fixture
def small(small_chart: Callable[[], Chart]) -> Chart:
    """The small harbour."""
    return small_chart()


@pytest.fixture
def plan(plan_on: PlanOn, small: Chart) -> Plan:
    """A planning window over the small harbour."""
    return plan_on(small)
