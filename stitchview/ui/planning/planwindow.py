"""The planning window: cloth, thread, dye lots, stash and thread card, a page each."""

from collections.abc import Callable, Sequence
from functools import partial

from PySide6.QtCore import QSize, QTimer
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QDialog, QPushButton, QTabWidget, QVBoxLayout, QWidget

from stitchview.ui.planning.planpage import PlanPage
from stitchview.ui.screenroom import open_at

SIZE = QSize(960, 560)
REFRESH_MS = 200


class PlanWindow(QDialog):
    """Stands over the board while she plans; Escape puts it away, the chart can be used beside it."""

    def __init__(
        self, pages: Sequence[PlanPage], title: str, forget: Callable[[], None], parent: QWidget
    ) -> None:
        super().__init__(parent)
        self._forget = forget
        self.setWindowTitle(f"Plan of {title}")
        self.pages = tuple(pages)
        self.tabs = QTabWidget()
        self.tabs.setDocumentMode(True)
        for number, page in enumerate(self.pages, 1):
            self.tabs.addTab(page, page.place.value)
            self.tabs.setTabToolTip(number - 1, f"Ctrl+{number}")
            shortcut = QShortcut(QKeySequence(f"Ctrl+{number}"), self)
            shortcut.activated.connect(partial(self.turn_to, number - 1))
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.setInterval(REFRESH_MS)
        self._soon.timeout.connect(self._refresh)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(8, 4, 8, 8)
        outer.addWidget(self.tabs)
        for button in self.findChildren(QPushButton):
            # Enter takes over what is typed; it presses only the button that the keyboard is on.
            button.setAutoDefault(False)
        open_at(self, SIZE)
        self.tabs.currentChanged.connect(self._refresh)

    def turn_to(self, number: int) -> None:
        """Bring up a page, from 0, as it is now."""
        self.tabs.setCurrentIndex(number)
        self._refresh()

    def changed(self) -> None:
        """Follow other marks and notes; the page that is up when nothing has changed for a moment."""
        self._forget()
        if self.isVisible():
            self._soon.start()

    def _refresh(self) -> None:
        page = self.tabs.currentWidget()
        if isinstance(page, PlanPage):
            page.refresh()
