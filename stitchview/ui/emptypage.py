"""What the window shows while no chart is open: how to open one, and those opened lately."""

from collections.abc import Sequence
from pathlib import Path
from typing import Protocol

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel, QPushButton, QVBoxLayout, QWidget

from stitchview.ui.recent import labels_of

# More would not be a short list any more; the menu has them all.
MOST = 5
WIDTH = 380


class EmptyListener(Protocol):
    """Who opens what is chosen."""

    def chart_asked(self) -> None:
        """Ask which chart to open."""

    def open_recent(self, path: Path) -> None:
        """Open a chart of the list."""


class RecentButton(QPushButton):
    """Opens one chart."""

    def __init__(self, path: Path, label: str, listener: EmptyListener) -> None:
        super().__init__(label.replace("&", "&&"))
        self._path, self._listener = path, listener
        self.setToolTip(str(path))
        self.setAccessibleDescription(str(path.parent))
        self.setAutoDefault(True)
        self.clicked.connect(self._open)

    def _open(self) -> None:
        self._listener.open_recent(self._path)


class EmptyPage(QWidget):
    """Stands where the chart stands otherwise."""

    def __init__(self, listener: EmptyListener) -> None:
        super().__init__()
        self._listener = listener
        self.open_button = QPushButton("Open a chart …")
        self.open_button.setDefault(True)
        self.open_button.setAutoDefault(True)
        self.open_button.clicked.connect(self._ask)
        self._lately = QLabel("Opened lately")
        self._column = QVBoxLayout()
        self.recent: list[RecentButton] = []
        words = QLabel("No chart is open. Open one here, or drop it on the window.")
        words.setWordWrap(True)
        words.setAlignment(Qt.AlignmentFlag.AlignCenter)
        for part in (words, self.open_button, self._lately):
            part.setMaximumWidth(WIDTH)
            self._column.addWidget(part)
        self._column.setSpacing(10)
        outer = QVBoxLayout(self)
        outer.addStretch(1)
        outer.addLayout(self._column)
        outer.addStretch(2)
        outer.setAlignment(self._column, Qt.AlignmentFlag.AlignHCenter)
        self.setFocusProxy(self.open_button)
        self.show_charts(())

    def show_charts(self, charts: Sequence[Path]) -> None:
        """List other charts."""
        for button in self.recent:
            button.hide()
            button.deleteLater()
        shown = charts[:MOST]
        labels = zip(shown, labels_of(shown), strict=True)
        self.recent = [RecentButton(path, label, self._listener) for path, label in labels]
        for button in self.recent:
            button.setFixedWidth(WIDTH)
            self._column.addWidget(button)
        self._lately.setVisible(bool(self.recent))

    def _ask(self) -> None:
        self._listener.chart_asked()
