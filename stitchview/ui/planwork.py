"""The plan of one open chart: the planning window, made when it is first asked for."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

from stitchview.ui.bench import Bench
from stitchview.ui.hint import Voice
from stitchview.ui.planworks import PlanPlace
from stitchview.ui.signboard import SignBoard

if TYPE_CHECKING:
    from stitchview.ui.planning.insteadwork import InsteadWork
    from stitchview.ui.planning.needbook import NeedBook
    from stitchview.ui.planning.planwindow import PlanWindow


class PlanWork:
    """The `PlanWorks` of one sitting; its window stands over the board."""

    def __init__(
        self, bench: Bench, voice: Voice, signs: SignBoard, board: QWidget, show: Callable[[], None]
    ) -> None:
        self.bench, self._voice, self._signs, self._board, self._show = bench, voice, signs, board, show
        self.window: PlanWindow | None = None
        self._instead: InsteadWork | None = None
        self._needs: NeedBook | None = None

    @property
    def needs(self) -> "NeedBook":
        """What is needed of every thread, reckoned once for the pages and for whoever else asks."""
        if self._needs is None:
            # Loaded only now: nobody who opens a chart to stitch waits for pages that plan.
            from stitchview.ui.planning.needbook import NeedBook
            from stitchview.ui.planning.plantable import PlanTable

            table = PlanTable(self.bench, self._voice, self._signs, self._show)
            self._needs = NeedBook(table)
        return self._needs

    def another_thread(self) -> None:
        """Ask what is used in the whole piece instead of the thread in hand."""
        number = self.bench.holding.thread
        if number:
            self.instead.ask(number, self._board)

    @property
    def instead(self) -> "InsteadWork":
        """Notes which threads are used instead of printed ones."""
        if self._instead is None:
            from stitchview.ui.planning.insteadwork import InsteadWork

            self._instead = InsteadWork(self.needs)
        return self._instead

    def open(self, place: PlanPlace) -> None:
        """Open the planning window at a page."""
        if self.window is None:
            self.window = self._made()
        self.window.turn_to(list(PlanPlace).index(place))
        self.window.show()
        self.window.raise_()
        self.window.activateWindow()

    def close(self) -> None:
        """Put the window away while the canvas under its rims is still there."""
        if self.window is not None:
            self.window.close()

    def changed(self) -> None:
        """Follow other marks, notes or settings."""
        if self._needs is not None:
            self._needs.forget()
        if self.window is not None:
            self.window.changed()

    def _made(self) -> "PlanWindow":
        from stitchview.ui.planning.making import plan_window

        return plan_window(self.needs, self._board)
