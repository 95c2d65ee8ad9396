"""The chart that is being named and answered on the reading table, with undo, until it is taken over."""

from pathlib import Path

from PySide6.QtCore import QObject, QRect, Signal
from PySide6.QtGui import QImage

from stitchview.canvas.looks import Look
from stitchview.chart.model import Chart, Sheet
from stitchview.ui.chips import Chips

MOST_BACK = 200
# Most piles have no colour yet; black on white they look as on the paper.
PRINTED = Look(paper=True)


class ReviewBook(QObject):
    """Holds one chart; `changed` is told after every change of it."""

    changed = Signal()

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self.chart: Chart | None = None
        self.path: Path | None = None
        self.unkept = False
        self._back: list[Chart] = []
        self._sheets: dict[str, QImage] = {}
        self._chips = Chips(PRINTED)

    @property
    def chips(self) -> Chips:
        """The symbols of the chart's key as they are printed; no name or colour alters them."""
        return self._chips

    def begin(self, chart: Chart, path: Path) -> None:
        """Go on with another chart."""
        self.chart, self.path, self.unkept = chart, path, False
        self._back.clear()
        self._sheets.clear()
        self._chips = Chips(PRINTED, chart.attachments)
        self.changed.emit()

    def take(self, chart: Chart) -> None:
        """Go on with the chart as a person has changed it."""
        if self.chart is None or chart is self.chart:
            return
        self._back.append(self.chart)
        del self._back[:-MOST_BACK]
        self.chart, self.unkept = chart, True
        self.changed.emit()

    @property
    def can_undo(self) -> bool:
        """Whether there is a change to take back."""
        return bool(self._back)

    def undo(self) -> None:
        """Take the last change back."""
        if self._back:
            self.chart, self.unkept = self._back.pop(), True
            self.changed.emit()

    def cut_out(self, column: int, row: int, around: int) -> QImage:
        """The paper of a square with so many squares around it; null where no sheet shows it."""
        sheet = self._sheet_at(column, row)
        if sheet is None or self.chart is None:
            return QImage()
        whole = self._sheets.get(sheet.picture)
        if whole is None:
            whole = self._sheets[sheet.picture] = _loaded(self.chart.attachments[sheet.picture])
        wide, high = whole.width() / sheet.area.columns, whole.height() / sheet.area.rows
        left, top = column - sheet.area.column - around, row - sheet.area.row - around
        size = 2 * around + 1
        # Beyond the sheet's edge Qt fills with nothing, so that the square stays in the middle.
        return whole.copy(
            QRect(round(left * wide), round(top * high), round(size * wide), round(size * high))
        )

    def _sheet_at(self, column: int, row: int) -> Sheet | None:
        sheets = () if self.chart is None else self.chart.sheets
        pictures = {} if self.chart is None else self.chart.attachments
        return next(
            (each for each in sheets if each.picture in pictures and each.area.holds(column, row)), None
        )


def _loaded(content: bytes) -> QImage:
    return QImage.fromData(content).convertToFormat(QImage.Format.Format_ARGB32_Premultiplied)
