"""Lists the kept copies of a chart's marks, and tells what bringing one back would lose before it does."""

from typing import Protocol

from PySide6.QtCore import QSize
from PySide6.QtWidgets import QDialog, QHBoxLayout, QListWidget, QPushButton, QVBoxLayout, QWidget

from stitchview.done.copyloss import Loss
from stitchview.done.keptcopies import KeptCopy
from stitchview.errors import StitchviewError
from stitchview.ui.planning.planpage import words_label
from stitchview.ui.screenroom import open_at

SIZE = QSize(520, 380)
WHY = "A copy of what is done is kept at closing: the last ones, then one a day, a week and a month."
NONE_YET = "No copy is kept yet. One is kept when you close the chart after marking."


class CopiesListener(Protocol):
    """Who knows the copies and brings them back."""

    def copies(self) -> tuple[KeptCopy, ...]:
        """The copies that are kept, the newest first."""

    def loss_of(self, copy: KeptCopy) -> Loss:
        """What bringing a copy back would lose; raises `LayerError`."""

    def bring_back(self, copy: KeptCopy) -> bool:
        """Bring a copy back; whether it was."""


class CopiesDialog(QDialog):
    """One press brings the chosen copy back; what would be lost stands above the button."""

    def __init__(self, listener: CopiesListener, parent: QWidget) -> None:
        super().__init__(parent)
        self._listener, self._copies = listener, listener.copies()
        self.setWindowTitle("Kept copies")
        self.list = QListWidget()
        self.list.setAccessibleName("Copies that are kept, the newest first")
        self.list.addItems([_line(each) for each in self._copies])
        self.told = words_label()
        self.bring, self.leave = QPushButton("&Bring it back"), QPushButton("&Leave all as it is")
        buttons, outer = QHBoxLayout(), QVBoxLayout(self)
        buttons.addStretch(1)
        for button in (self.bring, self.leave):
            buttons.addWidget(button)
        outer.addWidget(words_label(WHY, quiet=True))
        outer.addWidget(self.list, 1)
        outer.addWidget(self.told)
        outer.addLayout(buttons)
        self.leave.setDefault(True)
        self.list.currentRowChanged.connect(self._choose)
        self.bring.clicked.connect(self._bring_back)
        self.leave.clicked.connect(self.reject)
        self.bring.setEnabled(False)
        if self._copies:
            self.list.setCurrentRow(0)
        else:
            self.told.setText(NONE_YET)
        open_at(self, SIZE)

    def _choose(self, row: int) -> None:
        try:
            loss = self._listener.loss_of(self._copies[row])
        except StitchviewError as error:
            self.told.setText(str(error))
            self.bring.setEnabled(False)
            return
        self.told.setText(loss.words)
        self.bring.setEnabled(bool(loss.going or loss.coming))

    def _bring_back(self) -> None:
        row = self.list.currentRow()
        if row >= 0 and self._listener.bring_back(self._copies[row]):
            self.accept()


def _line(copy: KeptCopy) -> str:
    made = copy.made.astimezone()
    strokes = "1 stroke" if copy.strokes == 1 else f"{copy.strokes:,} strokes"
    return f"{copy.number}: {made.day} {made:%b %Y, %H:%M}, {strokes}"
