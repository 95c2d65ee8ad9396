"""The steps of the tour at the reading table: a sheet is dropped, followed, read, named and corrected."""

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QCoreApplication, QDeadlineTimer, QMimeData, QPoint, QPointF, Qt, QUrl
from PySide6.QtGui import QDragEnterEvent, QDropEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QWidget

from stitchview.chart.fileformat import read_chart
from stitchview.ui.papersheet import draw_sheet
from stitchview.ui.program import Program

LONGEST_MS = 180_000
NAME = "Sample cotton 17, slate blue"
Step = tuple[str, str, Callable[[], None]]


class PaperSteps:
    """Uses the program that ``program`` gives, and writes into the folder ``work``."""

    def __init__(self, program: Callable[[], Program], chart: Path, work: Path) -> None:
        self._program, self._chart = program, chart
        self._sheet, self._read = work / "sheet.png", work / "read from paper.svchart"

    def steps(self) -> list[Step]:
        """The steps in their order: name, what they show, and what is done."""
        return [
            (
                "paper-found",
                "A sheet dropped on the window: found on the reading table.",
                self._drop,
            ),
            ("paper-followed", "Followed at once on its picture, before a symbol is read.", self._follow),
            ("paper-piles", "The symbols as piles with their squares; the largest is named.", self._piles),
            ("paper-doubts", "Doubts asked one by one, and those like it beside it.", self._doubts),
            ("paper-check", "The check list: what tells that the chart is as it is printed.", self._check),
            ("paper-read", "The chart that was read, put together from its piles.", self._away),
            ("pencil", "The pencil: a square, line or knot is corrected at any time.", self._pencil),
        ]

    @property
    def front(self) -> QWidget | None:
        """The window that is looked at, where it is not the program's own."""
        deeds = self._program().deeds
        if deeds.reading.table is not None and deeds.reading.table.isVisible():
            return deeds.reading.table
        return deeds.pencil.panel if deeds.pencil.in_hand else None

    def _drop(self) -> None:
        program = self._program()
        program.window.set_alone(False)
        draw_sheet(read_chart(self._chart), self._sheet)
        data = QMimeData()
        data.setUrls([QUrl.fromLocalFile(str(self._sheet))])
        action, left = Qt.DropAction.CopyAction, Qt.MouseButton.LeftButton
        none = Qt.KeyboardModifier.NoModifier
        enter = QDragEnterEvent(QPoint(9, 9), action, data, left, none)
        QCoreApplication.sendEvent(program.window, enter)
        QCoreApplication.sendEvent(program.window, QDropEvent(QPointF(9, 9), action, data, left, none))
        _wait(self._looked_through)

    def _looked_through(self) -> bool:
        table = self._program().deeds.reading.table
        return table is None or not any(sheet.busy for sheet in table.sheets.model.sheets)

    def _follow(self) -> None:
        self._make(symbols=False)
        self._away()

    def _piles(self) -> None:
        self._program().deeds.reading.open()
        self._make(symbols=True)
        table = self._program().deeds.reading.table
        if table is not None:
            _wait(self._looks_known)
            self._keys("Ctrl+2")
            table.piles.form.name.setFocus()
            table.piles.form.name.selectAll()
            QTest.keyClicks(table.piles.form.name, NAME)
            QTest.keyClick(table.piles.form.name, Qt.Key.Key_Return)

    def _doubts(self) -> None:
        self._keys("Ctrl+3")

    def _check(self) -> None:
        self._keys("Ctrl+4")

    def _away(self) -> None:
        table = self._program().deeds.reading.table
        if table is not None:
            QTest.keyClick(table, Qt.Key.Key_Escape)

    def _pencil(self) -> None:
        self._program().deeds.switch_pencil()

    def _make(self, symbols: bool) -> None:
        table = self._program().deeds.reading.table
        if table is not None:
            table.make_chart(self._read, symbols)
            _wait(self._made)

    def _made(self) -> bool:
        table = self._program().deeds.reading.table
        return table is None or not table.job.busy

    def _looks_known(self) -> bool:
        table = self._program().deeds.reading.table
        return table is None or not table.book.learning

    def _keys(self, key: str) -> None:
        table = self._program().deeds.reading.table
        if table is not None:
            table.activateWindow()
            QCoreApplication.processEvents()
            QTest.keySequence(table, key)


def _wait(ready: Callable[[], bool]) -> None:
    until = QDeadlineTimer(LONGEST_MS)
    while not ready() and not until.hasExpired():
        QCoreApplication.processEvents()
        QTest.qWait(5)
