"""The menu of one square: its thread, a band here, mark and unpick here, and where it is."""

from collections.abc import Callable
from dataclasses import dataclass

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QMenu, QWidget

from stitchview.canvas.touch import Shape
from stitchview.follow.place import thread_words
from stitchview.ui.bench import Bench
from stitchview.ui.marking import Marking
from stitchview.ui.pointer import Square


@dataclass(frozen=True)
class Entry:
    """One line of the menu; without `act` it only says something, without text it is a line drawn."""

    text: str = ""
    act: Callable[[], object] | None = None


class SquareMenu(QMenu):
    """Shows entries, does what is chosen, and calls `done` afterwards."""

    def __init__(self, entries: list[Entry], done: Callable[[], None], parent: QWidget) -> None:
        super().__init__(parent)
        self._entries, self._done = entries, done
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setAccessibleName("Menu of this square")
        for number, entry in enumerate(entries):
            if not entry.text:
                self.addSeparator()
                continue
            shown = self.addAction(entry.text.replace("&", "&&"))
            shown.setData(number)
            shown.setEnabled(entry.act is not None)
        self._offer_way_back(parent.window())
        self.triggered.connect(self._chosen)

    def _offer_way_back(self, window: QWidget) -> None:
        """Where only the chart is shown there are no other menus, and a mouse finds no way out of it."""
        if window.isFullScreen():
            self.addActions([command for command in window.actions() if command.objectName() == "alone"])

    def _chosen(self, shown: QAction) -> None:
        if shown.data() is None:
            return
        act = self._entries[shown.data()].act
        if act is not None:
            act()
            self._done()


def entries_at(bench: Bench, marking: Marking, square: Square, copy: Callable[[], None]) -> list[Entry]:
    """What can be done at a square."""
    number = marking.thread_at(square)
    return [
        *_thread_entries(bench, number),
        Entry("Band of rows here", lambda: bench.band.over_rows(square)),
        Entry("Band of columns here", lambda: bench.band.over_columns(square)),
        Entry("Frame here", lambda: bench.band.framed(square)),
        Entry(),
        *(_marking_entries(marking, square) if number else ()),
        Entry("Copy where this is", copy),
    ]


def _thread_entries(bench: Bench, number: int) -> list[Entry]:
    if not number:
        return [Entry("No stitch in this square"), Entry()]
    name = thread_words(bench.desk.chart.key[number - 1])
    if number == bench.holding.thread:
        return [Entry(f"Put down {name}", bench.holding.put_down), Entry()]
    return [Entry(f"Take in hand {name}", lambda: bench.holding.take(number)), Entry()]


def _marking_entries(marking: Marking, square: Square) -> list[Entry]:
    return [
        Entry("Mark this square", lambda: marking.mark_at_or_say(Shape.SINGLE, square, False)),
        Entry("Mark the run here", lambda: marking.mark_at_or_say(Shape.RUN, square, False)),
        Entry("Mark the patch here", lambda: marking.mark_at_or_say(Shape.PATCH, square, False)),
        Entry(),
        Entry("Unpick this square", lambda: marking.mark_at_or_say(Shape.SINGLE, square, True)),
        Entry("Unpick the run here", lambda: marking.mark_at_or_say(Shape.RUN, square, True)),
        Entry("Unpick the patch here", lambda: marking.mark_at_or_say(Shape.PATCH, square, True)),
        Entry(),
    ]
