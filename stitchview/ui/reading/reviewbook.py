"""The chart that is being named and answered on the reading table, with undo, until it is taken over."""

from collections.abc import Sequence
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QImage

from stitchview.canvas.looks import Look
from stitchview.chart.model import Chart
from stitchview.sheets.checklist import Printed, printed_on, with_printed
from stitchview.sheets.correcting import decided, places_of
from stitchview.sheets.rereading import squares_by_hand
from stitchview.sheets.splitting import split_off
from stitchview.sheets.squarelooks import Looks
from stitchview.sheets.teaching import most_useful, taught
from stitchview.ui.chips import Chips
from stitchview.ui.reading.looksjob import LooksJob
from stitchview.ui.reading.paperpieces import PaperPieces, pieces_of
from stitchview.ui.wayback import WayBack

# Most piles have no colour yet; black on white they look as on the paper.
PRINTED = Look(paper=True)

Places = NDArray[np.intp]


class ReviewBook(QObject):
    """Holds one chart; `changed` is told after every change of it."""

    changed = Signal()

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self.chart: Chart | None = None
        self.path: Path | None = None
        self.unkept = False
        self.looks: Looks | None = None
        self._way = WayBack()
        self._chips = Chips(PRINTED)
        self._pieces = PaperPieces()
        self._teachers: list[int] = []
        self._job = LooksJob(self)
        self._job.done.connect(self._looked)

    @property
    def chips(self) -> Chips:
        """The symbols of the chart's key as they are printed; no name or colour alters them."""
        return self._chips

    @property
    def pieces(self) -> PaperPieces:
        """The paper of the chart's squares."""
        return self._pieces

    @property
    def learning(self) -> bool:
        """Whether it is still being found out which squares look alike."""
        return self._job.busy

    def begin(self, chart: Chart, path: Path) -> None:
        """Go on with another chart."""
        self.chart, self.path, self.unkept = chart, path, False
        self._way.clear()
        self._chips, self._pieces = Chips(PRINTED, chart.attachments), pieces_of(chart)
        self.looks = None
        self._teachers.clear()
        self._job.stop()
        if chart.sheets and len(chart.doubts):
            self._job.start(chart)
        self.changed.emit()

    def take(self, chart: Chart) -> None:
        """Go on with the chart as a person has changed it."""
        if self.chart is None or chart is self.chart:
            return
        self._way.remember(self.chart, chart)
        self._go_on(chart)

    def note(self, printed: Printed) -> None:
        """Keep the numbers she typed from the paper with the chart; no undo takes them away."""
        if self.chart is not None and printed != printed_on(self.chart):
            self._go_on(with_printed(self.chart, printed))

    def follow(self, chart: Chart) -> None:
        """Go on with the chart as it was corrected and written elsewhere; the way back ends there."""
        self._way.clear()
        self._go_on(chart)
        self.unkept = False

    def close_down(self) -> None:
        """Find nothing more out."""
        self._job.stop()

    # Answers, which teach

    def answer(self, doubts: Sequence[int] | Places, number: int) -> None:
        """Say of which entry the squares of some doubts are, 0 for none; squares like them follow."""
        if self.chart is not None and len(doubts):
            self.say(places_of(self.chart, np.asarray(doubts, np.intp)), number)

    def say(self, places: Places, number: int) -> None:
        """Say of which entry squares are (places in rows * columns); squares like them follow."""
        if self.chart is not None and len(places):
            self.take(self._with_lesson(decided(self.chart, places, number), places))

    def split(self, places: Places) -> None:
        """Take squares out of their pile into one of their own; squares like them follow.

        Raises `PaperError` when the key is full.
        """
        if self.chart is not None and len(places):
            cut = self._pieces.squares(places, self.chart.columns)
            self.take(self._with_lesson(split_off(self.chart, places, cut), places))

    def most_useful(self, last: tuple[int, int] | None, later: NDArray[np.bool_] | None) -> int | None:
        """The doubt whose answer is worth most, near the last one asked; those put off come ``later``."""
        return None if self.chart is None else most_useful(self.chart, self.looks, last, later)

    def _with_lesson(self, chart: Chart, places: Places) -> Chart:
        if self.looks is None:
            # They teach as soon as it is known which squares look like them.
            self._teachers += places.tolist()
            return chart
        return _taught(chart, self.looks, places)

    def _looked(self, looks: Looks | None) -> None:
        self.looks = looks
        if self.chart is None or looks is None:
            self.changed.emit()
            return
        teachers = np.unique(np.array(self._teachers, np.intp))
        # An answer that was taken back meanwhile teaches nothing.
        teachers = teachers[_by_hand(self.chart)[teachers]]
        self._teachers.clear()
        self._go_on(_taught(self.chart, looks, teachers) if len(teachers) else self.chart)

    def _go_on(self, chart: Chart) -> None:
        if self.chart is not None and chart.attachments.keys() != self.chart.attachments.keys():
            self._chips = Chips(PRINTED, chart.attachments)
        self.unkept = self.unkept or chart is not self.chart
        self.chart = chart
        self.changed.emit()

    # Back

    @property
    def can_undo(self) -> bool:
        """Whether there is a change to take back."""
        return self._way.can_undo

    def undo(self) -> None:
        """Take the last change back."""
        if self._way.can_undo and self.chart is not None:
            now, before = self.chart, self._way.before
            self._way.go_back(now)
            self._go_on(with_printed(before, printed_on(now)))

    def cut_out(self, column: int, row: int, around: int) -> QImage:
        """The paper of a square with so many squares around it; null where no sheet shows it."""
        return self._pieces.around(column, row, around)


def _taught(chart: Chart, looks: Looks, places: Places) -> Chart:
    return taught(chart, looks, places, _by_hand(chart))


def _by_hand(chart: Chart) -> NDArray[np.bool_]:
    """Of every square whether a person has decided on it, (rows * columns,)."""
    return squares_by_hand(chart.by_hand, (chart.rows, chart.columns)).ravel()
