"""The key as a list: its rows in the order she wants them, each with what is left of it."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import Enum

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QAbstractListModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from stitchview.canvas.desk import Desk
from stitchview.chart.model import KeyEntry
from stitchview.done.change import FIRST_LEG
from stitchview.done.counts import Counts, Progress, in_halves
from stitchview.done.inventory import others_words
from stitchview.done.usedkey import instead_words
from stitchview.follow.place import thread_words
from stitchview.plan.threadtests import told_test, wash_test
from stitchview.ui.keywords import begins, has, name_of, natural, short_names

Index = QModelIndex | QPersistentModelIndex
Numbers = NDArray[np.int64]

ROW = Qt.ItemDataRole.UserRole
_NOWHERE = QModelIndex()
# With more rows than this touched at once, one message for all of them is cheaper than one each.
_MOST_TOLD_ALONE = 64


class Order(Enum):
    """How the key is sorted; the values are what the chooser says."""

    KEY = "Key order"
    LEFT = "Most left first"
    NAME = "By name"
    NUMBER = "By number"


@dataclass(frozen=True, slots=True)
class KeyRow:
    """One thread of the key as the list shows it."""

    number: int
    entry: KeyEntry
    short_name: str
    stitches: int
    done: int
    in_hand: bool
    progress: Progress = Progress(0, 0)  # noqa: RUF009 (frozen, so one default can be shared)
    tested: str = ""

    @property
    def left(self) -> int:
        """How many stitches are left."""
        return self.stitches - self.done

    @property
    def to_go(self) -> float:
        """How much is left to stitch: a first leg is half a stitch, here as in the diary."""
        return self.left - self.progress.first_legs / 2

    @property
    def finished(self) -> bool:
        """Whether all its stitches are done; of none at all nothing can be finished."""
        return self.stitches > 0 and self.left == 0

    @property
    def name(self) -> str:
        """What the thread is called."""
        return name_of(self.entry)

    @property
    def small_words(self) -> str:
        """Its own number, its kind, and what is particular about it."""
        entry = self.entry
        blend = f"blend of {len(entry.blend)}" if entry.blend else ""
        told = [instead_words(entry), entry.number, entry.kind, blend]
        told.append("held back" if entry.held_back else "")
        told.append(self.tested)
        return " · ".join(word for word in told if word)

    @property
    def spoken(self) -> str:
        """The row as a screen reader says it."""
        counts = f"{in_halves(self.to_go)} of {self.stitches:,} left"
        told = [self.name, instead_words(self.entry), "in hand" if self.in_hand else ""]
        told.append("finished" if self.finished else "")
        told.append(counts if self.stitches else "not used in the chart")
        told.append(others_words(self.progress))
        told.append("held back until last" if self.entry.held_back else "")
        told.append(self.tested)
        return ", ".join(word for word in told if word)

    @property
    def tip(self) -> str:
        """All that is known of the row, for whoever lets the pointer rest on it."""
        return f"{thread_words(self.entry)}\n{self.small_words}\n{self.spoken}"


class KeyModel(QAbstractListModel):
    """The threads of the chart on a desk; after marks only the rows that changed are told of."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._desk: Desk | None = None
        self._key: Sequence[KeyEntry] = ()
        self._short_names: Sequence[str] = ()
        self._stitches: Counts = np.zeros(1, np.int64)
        self._done: Counts = np.zeros(1, np.int64)
        self._marked: NDArray[np.int64] = np.zeros((1, 1), np.int64)
        self._shown: Numbers = np.zeros(0, np.int64)
        self._row_of: Numbers = np.full(1, -1, np.int64)
        self._in_hand = 0
        self._order = Order.KEY
        self._wanted = ""

    def set_desk(self, desk: Desk | None) -> None:
        """Show the key of another chart."""
        self.beginResetModel()
        self._desk, self._in_hand = desk, 0
        self._name_threads(desk.chart.key if desk else ())
        self._stitches = desk.tally.stitches() if desk else np.zeros(1, np.int64)
        self._done = desk.tally.done() if desk else np.zeros(1, np.int64)
        self._marked = desk.tally.counts.sum(axis=1) if desk else np.zeros((1, 1), np.int64)
        self._show(self._arranged())
        self.endResetModel()

    def set_in_hand(self, number: int) -> None:
        """Show another thread as in hand; 0 for none."""
        before, self._in_hand = self._in_hand, number
        if before != number:
            self._tell(np.array([before, number]))

    def set_order(self, order: Order) -> None:
        """Sort otherwise."""
        self._order = order
        self._rearrange()

    def set_wanted(self, wanted: str) -> None:
        """Show only threads in whose words every word of `wanted` is found."""
        self.beginResetModel()
        self._wanted = wanted
        self._show(self._arranged())
        self.endResetModel()

    def refresh(self) -> None:
        """Take over what has been marked since."""
        if self._desk is None:
            return
        marked = self._desk.tally.counts.sum(axis=1)
        changed = np.flatnonzero((marked != self._marked).any(axis=1))
        if changed.size:
            self._done, self._marked = self._desk.tally.done(), marked
            if self._order is Order.LEFT:
                self._rearrange()
            self._tell(changed)

    def notes_changed(self) -> bool:
        """Take over which threads are used; whether they are others than before."""
        if self._desk is None or self._desk.chart.key is self._key:
            return False
        self.beginResetModel()
        self._name_threads(self._desk.chart.key)
        self._show(self._arranged())
        self.endResetModel()
        return True

    # What the list asks for

    def rowCount(self, parent: Index = _NOWHERE) -> int:
        """Tell how many threads are shown."""
        return 0 if parent.isValid() else len(self._shown)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Give a row as `KeyRow`, or as words."""
        if not index.isValid():
            return None
        row = self.row_at(index.row())
        if role == ROW:
            return row
        told = {
            Qt.ItemDataRole.DisplayRole: row.name,
            Qt.ItemDataRole.AccessibleTextRole: row.spoken,
            Qt.ItemDataRole.ToolTipRole: row.tip,
        }
        return told.get(Qt.ItemDataRole(role))

    @property
    def names(self) -> list[str]:
        """The names of all threads of the key, shown or not."""
        return [name_of(entry) for entry in self._key]

    def row_at(self, place: int) -> KeyRow:
        """Give the row at a place of the list, from 0."""
        number = self.number_at(place)
        stitches, done = int(self._stitches[number]), int(self._done[number])
        entry, short = self._key[number - 1], self._short_names[number - 1]
        if self._desk is not None and (held := self._desk.notes.is_held(entry)) is not entry.held_back:
            # As she chose, whatever the chart says.
            entry = replace(entry, held_back=held)
        progress = self._desk.tally.of_key(number) if self._desk is not None else Progress(stitches, done)
        test = wash_test(self._desk.notes.tests, entry) if self._desk is not None else None
        told = "" if test is None else told_test(test)
        return KeyRow(number, entry, short, stitches, done, number == self._in_hand, progress, told)

    def number_at(self, place: int) -> int:
        """Give the number of the key entry at a place of the list."""
        return int(self._shown[place])

    def place_of(self, number: int) -> int:
        """Give the place of a key entry in the list; -1 if it is not shown."""
        return int(self._row_of[number]) if 0 < number < len(self._row_of) else -1

    def place_begun_by(self, typed: str, after: int) -> int:
        """Give the place of the next thread whose number, or a word of whose name, begins so; -1 for none.

        It is looked for from `after` on, round and round; a number that is just what was typed wins.
        """
        typed, count = typed.casefold(), len(self._shown)
        begun = -1
        for step in range(count):
            place = (after + step) % count
            entry = self._key[self.number_at(place) - 1]
            if entry.number.casefold() == typed:
                return place
            if begun < 0 and begins(entry, typed):
                begun = place
        return begun

    @property
    def totals(self) -> str:
        """The sums over the whole key, in words."""
        if self._desk is None:
            return ""
        stitches, total = int(self._stitches.sum()), self._desk.tally.total()
        finished = int(((self._done == self._stitches) & (self._stitches > 0)).sum())
        share = f"{total.share} done"
        if not stitches:
            return "Nothing to stitch on this chart"
        hidden = (
            f"{len(self._shown):,} of {len(self._key):,} threads shown · " if self._wanted.strip() else ""
        )
        used = int((self._stitches > 0).sum())
        threads = "thread" if used == 1 else "threads"
        return (
            f"{hidden}{in_halves(total.to_go)} left · {share} · {finished:,} of {used:,} {threads} finished"
        )

    def _name_threads(self, key: Sequence[KeyEntry]) -> None:
        self._key, self._short_names = key, short_names([name_of(entry) for entry in key])

    # Arranging

    def _arranged(self) -> Numbers:
        words = self._wanted.casefold().split()
        numbers = [n for n, entry in enumerate(self._key, 1) if has(entry, words)]
        match self._order:
            case Order.LEFT:
                legs = self._marked[:, FIRST_LEG]
                numbers.sort(key=lambda n: self._done[n] - self._stitches[n] + legs[n] / 2)
            case Order.NAME:
                numbers.sort(key=lambda n: natural(name_of(self._key[n - 1])))
            case Order.NUMBER:
                numbers.sort(key=lambda n: (not self._key[n - 1].number, natural(self._key[n - 1].number)))
        return np.array(numbers, np.int64)

    def _rearrange(self) -> None:
        """Sort anew, so that what is pointed at stays the same thread."""
        arranged = self._arranged()
        if np.array_equal(arranged, self._shown):
            return
        self.layoutAboutToBeChanged.emit()
        before = self.persistentIndexList()
        numbers = [self.number_at(index.row()) for index in before]
        self._show(arranged)
        self.changePersistentIndexList(before, [self.index(self.place_of(number)) for number in numbers])
        self.layoutChanged.emit()

    def _show(self, numbers: Numbers) -> None:
        self._shown = numbers
        self._row_of = np.full(len(self._key) + 1, -1, np.int64)
        self._row_of[numbers] = np.arange(len(numbers))

    def _tell(self, numbers: Numbers) -> None:
        known = numbers[(numbers > 0) & (numbers < len(self._row_of))]
        places = self._row_of[known]
        places = places[places >= 0]
        if len(places) > _MOST_TOLD_ALONE:
            self.dataChanged.emit(self.index(int(places.min())), self.index(int(places.max())))
            return
        for place in places.tolist():
            self.dataChanged.emit(self.index(place), self.index(place))
