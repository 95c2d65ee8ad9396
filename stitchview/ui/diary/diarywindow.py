"""The diary of a piece: what is new, and when it will be done, a page each."""

from pathlib import Path

from PySide6.QtCore import QSize, QTimer
from PySide6.QtWidgets import QDialog, QPushButton, QTabWidget, QVBoxLayout, QWidget

from stitchview.canvas.desk import Desk
from stitchview.errors import LayerError
from stitchview.ui.diary.diarybook import DiaryBook
from stitchview.ui.diary.forecastpage import ForecastPage
from stitchview.ui.diary.newpage import NewPage
from stitchview.ui.messages import say_error
from stitchview.ui.screenroom import open_at
from stitchview.ui.settingsdialog import Scrolling

SIZE = QSize(980, 600)
REFRESH_MS = 400


class DiaryWindow(QDialog):
    """Stands over the board; the chart can be used beside it, and what is marked comes in a moment later."""

    def __init__(self, desk: Desk, path: Path, title: str, parent: QWidget) -> None:
        super().__init__(parent)
        self._desk = desk
        self.setWindowTitle(f"Diary of {title}")
        self.new, self.forecast = NewPage(path.parent, title), ForecastPage()
        self.tabs = QTabWidget()
        self.tabs.setDocumentMode(True)
        self.tabs.addTab(Scrolling(self.new), "What is new")
        self.tabs.addTab(Scrolling(self.forecast), "When it will be done")
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.setInterval(REFRESH_MS)
        self._soon.timeout.connect(self.refresh)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(8, 4, 8, 8)
        outer.addWidget(self.tabs)
        for button in self.findChildren(QPushButton):
            button.setAutoDefault(False)
        open_at(self, SIZE)

    def changed(self) -> None:
        """Follow other marks when nothing has changed for a moment."""
        if self.isVisible():
            self._soon.start()

    def refresh(self) -> None:
        """Show the diary as it is now."""
        self._soon.stop()
        try:
            book = DiaryBook(self._desk)
        except LayerError as error:
            say_error(self, error)
            return
        self.new.show_book(book)
        self.forecast.show_book(book)
