"""Looks for a patch of the cloth on the open chart, rims what fits, and goes where she chooses."""

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QWidget

from stitchview.errors import StitchviewError
from stitchview.follow.finding import FoundPlaces, PlaceFinder
from stitchview.follow.fitwords import fit_words, found_words
from stitchview.follow.numbering import Numbering
from stitchview.follow.patchdraft import drafted, empty_draft
from stitchview.ui.bench import Bench
from stitchview.ui.chips import Chips
from stitchview.ui.overchart import draft_of, draft_text
from stitchview.ui.patchdialog import PatchDialog
from stitchview.ui.pointer import Square
from stitchview.ui.signboard import SignBoard

NOTHING = FoundPlaces(0, 0, ())


class PlaceFinding:
    """Keeps the dialog, the finder and what was found; `go` shows a square."""

    def __init__(self, bench: Bench, signs: SignBoard, board: QWidget, go: Callable[[Square], None]) -> None:
        self._bench, self._signs, self._board, self._go = bench, signs, board, go
        self._finder: PlaceFinder | None = None
        self._place: Square = (0, 0)
        self.numbering = Numbering.TOP_LEFT
        self.dialog: PatchDialog | None = None
        self.found = NOTHING
        self._draft = empty_draft()

    @property
    def patch(self) -> str:
        """What is filled in, as a text of codes."""
        draft = self._draft if self.dialog is None else self.dialog.grid.draft
        return draft_text(draft, self._bench.desk.chart.key)

    def restore(self, patch: str) -> None:
        """Have the dialog filled in like that when it is opened."""
        self._draft = draft_of(patch, self._bench.desk.chart.key)

    def open(self) -> None:
        """Open the dialog, with what was filled in before; the place is where the pointer is."""
        self._place = self._bench.pointer.square_or_middle
        if self.dialog is None:
            chart = self._bench.desk.chart
            chips = Chips(self._bench.canvas.showing.look, chart.attachments)
            self.dialog = PatchDialog(chart.key, chips, self, self._board)
            self.dialog.grid.fill(self._draft)
        if not self.dialog.isVisible():
            # Beside what is looked at, as far as the screen allows.
            corner = self._board.mapToGlobal(self._board.rect().bottomRight())
            self.dialog.move(corner.x() - self.dialog.width() // 2, corner.y() - self.dialog.height())
        self.dialog.show()
        self.dialog.raise_()
        self.dialog.activateWindow()
        self.dialog.grid.setFocus()

    def patch_wanted(self) -> None:
        """Look for the patch, or say why it cannot be looked for."""
        if self.dialog is None:
            return
        self.found, told = NOTHING, ""
        QGuiApplication.setOverrideCursor(Qt.CursorShape.WaitCursor)
        try:
            self.found = self._looked(self.dialog)
            told = found_words(self.found)
        except StitchviewError as error:
            told = str(error)
        finally:
            QGuiApplication.restoreOverrideCursor()
        chart = self._bench.desk.chart
        places = [fit_words(chart, fit, self.numbering) for fit in self.found.fits]
        self._signs.lay_found(tuple(fit.area for fit in self.found.fits))
        self.dialog.show_found(told, places)

    def fit_chosen(self, number: int) -> None:
        """Go to a place that was found."""
        area = self.found.fits[number].area.clipped(self._bench.desk.chart.area)
        self._bench.going.visit(area)
        self._go((area.column, area.row))

    def patch_closed(self) -> None:
        """Take the rims away."""
        self._signs.lay_found(())
        self._board.setFocus()

    def _looked(self, dialog: PatchDialog) -> FoundPlaces:
        patch, bench = drafted(dialog.grid.draft), self._bench
        if self._finder is None:
            self._finder = PlaceFinder(bench.desk.marks)
        return self._finder.find(patch, self._place, dialog.looking, bench.piece.pitch)
