"""The table of the need of thread, a row for each thread as it is bought."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, Qt
from PySide6.QtGui import QIcon

from stitchview.chart.problems import counted
from stitchview.plan.interval import Interval
from stitchview.plan.need import ThreadNeed
from stitchview.plan.needreport import metres
from stitchview.plan.runout import RunOut
from stitchview.plan.stashwords import called
from stitchview.plan.threads import ThreadName

Index = QModelIndex | QPersistentModelIndex
SORT = Qt.ItemDataRole.UserRole
NONE = "–"
_RIGHT = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter


@dataclass(frozen=True, slots=True)
class Column:
    """One column: its heading, the words of a row in it, and what it is sorted by."""

    heading: str
    tip: str
    words: Callable[[ThreadNeed], str]
    sort: Callable[[ThreadNeed], float | str]


def span_words(span: Interval, amount: Callable[[float], str]) -> str:
    """A span with as few words as possible: "1.2 to 1.6", or one number where both ends round alike."""
    if span.high <= 0:
        return NONE
    low, high = amount(span.low), amount(span.high)
    return high if low == high else f"{low} to {high}"


def skeins(amount: float) -> str:
    """Skeins to the tenth."""
    return f"{amount:.1f}"


def _left(need: ThreadNeed) -> str:
    count = need.left.beads if need.is_bead else need.left.stitches
    return f"{count:,}" if count else "done" if need.all.stitches or need.all.beads else NONE


def _skeins(span: Interval, need: ThreadNeed) -> str:
    return NONE if need.is_bead else span_words(span, skeins)


COLUMNS = (
    Column(
        "Thread", "As it is bought: blends are taken apart", lambda need: called(need.thread), lambda need: 0
    ),
    Column("Left", "Stitches left, part stitches and lines too", _left, lambda need: need.left.stitches),
    Column(
        "Metres left",
        "Thread in the needle for what is left, eight times in ten",
        lambda need: span_words(need.left.needle_m, metres),
        lambda need: need.left.needle_m.likely,
    ),
    Column(
        "Skeins: all",
        "Skeins for the whole chart, eight times in ten",
        lambda need: _skeins(need.all.skeins, need),
        lambda need: need.all.skeins.likely,
    ),
    Column(
        "done",
        "Skeins for what is done",
        lambda need: _skeins(need.done.skeins, need),
        lambda need: need.done.skeins.likely,
    ),
    Column(
        "left",
        "Skeins for what is left",
        lambda need: _skeins(need.left.skeins, need),
        lambda need: need.left.skeins.likely,
    ),
    Column(
        "To have",
        "Whole skeins to have for what is left, with a margin",
        lambda need: NONE if need.is_bead else f"{need.buy_left}",
        lambda need: need.buy_left,
    ),
)


class ThreadModel(QAbstractTableModel):
    """Rows are threads in the order of the key; `icons` draws the patch of a thread."""

    def __init__(self, icons: Callable[[ThreadNeed], QIcon]) -> None:
        super().__init__()
        self._icons = icons
        self._rows: tuple[ThreadNeed, ...] = ()
        self._short: dict[ThreadName, RunOut] = {}

    def show_needs(self, needs: Sequence[ThreadNeed], short: Sequence[RunOut] = ()) -> None:
        """Show other needs, and which threads run short; the same threads stay where they are."""
        self._short = {each.need.thread.identity: each for each in short}
        same = [each.thread for each in needs] == [each.thread for each in self._rows]
        if same and needs:
            self._rows = tuple(needs)
            self.dataChanged.emit(self.index(0, 0), self.index(len(needs) - 1, len(COLUMNS) - 1))
            return
        self.beginResetModel()
        self._rows = tuple(needs)
        self.endResetModel()

    def need_at(self, row: int) -> ThreadNeed | None:
        """The need in a row."""
        return self._rows[row] if 0 <= row < len(self._rows) else None

    def rowCount(self, parent: Index | None = None) -> int:
        """As many rows as threads."""
        return 0 if parent is not None and parent.isValid() else len(self._rows)

    def columnCount(self, parent: Index | None = None) -> int:
        """The columns of the table."""
        return 0 if parent is not None and parent.isValid() else len(COLUMNS)

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = 0) -> object:
        """The headings and what they mean."""
        if orientation is not Qt.Orientation.Horizontal or not 0 <= section < len(COLUMNS):
            return None
        if role == Qt.ItemDataRole.DisplayRole:
            return COLUMNS[section].heading
        if role == Qt.ItemDataRole.ToolTipRole:
            return COLUMNS[section].tip
        if role == Qt.ItemDataRole.TextAlignmentRole and section:
            return _RIGHT
        return None

    def data(self, index: Index, role: int = 0) -> object:
        """The words of a cell, what it is sorted by, and the patch of its thread."""
        need = self.need_at(index.row())
        if need is None:
            return None
        column, first = COLUMNS[index.column()], index.column() == 0
        if role == Qt.ItemDataRole.DecorationRole:
            return self._icons(need) if first else None
        words = self._words(column, need)
        told: dict[int, object] = {
            Qt.ItemDataRole.DisplayRole: words,
            Qt.ItemDataRole.AccessibleTextRole: f"{column.heading}: {words}",
            Qt.ItemDataRole.ToolTipRole: called(need.thread) if first else column.tip,
            SORT: index.row() if first else column.sort(need),
        }
        if not first:
            told[Qt.ItemDataRole.TextAlignmentRole] = _RIGHT
        return told.get(role)

    def _words(self, column: Column, need: ThreadNeed) -> str:
        short = self._short.get(need.thread.identity)
        return f"buy {short.buy}" if short is not None and column is COLUMNS[-1] else column.words(need)


def skein_words(need: ThreadNeed) -> str:
    """What one skein of a thread is taken to be."""
    return f"{need.skein.length_m:g} m of {counted(need.skein.strands, 'strand')}"
