"""A list to choose one from that ends names too long for it with dots, not in the middle of a letter."""

from PySide6.QtCore import Qt
from PySide6.QtGui import QPaintEvent
from PySide6.QtWidgets import QComboBox, QStyle, QStyleOptionComboBox, QStylePainter

# Between the words and the edges of the room that the style gives them.
EDGE = 8


class Chooser(QComboBox):
    """Shows as much of the chosen line as there is room for; the rest is in its tip."""

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the frame, the picture, and the words, shortened where they do not fit."""
        painter, option = QStylePainter(self), QStyleOptionComboBox()
        self.initStyleOption(option)
        whole, field = QStyle.ComplexControl.CC_ComboBox, QStyle.SubControl.SC_ComboBoxEditField
        room = self.style().subControlRect(whole, option, field, self).width() - EDGE
        if not self.itemIcon(self.currentIndex()).isNull():
            room -= self.iconSize().width() + EDGE
        option.currentText = self.fontMetrics().elidedText(
            self.currentText(), Qt.TextElideMode.ElideRight, max(0, room)
        )
        self.setToolTip(self.currentText() if option.currentText != self.currentText() else "")
        painter.drawComplexControl(whole, option)
        painter.drawControl(QStyle.ControlElement.CE_ComboBoxLabel, option)
        painter.end()
