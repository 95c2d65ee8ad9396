"""What actions can do with the chart on the window."""

from typing import Protocol

from PySide6.QtCore import QPoint
from PySide6.QtGui import QGuiApplication

from stitchview.canvas.paperlayer import has_pictures
from stitchview.chart.area import Area
from stitchview.chart.turning import Turn
from stitchview.follow.place import sentence
from stitchview.follow.turnwords import turn_words
from stitchview.ui.bandwork import BandWork
from stitchview.ui.clothwork import ClothWork
from stitchview.ui.display import Display
from stitchview.ui.following import Following
from stitchview.ui.going import Going
from stitchview.ui.handling import Door
from stitchview.ui.holding import Holding
from stitchview.ui.looking import Looking
from stitchview.ui.marking import Marking
from stitchview.ui.needs import Needs
from stitchview.ui.pointer import Square


class DeedsDoor(Door, Protocol):
    """Who shows what was done."""

    def point_out(self, visit: bool) -> None:
        """Point out the marks made last, and look there if asked."""

    def open_diary(self) -> None:
        """Open the diary of the piece."""

    def open_printing(self) -> None:
        """Ask what to print of the chart."""

    def open_finishing(self) -> None:
        """Finish the piece."""

    def open_copies(self) -> None:
        """Show the kept copies of what is done."""


class Deeds:
    """The `ChartWorks` of one sitting."""

    def __init__(
        self, marking: Marking, cloth: ClothWork, following: Following, display: Display, door: DeedsDoor
    ) -> None:
        self._bench, self._marking, self._display = marking.bench, marking, display
        self._voice, self._door = marking.voice, door
        self.cloth, self.following = cloth, following

    @property
    def going(self) -> Going:
        """Looking elsewhere."""
        return self._bench.going

    @property
    def band(self) -> BandWork:
        """The band."""
        return self._bench.band

    @property
    def holding(self) -> Holding:
        """What is held."""
        return self._bench.holding

    @property
    def marking(self) -> Marking:
        """Marking by keys."""
        return self._marking

    @property
    def looks(self) -> Looking:
        """How it looks."""
        return self._bench.looks

    def turn(self, turn: Turn | None) -> None:
        """See the chart turned further, or upright again, and tell where its top is now."""
        self.looks.turn_by(turn)
        self._voice.hint(turn_words(self.looks.turn))

    def last_marks(self) -> None:
        """Go to the marks made last and point them out."""
        self._door.point_out(visit=True)

    def open_diary(self) -> None:
        """Open the diary of the piece."""
        self._door.open_diary()

    def open_printing(self) -> None:
        """Ask what to print of the chart."""
        self._door.open_printing()

    def open_finishing(self) -> None:
        """Finish the piece."""
        self._door.open_finishing()

    def open_copies(self) -> None:
        """Show the kept copies of what is done."""
        self._door.open_copies()

    def copy_place(self, square: Square | None = None) -> None:
        """Copy where a square is, or the pointer, in words."""
        place = self._display.place_at(square or self._bench.pointer.square_or_middle)
        if place is not None:
            QGuiApplication.clipboard().setText(sentence(place))
            self._voice.hint(f"Copied: {sentence(place)}")

    def open_square_menu(self) -> None:
        """Open the menu of the square under the keyboard pointer."""
        pointer, canvas = self._bench.pointer, self._bench.canvas
        pointer.show()
        square = pointer.square_or_middle
        x, y, width, height = canvas.view.pixels_of(Area(*square, 1, 1))
        corner = QPoint(x + width, y + height) / canvas.devicePixelRatioF()
        self._door.open_menu(square, canvas.mapToGlobal(corner))

    def meets(self, needs: Needs) -> bool:
        """Whether what an action needs is there."""
        band, thread = self.band.band is not None, bool(self.holding.thread)
        desk = self._bench.desk
        return {
            Needs.BAND: band,
            Needs.THREAD: thread,
            Needs.THREAD_AND_BAND: thread and band,
            Needs.UNDO: desk.can_undo,
            Needs.REDO: desk.can_redo,
            Needs.LAST_MARKS: desk.can_undo,
            Needs.RUNS: self.following.runs_called,
            Needs.TURNED: not self.looks.turn.upright,
            Needs.PICTURE: has_pictures(desk.chart),
        }.get(needs, True)
