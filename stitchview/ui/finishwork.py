"""Opens the window in which the open piece is finished, and lets it follow marks and notes."""

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

from stitchview.done.sittings import Pauses
from stitchview.ui.bench import Bench
from stitchview.ui.finishworks import FinishDoor
from stitchview.ui.lentkeys import UNDOING, lend_keys

if TYPE_CHECKING:
    from stitchview.ui.planning.finishdialog import FinishDialog


class FinishWork:
    """The end of one sitting's piece; its dialog stands over the board."""

    def __init__(self, bench: Bench, path: Path, title: str, board: QWidget, door: FinishDoor) -> None:
        self._bench, self._path, self._title, self._board, self._door = bench, path, title, board, door
        self._pauses = Pauses()
        self.dialog: FinishDialog | None = None

    def use(self, pauses: Pauses) -> None:
        """Take minutes of quiet otherwise."""
        self._pauses = pauses
        self.changed()

    def open(self) -> None:
        """Open the dialog as things are now."""
        if self.dialog is None:
            self.dialog = self._made()
            lend_keys(self.dialog, self._board, UNDOING)
        self.dialog.refresh()
        self.dialog.show()
        self.dialog.raise_()
        self.dialog.activateWindow()

    def changed(self) -> None:
        """Follow marks and notes, once hands rest."""
        if self.dialog is not None:
            self.dialog.follow()

    def _made(self) -> "FinishDialog":
        # Loaded only now: few evenings are the last one.
        from stitchview.ui.planning.finishbook import FinishBook
        from stitchview.ui.planning.finishdialog import FinishDialog

        book = FinishBook(self._bench, self._path, self._title, self._door, self._read_pauses)
        return FinishDialog(book, self._board)

    def _read_pauses(self) -> Pauses:
        return self._pauses
