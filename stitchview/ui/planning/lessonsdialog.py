"""What finished pieces teach the others, each to be taken, refused or forgotten."""

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from stitchview.errors import StitchviewError
from stitchview.plan.finishedpieces import FinishedPieces
from stitchview.plan.lessonwords import taught_by
from stitchview.ui.messages import say_error
from stitchview.ui.planning.planpage import words_label

WHY = (
    "How cloth came out, how much thread you used and how fast you worked is reckoned with on other pieces."
    " Take the tick off a piece from which nothing is to be learnt."
)
NONE_YET = "No piece was finished yet."


class LessonsDialog(QDialog):
    """Keeps every tick at once, and calls `changed` after it."""

    def __init__(self, kept: FinishedPieces, changed: Callable[[], None], parent: QWidget) -> None:
        super().__init__(parent)
        self._kept, self._changed, self._filling = kept, changed, False
        self.setWindowTitle("What finished pieces teach")
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.list = QListWidget()
        self.list.setAccessibleName("Finished pieces; ticked ones are learnt from")
        self.list.setWordWrap(True)
        self.list.setSpacing(3)
        self.forget = QPushButton("&Forget this piece")
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
        buttons.addButton(self.forget, QDialogButtonBox.ButtonRole.ActionRole)
        self.forget.setAutoDefault(False)
        buttons.button(QDialogButtonBox.StandardButton.Close).setDefault(True)
        self.told = words_label(NONE_YET)
        outer = QVBoxLayout(self)
        for part in (words_label(WHY), self.told, self.list, buttons):
            outer.addWidget(part)
        self.resize(560, 380)
        self.list.itemChanged.connect(self._take)
        self.forget.clicked.connect(self._forget)
        buttons.rejected.connect(self.reject)
        self._fill()

    def _fill(self) -> None:
        self._filling = True
        self.list.clear()
        for piece in self._kept.pieces():
            lines = [f"{piece.from_words[:1].upper()}{piece.from_words[1:]}", *taught_by(piece)]
            item = QListWidgetItem("\n".join(lines))
            item.setData(Qt.ItemDataRole.UserRole, piece.identity)
            item.setCheckState(Qt.CheckState.Checked if piece.taken else Qt.CheckState.Unchecked)
            self.list.addItem(item)
        self.list.setCurrentRow(0)
        self._filling = False
        self.forget.setEnabled(self.list.count() > 0)
        self.told.setVisible(self.list.count() == 0)

    def _take(self, item: QListWidgetItem) -> None:
        if self._filling:
            return
        try:
            taken = item.checkState() == Qt.CheckState.Checked
            self._kept.take(item.data(Qt.ItemDataRole.UserRole), taken)
        except StitchviewError as error:
            say_error(self, error)
            self._fill()
        self._changed()

    def _forget(self) -> None:
        piece = self.list.currentIndex().data(Qt.ItemDataRole.UserRole)
        try:
            self._kept.take_out(piece)
        except StitchviewError as error:
            say_error(self, error)
        self._fill()
        self._changed()
