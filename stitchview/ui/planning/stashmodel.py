"""The table of a chart against her stash, a row for each thread."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, Qt
from PySide6.QtGui import QIcon

from stitchview.plan.stashreport import Standing, Verdict
from stitchview.plan.stashwords import called, need_words, skeins_words
from stitchview.ui.planning.threadmodel import NONE, SORT

Index = QModelIndex | QPersistentModelIndex
_RIGHT = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
VERDICT_WORDS = {each: each.value for each in Verdict} | {Verdict.HAVE: "enough", Verdict.OPEN: NONE}
_URGENT = (Verdict.BUY, Verdict.SHORT, Verdict.PROBABLY, Verdict.HAVE, Verdict.OPEN)


@dataclass(frozen=True, slots=True)
class Column:
    """One column: its heading, the words of a row in it, and what it is sorted by."""

    heading: str
    words: Callable[[Standing], str]
    sort: Callable[[Standing], float | str]


COLUMNS = (
    Column("Thread", lambda each: called(each.thread), lambda each: 0),
    Column("Verdict", lambda each: VERDICT_WORDS[each.verdict], lambda each: _URGENT.index(each.verdict)),
    Column(
        "Needs",
        lambda each: NONE if each.need is None else need_words(each.need),
        lambda each: -1.0 if each.need is None else each.need.high,
    ),
    Column(
        "You have", lambda each: skeins_words(each.skeins) if each.owned else NONE, lambda each: each.skeins
    ),
    Column("Buy", lambda each: f"{each.buy}" if each.buy else NONE, lambda each: each.buy),
)


class StashModel(QAbstractTableModel):
    """Rows are the threads of the chart; `icons` draws the patch of one."""

    def __init__(self, icons: Callable[[Standing], QIcon]) -> None:
        super().__init__()
        self._icons = icons
        self._rows: tuple[Standing, ...] = ()

    def show_standings(self, standings: Sequence[Standing]) -> None:
        """Show other rows."""
        if tuple(standings) == self._rows:
            return
        self.beginResetModel()
        self._rows = tuple(standings)
        self.endResetModel()

    def standing_at(self, row: int) -> Standing | None:
        """What stands in a row."""
        return self._rows[row] if 0 <= row < len(self._rows) else None

    def rowCount(self, parent: Index | None = None) -> int:
        """As many rows as threads."""
        return 0 if parent is not None and parent.isValid() else len(self._rows)

    def columnCount(self, parent: Index | None = None) -> int:
        """The columns of the table."""
        return 0 if parent is not None and parent.isValid() else len(COLUMNS)

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = 0) -> object:
        """The headings."""
        if orientation is not Qt.Orientation.Horizontal or not 0 <= section < len(COLUMNS):
            return None
        if role == Qt.ItemDataRole.DisplayRole:
            return COLUMNS[section].heading
        return _RIGHT if role == Qt.ItemDataRole.TextAlignmentRole and section > 1 else None

    def data(self, index: Index, role: int = 0) -> object:
        """The words of a cell, what it is sorted by, and the patch of its thread."""
        standing = self.standing_at(index.row())
        if standing is None:
            return None
        column = COLUMNS[index.column()]
        if role == Qt.ItemDataRole.DecorationRole:
            return self._icons(standing) if index.column() == 0 else None
        told: dict[int, object] = {
            Qt.ItemDataRole.DisplayRole: column.words(standing),
            Qt.ItemDataRole.AccessibleTextRole: f"{column.heading}: {column.words(standing)}",
            SORT: column.sort(standing) if index.column() else index.row(),
        }
        if index.column() > 1:
            told[Qt.ItemDataRole.TextAlignmentRole] = _RIGHT
        return told.get(role)
