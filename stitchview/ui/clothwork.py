"""Between cloth and chart on one open chart: the tape, and the dialogs that ask about the cloth."""

from functools import partial
from typing import Protocol

from PySide6.QtWidgets import QDialog

from stitchview.chart.area import Area
from stitchview.done.notes import Pin
from stitchview.follow.habits import Habits
from stitchview.follow.numbering import Numbering
from stitchview.ui.bench import Bench
from stitchview.ui.chartboard import ChartBoard
from stitchview.ui.countoffwork import CountOffWork
from stitchview.ui.differingwork import DifferingWork
from stitchview.ui.habitsdialog import HabitsDialog
from stitchview.ui.hint import Voice
from stitchview.ui.landmarkdialog import Landmark, LandmarkDialog
from stitchview.ui.lastwork import LastWork
from stitchview.ui.lentkeys import UNDOING, lend_keys
from stitchview.ui.needlework import NeedleWork
from stitchview.ui.notesdialog import NotesDialog
from stitchview.ui.notework import NoteWork
from stitchview.ui.overchart import OverChart
from stitchview.ui.pindialog import PinDialog
from stitchview.ui.placefinding import PlaceFinding
from stitchview.ui.planwork import PlanWork
from stitchview.ui.pointer import Square
from stitchview.ui.preferences import Preferences
from stitchview.ui.signboard import SignBoard
from stitchview.ui.slip import Slip
from stitchview.ui.squaredialog import SquareDialog
from stitchview.ui.tapework import TapeWork


class ClothDoor(Protocol):
    """Over whose board dialogs stand, and who shows what they altered."""

    board: ChartBoard

    def show(self) -> None:
        """Show everything as it is now."""


class ClothWork:
    """The `ClothWorks` of one sitting; its dialogs stand over the board."""

    def __init__(self, bench: Bench, voice: Voice, door: ClothDoor) -> None:
        board = door.board
        self._bench, self._board, self._door = bench, board, door
        self._numbering = Numbering.TOP_LEFT
        self.slip = Slip()
        self.slip.lie_over(board)
        self.signs = SignBoard(bench.canvas)
        self.tape = TapeWork(bench, self.signs, self.slip)
        self.finding = PlaceFinding(bench, self.signs, board, self.go_to)
        self.needle = NeedleWork(bench, self.signs, self.slip, voice)
        self.notes = NoteWork(bench, self.signs, self.slip, voice, self.go_to)
        self.plan = PlanWork(bench, voice, self.signs, board, door.show)
        self.last = LastWork(bench, voice, board, self.go_to)
        self.differing = DifferingWork(bench, self.signs, voice, board, self._go_to_area)
        self.counting = CountOffWork(bench, board, self._go_to_area, self.differing.lies_off)
        self.listing: NotesDialog | None = None
        self.dialog: QDialog | None = None

    @property
    def over(self) -> OverChart:
        """What lies over the chart and is there again next evening."""
        return OverChart(self.tape.fixed, self.needle.kept, self.finding.patch)

    def restore(self, over: OverChart) -> None:
        """Lay it over the chart as it was when the chart was closed."""
        if over.tape is not None:
            self.tape.restore(over.tape)
        if over.path is not None:
            self.needle.restore(over.path)
        self.finding.restore(over.patch)

    def use(self, preferences: Preferences) -> None:
        """Go on with other preferences."""
        self._numbering = self.finding.numbering = preferences.numbering
        self.notes.use(preferences.numbering)
        self.last.use(preferences.numbering)
        self.counting.use(preferences.numbering)
        self.differing.use(preferences.numbering)
        self.notes.show()

    def follow(self) -> None:
        """Follow the pointer, and the thread in hand."""
        self.tape.follow()
        self.needle.follow()
        self.notes.follow()

    def give_up(self) -> bool:
        """Put away what was laid last over the chart; whether there was anything."""
        return self.tape.put_away() or self.needle.put_away()

    def notes_changed(self) -> None:
        """Show other notes."""
        self.notes.show()
        self.plan.changed()
        self.last.changed()
        self.differing.changed()
        if self.listing is not None:
            self.listing.refresh()

    def held(self) -> bool:
        """Whether the thread in hand is held back."""
        return self.notes.is_held(self._bench.holding.thread)

    def pin_here(self, square: Square | None = None) -> None:
        """Ask for the words of a pin at a square, or at the pointer."""
        square = square or self._bench.pointer.square_or_middle
        words = f"Pin {len(self._bench.desk.notes.pins) + 1}", ""
        self._open(PinDialog(words, partial(self.notes.pin, square), self._board))

    def ask_habits(self) -> None:
        """Ask how the next needleful is to be reckoned."""
        self._open(HabitsDialog(self.needle.habits, self._use_habits, self._board))

    def list_notes(self) -> None:
        """List pins, parked threads and threads held back."""
        if self.listing is None:
            self.listing = NotesDialog(self.notes, self._rename, self._board)
            lend_keys(self.listing, self._board, UNDOING)
        self.listing.refresh()
        self.listing.show()
        self.listing.raise_()
        self.listing.activateWindow()
        self.listing.list.setFocus()

    def check_stitch(self, square: Square | None = None) -> None:
        """Ask whether a stitch is where it should be, counted from a square, or from the pointer."""
        square = square or self._bench.pointer.square_or_middle
        landmark = Landmark(self._bench.desk.chart, square, self._numbering)
        self._open(LandmarkDialog(landmark, self.go_to, self._board))

    def ask_square(self) -> None:
        """Ask to which column and row to go."""
        chart, square = self._bench.desk.chart, self._bench.pointer.square_or_middle
        self._open(SquareDialog(chart, square, self._numbering, self.go_to, self._board))

    def go_to(self, square: Square) -> None:
        """Look at a square and put the keyboard pointer there."""
        self._bench.going.visit(Area(*square, 1, 1))
        self._bench.pointer.put(*square)
        self._door.show()

    def _go_to_area(self, area: Area) -> None:
        self._bench.going.visit(area)
        self._bench.pointer.put(area.column, area.row)
        self._door.show()

    def _use_habits(self, habits: Habits) -> None:
        self.needle.use(habits)
        self.plan.changed()
        self._door.show()

    def _rename(self, pin: Pin) -> None:
        self._open(PinDialog((pin.name, pin.note), partial(self.notes.rename, pin), self._board))

    def _open(self, dialog: QDialog) -> None:
        if self.dialog is not None:
            self.dialog.close()
            self.dialog.deleteLater()
        self.dialog = dialog
        dialog.open()
