"""Between cloth and chart on one open chart: the tape, and the dialogs that ask about the cloth."""

from PySide6.QtWidgets import QDialog, QWidget

from stitchview.chart.area import Area
from stitchview.follow.numbering import Numbering
from stitchview.ui.bench import Bench
from stitchview.ui.landmarkdialog import Landmark, LandmarkDialog
from stitchview.ui.placefinding import PlaceFinding
from stitchview.ui.pointer import Square
from stitchview.ui.preferences import Preferences
from stitchview.ui.signboard import SignBoard
from stitchview.ui.slip import Slip
from stitchview.ui.tapework import TapeWork


class ClothWork:
    """The `ClothWorks` of one sitting; its dialogs stand over `board`."""

    def __init__(self, bench: Bench, board: QWidget) -> None:
        self._bench, self._board = bench, board
        self._numbering = Numbering.TOP_LEFT
        self.slip = Slip()
        self.slip.lie_over(board)
        self.signs = SignBoard(bench.canvas)
        self.tape = TapeWork(bench, self.signs, self.slip)
        self.finding = PlaceFinding(bench, self.signs, board, self.go_to)
        self.dialog: QDialog | None = None

    def use(self, preferences: Preferences) -> None:
        """Go on with other preferences."""
        self._numbering = self.finding.numbering = preferences.numbering

    def follow(self) -> None:
        """Follow the pointer."""
        self.tape.follow()

    def give_up(self) -> bool:
        """Put away what was laid last over the chart; whether there was anything."""
        return self.tape.put_away()

    def check_stitch(self) -> None:
        """Ask whether a stitch is where it should be, counted from the pointer."""
        square = self._bench.pointer.square_or_middle
        landmark = Landmark(self._bench.desk.chart, square, self._numbering)
        self._open(LandmarkDialog(landmark, self.go_to, self._board))

    def go_to(self, square: Square) -> None:
        """Look at a square and put the keyboard pointer there."""
        self._bench.going.visit(Area(*square, 1, 1))
        self._bench.pointer.put(*square)

    def _open(self, dialog: QDialog) -> None:
        if self.dialog is not None:
            self.dialog.close()
            self.dialog.deleteLater()
        self.dialog = dialog
        dialog.open()
