"""The threads of the key that are easily taken for each other, their colours side by side."""

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QIcon, QPainter, QPen, QPixmap
from PySide6.QtWidgets import QListWidget, QListWidgetItem, QVBoxLayout, QWidget

from stitchview.canvas.qtcolours import as_qt
from stitchview.canvas.symbolweights import symbol_weights
from stitchview.plan.likeness import Sight
from stitchview.plan.likenesspairs import LIMITS_SOURCE, SIGHT_WORDS, Eyes, LookAlike, LookAlikes, look_alikes
from stitchview.ui.keywords import name_of
from stitchview.ui.planning.planpage import GAP, words_label
from stitchview.ui.planning.plantable import PlanTable
from stitchview.ui.planning.swatches import SwatchRow, untinted
from stitchview.ui.theme import shades_of

PATCH = QSize(48, 20)
NONE_ALIKE = "No two threads of this key look alike, as far as a screen can tell."


class AlikeList(QWidget):
    """Pairs at the top, the chosen one large with its remedy below."""

    def __init__(self, table: PlanTable) -> None:
        super().__init__()
        self._table, self._chart = table, table.chart
        self._found: LookAlikes | None = None
        self.told = words_label()
        self.list = QListWidget()
        self.list.setAccessibleName("Threads that look alike")
        self.list.setIconSize(PATCH)
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.colours = SwatchRow()
        self.remedy = words_label()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, GAP, 0, 0)
        column.addWidget(self.told)
        column.addWidget(self.list, 1)
        column.addWidget(self.colours)
        column.addWidget(self.remedy)
        column.addWidget(words_label(LIMITS_SOURCE, quiet=True))
        self.list.currentRowChanged.connect(self._choose)

    def refresh(self) -> None:
        """Look for pairs, once for each key."""
        if self._found is not None and self._table.chart.key is self._chart.key:
            return
        self._chart = self._table.chart
        self.list.clear()
        self._found = found = look_alikes(self._chart.key, Eyes(weights=symbol_weights(self._chart)))
        every = sum(pair.for_every_eye for pair in found.pairs)
        told = f"{every} for every eye, {len(found.pairs) - every} more where colours are hard to see."
        self.told.setText(told if found.pairs else NONE_ALIKE)
        self.list.setVisible(bool(found.pairs))
        for pair in found.pairs:
            self.list.addItem(QListWidgetItem(self._icon(pair), self._words(pair)))
        self.list.setCurrentRow(0)

    def _words(self, pair: LookAlike) -> str:
        first, second = (name_of(self._chart.key[number - 1]) for number in pair.numbers)
        return f"{first}  and  {second}"

    def _choose(self, row: int) -> None:
        if self._found is None or not 0 <= row < len(self._found.pairs):
            return
        pair = self._found.pairs[row]
        entries = [self._chart.key[number - 1] for number in pair.numbers]
        self.colours.lay([(entry.colour, f"{entry.symbol.text} {name_of(entry)}") for entry in entries])
        # What looks alike to every eye does so to those that see fewer colours, mostly.
        seen = [Sight.NORMAL] if pair.for_every_eye else list(pair.differences)
        sights = ", ".join(f"{SIGHT_WORDS[each]} (difference {pair.differences[each]:.1f})" for each in seen)
        self.remedy.setText(f"They look alike {sights}.\n{pair.remedy.words}")

    def _icon(self, pair: LookAlike) -> QIcon:
        ratio = self.devicePixelRatioF()
        picture = QPixmap(PATCH * ratio)
        picture.setDevicePixelRatio(ratio)
        painter = QPainter(picture)
        half = PATCH.width() / 2
        for at, number in enumerate(pair.numbers):
            painter.fillRect(
                QRectF(at * half, 0, half, PATCH.height()), as_qt(self._chart.key[number - 1].colour)
            )
        painter.setPen(QPen(as_qt(shades_of(self.palette()).edge), 1))
        painter.drawRect(QRectF(0.5, 0.5, PATCH.width() - 1, PATCH.height() - 1))
        painter.end()
        return untinted(picture)
