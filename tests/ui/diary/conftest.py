"""A desk with evenings behind it, and its diary."""

from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from stitchview.canvas.desk import Desk
from stitchview.chart.area import Area
from stitchview.chart.model import Chart
from stitchview.done.change import DONE
from stitchview.done.history import Maker
from stitchview.done.joining import Piece
from stitchview.done.layerfile import open_layer
from stitchview.done.marks import change_to
from stitchview.done.shapes import Takes, rectangle
from stitchview.ui.diary.diaryreader import Shot
from stitchview.ui.diary.diarywindow import DiaryWindow


class Evenings:
    """A desk with evenings behind it, one every other day up to today, and its diary."""

    def __init__(self, chart: Chart, folder: Path, evenings: int, qtbot: QtBot) -> None:
        self.qtbot, self.shown = qtbot, list[Shot]()
        self.chart, path = chart, folder / "harbour.svchart"
        opened = open_layer(path, chart, folder / "elsewhere", "sofa")
        clock = [0]
        maker = Maker("sofa", clock=lambda: clock[0])
        begin = datetime.now(UTC) - timedelta(days=2 * evenings)
        for evening in range(evenings):
            for step in range(2):
                when = begin + timedelta(days=2 * evening, minutes=4 * step)
                clock[0] = int(when.timestamp() * 1000)
                area = Area(6 * step, 1 + evening, 6, 1)
                change = change_to(opened.marks, rectangle(chart, area, Takes()), DONE)
                if change is not None:
                    opened.layer.put(maker.stroke("mark", change=change))
        opened.layer.commit()
        opened.layer.close()
        self.desk = Desk(open_layer(path, chart, folder / "elsewhere", "sofa"))
        self.parent = QWidget()
        piece = Piece(path, chart, folder / "elsewhere")
        self.diary = DiaryWindow(self.desk, piece, "Harbour", self.parent, self.shown.append)
        self.diary.refresh()
        self.diary.show()
        self.settle()

    def settle(self) -> None:
        """Wait until all that the diary reckons beside the window is shown."""
        self.qtbot.waitUntil(lambda: self.diary.settled, timeout=20_000)

    def close(self) -> None:
        self.diary.end()
        self.desk.close()
        self.parent.deleteLater()


@pytest.fixture
def evenings(
    qtbot: QtBot, small_chart: Callable[[], Chart], tmp_path: Path
) -> Iterator[Callable[[int], Evenings]]:
    """Makes a diary of so many evenings."""
    made: list[Evenings] = []

    def make(count: int) -> Evenings:
        made.append(Evenings(small_chart(), tmp_path, count, qtbot))
        return made[-1]

    yield make
    for each in made:
        each.close()
