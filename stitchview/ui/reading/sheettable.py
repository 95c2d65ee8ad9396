"""The sheets beside each other as on a table: seen in their place, dragged to another."""

from collections.abc import Callable

from PySide6.QtCore import QPointF, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QScrollArea, QWidget

from stitchview.canvas.qtcolours import as_qt
from stitchview.sheets.tablecells import Cell, Size
from stitchview.ui.reading.sheetcard import SheetCard, Way
from stitchview.ui.reading.sheetmodel import SheetModel
from stitchview.ui.reading.tablelayout import TableLayout, laid_as_read, laid_out
from stitchview.ui.reading.tablesheet import TableSheet
from stitchview.ui.theme import shades_of

# How a sheet is drawn whose squares are not known yet: as a page is.
PAGE: Size = (60, 80)
NOTHING_YET = "Nothing lies on the table yet."


class SheetTable(QWidget):
    """Follows the model; `choose` is called with the row of a sheet that is chosen, `laid` after a move."""

    def __init__(self, model: SheetModel, choose: Callable[[int], None], laid: Callable[[], None]) -> None:
        super().__init__()
        self._model, self._choose, self._laid = model, choose, laid
        self._cards: dict[int, SheetCard] = {}
        self._layout: TableLayout | None = None
        self._target: Cell | None = None
        self._chosen_key = 0
        self._room = QSize(0, 0)
        self.setAccessibleName("Sheets on the table")
        for told in (model.rowsInserted, model.rowsRemoved, model.rowsMoved):
            told.connect(self.refresh)
        model.dataChanged.connect(self.refresh)
        model.layoutChanged.connect(self.refresh)

    def card(self, key: int) -> SheetCard:
        """The card of a sheet."""
        return self._cards[key]

    def place_of(self, cell: Cell) -> QPointF:
        """The middle of a place of the table, where a sheet would be laid."""
        assert self._layout is not None
        return self._layout.rect_of(cell).center()

    def show_chosen(self, key: int) -> None:
        """Show which sheet is chosen, 0 for none."""
        if key != self._chosen_key:
            had_keys = any(card.hasFocus() for card in self._cards.values())
            self._chosen_key = key
            for number, card in self._cards.items():
                card.choose(number == key)
            if had_keys and key in self._cards:
                self._cards[key].setFocus()

    def fit(self, room: QSize) -> None:
        """Lay the sheets out in a room of another size."""
        if room != self._room:
            self._room = room
            self.refresh()

    def refresh(self) -> None:
        """Lay the sheets out as they are now."""
        sheets = self._model.sheets
        if len(self._model.cells) != len(sheets):
            return
        self._have_cards()
        self._layout = self._lay_out() if sheets else None
        if self._layout is not None:
            self.setMinimumSize(self._layout.room)
            for sheet, rect, cell in zip(sheets, self._layout.rects, self._layout.cells, strict=True):
                card = self._cards[sheet.key]
                card.show_sheet(sheet, f"Column {cell[0] + 1}, row {cell[1] + 1} of the table.")
                if not card.held:
                    card.setGeometry(rect.toAlignedRect())
                    # Those that come first lie on top, so that the names at the lower ends can be read.
                    card.lower()
            self._tint_shared()
        else:
            self.setMinimumSize(0, 0)
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the table, and the place a held sheet would be laid at."""
        painter, shades = QPainter(self), shades_of(self.palette())
        painter.fillRect(self.rect(), as_qt(shades.track))
        if not self._cards:
            painter.setPen(as_qt(shades.text))
            painter.drawText(self.rect(), int(Qt.AlignmentFlag.AlignCenter), NOTHING_YET)
        if self._target is not None and self._layout is not None:
            painter.setPen(QPen(as_qt(shades.accent), 3, Qt.PenStyle.DashLine))
            painter.drawRect(self._layout.rect_of(self._target).adjusted(-4, -4, 4, 4))
        painter.end()

    def _have_cards(self) -> None:
        keys = {sheet.key for sheet in self._model.sheets}
        for gone in [key for key in self._cards if key not in keys]:
            card = self._cards.pop(gone)
            card.hide()
            card.deleteLater()
        for key in keys - self._cards.keys():
            card = self._cards[key] = SheetCard(self, key, self)
            card.choose(key == self._chosen_key)
            card.show()

    def _lay_out(self) -> TableLayout:
        model = self._model
        if model.areas:
            return laid_as_read(model.areas, model.cells, self._room)
        return laid_out([_size(sheet) for sheet in model.sheets], model.cells, self._room)

    def _tint_shared(self) -> None:
        for card in self._cards.values():
            others = [other.geometry() for other in self._cards.values() if other is not card]
            both = [other & card.geometry() for other in others] if self._model.areas else []
            card.shared = [part.translated(-card.pos()) for part in both if not part.isEmpty()]

    # What cards tell

    def chosen(self, key: int) -> None:
        """A sheet was chosen."""
        row = self._model.row_of(key)
        if row is not None and key != self._chosen_key:
            self._choose(row)

    def dragged(self, key: int, at: QPointF) -> None:
        """Show where it would be laid."""
        if self._layout is not None:
            self._target = self._layout.cell_at(at)
            self.update()

    def dropped(self, key: int, at: QPointF | None) -> None:
        """Lay it there, or back where it was."""
        row, self._target = self._model.row_of(key), None
        if at is None or row is None or self._layout is None:
            self.refresh()
        else:
            self._lay(row, self._layout.cell_at(at))

    def go(self, key: int, way: Way) -> None:
        """Choose the nearest sheet that way."""
        row = self._model.row_of(key)
        if row is None:
            return
        here = self._model.cells[row]
        ahead = [
            (abs(cell[0] - here[0]) + abs(cell[1] - here[1]), at)
            for at, cell in enumerate(self._model.cells)
            if (cell[0] - here[0]) * way[0] + (cell[1] - here[1]) * way[1] > 0
        ]
        if ahead:
            self._choose(min(ahead)[1])

    def move_card(self, key: int, way: Way) -> None:
        """Lay it one place further that way."""
        row = self._model.row_of(key)
        if row is not None:
            cell = self._model.cells[row]
            self._lay(row, (cell[0] + way[0], cell[1] + way[1]))

    def _lay(self, row: int, cell: Cell) -> None:
        self._model.lay(row, cell)
        self._laid()


class TableFrame(QScrollArea):
    """Gives the table all the room there is, and scrolls where sheets would become too small."""

    def __init__(self, table: SheetTable) -> None:
        super().__init__()
        self._table = table
        self.setWidget(table)
        self.setWidgetResizable(True)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setMinimumSize(320, 160)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Lay the sheets out anew."""
        super().resizeEvent(event)
        self._table.fit(self.maximumViewportSize())


def _size(sheet: TableSheet) -> Size:
    """How many squares wide and high a sheet is drawn; a guess by its picture where that is not known."""
    if sheet.found is not None:
        return sheet.found.lattice.columns, sheet.found.lattice.rows
    if sheet.preview is not None:
        high, wide = sheet.preview.colour.shape[:2]
        return PAGE[0], max(1, round(PAGE[0] * high / wide))
    return PAGE
