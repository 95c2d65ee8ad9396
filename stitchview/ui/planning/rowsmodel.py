"""What the tables of the planning window share: rows of one kind in columns, with headings and a patch."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Generic, TypeVar

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, Qt
from PySide6.QtGui import QIcon

Index = QModelIndex | QPersistentModelIndex
SORT = Qt.ItemDataRole.UserRole
NONE = "–"
_RIGHT = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter

Row = TypeVar("Row")


@dataclass(frozen=True, slots=True)
class Column(Generic[Row]):
    """One column: its heading, the words of a row in it, what it is sorted by, and what it means.

    Figures stand at the `right`.
    """

    heading: str
    words: Callable[[Row], str]
    sort: Callable[[Row], float | str]
    tip: str = ""
    right: bool = True


class RowsModel(QAbstractTableModel, Generic[Row]):
    """Rows in the order in which they are given; `icons` draws the patch of one in the first column."""

    def __init__(self, columns: Sequence[Column[Row]], icons: Callable[[Row], QIcon]) -> None:
        super().__init__()
        self._columns, self._icons = tuple(columns), icons
        self._rows: tuple[Row, ...] = ()

    def put_rows(self, rows: Sequence[Row], same: bool = False) -> None:
        """Show other rows; those that are `same` in kind and number stay where they are."""
        if same and rows:
            self._rows = tuple(rows)
            self.dataChanged.emit(self.index(0, 0), self.index(len(rows) - 1, len(self._columns) - 1))
            return
        self.beginResetModel()
        self._rows = tuple(rows)
        self.endResetModel()

    def row_at(self, row: int) -> Row | None:
        """What stands in a row."""
        return self._rows[row] if 0 <= row < len(self._rows) else None

    def words(self, column: Column[Row], row: Row) -> str:
        """The words of a cell."""
        return column.words(row)

    def tip(self, column: Column[Row], row: Row) -> str:
        """What is told of a cell by whoever lets the pointer rest on it."""
        return column.words(row) if column is self._columns[0] else column.tip

    def rowCount(self, parent: Index | None = None) -> int:
        """How many rows."""
        return 0 if parent is not None and parent.isValid() else len(self._rows)

    def columnCount(self, parent: Index | None = None) -> int:
        """The columns of the table."""
        return 0 if parent is not None and parent.isValid() else len(self._columns)

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = 0) -> object:
        """The headings and what they mean."""
        if orientation is not Qt.Orientation.Horizontal or not 0 <= section < len(self._columns):
            return None
        column = self._columns[section]
        told: dict[int, object] = {Qt.ItemDataRole.DisplayRole: column.heading}
        if column.tip:
            told[Qt.ItemDataRole.ToolTipRole] = column.tip
        if column.right:
            told[Qt.ItemDataRole.TextAlignmentRole] = _RIGHT
        return told.get(role)

    def data(self, index: Index, role: int = 0) -> object:
        """The words of a cell, what it is sorted by, and the patch of its row."""
        row = self.row_at(index.row())
        if row is None:
            return None
        column, first = self._columns[index.column()], index.column() == 0
        if role == Qt.ItemDataRole.DecorationRole:
            return self._icons(row) if first else None
        words = self.words(column, row)
        told: dict[int, object] = {
            Qt.ItemDataRole.DisplayRole: words,
            Qt.ItemDataRole.AccessibleTextRole: f"{column.heading}: {words}",
            Qt.ItemDataRole.ToolTipRole: self.tip(column, row),
            SORT: index.row() if first else column.sort(row),
        }
        if column.right:
            told[Qt.ItemDataRole.TextAlignmentRole] = _RIGHT
        return told.get(role)
