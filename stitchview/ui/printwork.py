"""Opens the print dialog of the open chart."""

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

from stitchview.follow.numbering import Numbering
from stitchview.ui.bench import Bench

if TYPE_CHECKING:
    from stitchview.ui.printing.printdialog import PrintDialog


class PrintWork:
    """Printing of one sitting; its dialog stands over the board and keeps what was chosen."""

    def __init__(self, bench: Bench, path: Path, title: str, board: QWidget) -> None:
        self._bench, self._path, self._title, self._board = bench, path, title, board
        self.numbering = Numbering.TOP_LEFT
        self.dialog: PrintDialog | None = None

    def open(self) -> None:
        """Open the dialog with what can be printed now."""
        if self.dialog is None:
            self.dialog = self._made()
        self.dialog.refresh(self.numbering)
        self.dialog.show()
        self.dialog.raise_()
        self.dialog.activateWindow()

    def _made(self) -> "PrintDialog":
        # Loaded only now: nobody who opens a chart to stitch waits for printing.
        from stitchview.ui.printing.printdialog import PrintDialog

        return PrintDialog(self._bench, self._path.parent, self._title, self._board)
