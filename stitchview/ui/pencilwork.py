"""The pencil of one window: corrects the open chart by hand, with a way back, and marks and views stay."""

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QPoint

from stitchview.canvas.desk import Desk
from stitchview.canvas.touch import Spot
from stitchview.chart.model import Chart, KeyEntry
from stitchview.chart.stitches import LineKind
from stitchview.done.usedkey import printed_chart
from stitchview.follow.differencewords import differences_at
from stitchview.sheets.correcting import named
from stitchview.sheets.pencil import rubbed_out, with_line, with_point, with_squares
from stitchview.sheets.pencilparts import PartKind, with_part
from stitchview.ui.charts import Charts
from stitchview.ui.pencilhands import PencilHands
from stitchview.ui.pencilpanel import Draws, PencilPanel
from stitchview.ui.readingwork import ReadingWork
from stitchview.ui.screenroom import move_within
from stitchview.ui.wayback import WayBack
from stitchview.ui.window import Window

PARTS = {
    Draws.HALF: PartKind.HALF,
    Draws.QUARTER: PartKind.QUARTER,
    Draws.THREE_QUARTER: PartKind.THREE_QUARTER,
}
# What is drawn from corner to corner of squares, and not within them.
ON_CORNERS = (Draws.LINE, Draws.STRAIGHT, Draws.KNOT, Draws.NOTHING)
NOTHING_DONE = "Nothing there to correct."
DIFFERS_THERE = "The cloth differs there. Take that difference back first, or correct elsewhere."
ANSWERED_SINCE = "The chart was changed at the reading table since, and the way back ends there."
# Where its small window stands on the window: beside the toolbar, clear of the middle.
BESIDE = 24, 120


class PencilWork:
    """Takes the pencil up and puts it down; every correction is written to the chart at once."""

    def __init__(self, window: Window, charts: Charts, reading: ReadingWork) -> None:
        self._window, self._charts, self._reading = window, charts, reading
        self.panel: PencilPanel | None = None
        self._hands: PencilHands | None = None
        self._path: Path | None = None
        self._desk: Desk | None = None
        self._putting = False
        self._way = WayBack()
        self._start: tuple[int, int] | None = None

    @property
    def in_hand(self) -> bool:
        """Whether the pencil is in hand."""
        return self.panel is not None and self.panel.isVisible()

    def switch(self) -> None:
        """Take the pencil up, or put it down."""
        if self.in_hand and self.panel is not None:
            self.panel.reject()
        else:
            self._take_up()

    def draw_here(self) -> None:
        """Draw at the keyboard pointer: its square, or its top left corner for lines and knots."""
        sitting = self._charts.sitting
        if sitting is not None:
            column, row = sitting.pointed_square
            on_corners = self.panel is not None and self.panel.draws in ON_CORNERS
            shift = 0.0 if on_corners else 0.5
            self.draw([Spot(column + shift, row + shift)])

    def correct_entry(self) -> None:
        """Correct the key's line of the thread it draws with."""
        sitting, panel = self._charts.sitting, self.panel
        if sitting is not None and panel is not None and panel.number:
            entry = printed_chart(sitting.desk.chart.printed).key[panel.number - 1]
            self._reading.ask_entry(entry, self._entry_corrected, panel)

    def _entry_corrected(self, entry: KeyEntry) -> None:
        self._take_answers()
        sitting = self._charts.sitting
        if sitting is None or self.panel is None:
            return
        chart, number = printed_chart(sitting.desk.chart.printed), self.panel.number
        if entry != chart.key[number - 1]:
            self._correct(chart, named(chart, number, entry))

    def undo(self) -> None:
        """Take the last correction back."""
        if self._way.can_undo and self._step(self._way.before, self._way.go_back):
            self._say_done("Taken back.")

    def redo(self) -> None:
        """Make the correction taken back last again."""
        if self._way.can_redo and self._step(self._way.after, self._way.go_forth):
            self._say_done("Done again.")

    def put_down(self) -> None:
        """Put the pencil down; what it drew stays."""
        if self._hands is not None:
            self._hands.put_down()
        self._hands, self._start = None, None

    def chart_changed(self) -> None:
        """Follow that another chart is open, or none: the pencil stays with the chart it was taken up for."""
        if not self._putting:
            self._hands = None
            sitting = self._charts.sitting
            if self.panel is not None and self.in_hand:
                if sitting is None or sitting.path != self._path:
                    self.panel.reject()
                else:
                    self._attach()

    def _take_up(self) -> None:
        sitting = self._charts.sitting
        if sitting is None:
            return
        if self.panel is None:
            self.panel = PencilPanel(self, self._window)
        self._path, self._start = sitting.path, None
        self._attach()
        self.panel.say("")
        self.panel.show()
        move_within(self.panel, self._window, QPoint(*BESIDE))
        self._window.activateWindow()
        if self._window.board is not None:
            self._window.board.setFocus()

    def _attach(self) -> None:
        """Take hold of the chart that is shown; if another hand has changed it, there is no way back."""
        sitting, board = self._charts.sitting, self._window.board
        if sitting is None or board is None or self.panel is None:
            return
        if sitting.desk is not self._desk and not self._putting:
            self._way.clear()
        self._desk = sitting.desk
        sitting.look()
        if self._hands is None:
            self._hands = PencilHands(board.canvas, self)
        self.panel.show_chart(sitting.desk.chart.printed, self._way.can_undo, self._way.can_redo)

    # Drawing

    def draw(self, path: list[Spot]) -> None:
        """Draw from where the pencil was put down to where it was lifted."""
        self._take_answers()
        sitting, panel = self._charts.sitting, self.panel
        if sitting is None or panel is None:
            return
        if any(differences_at(sitting.desk.notes, spot.square) for spot in path):
            panel.say(DIFFERS_THERE)
            return
        chart, spot = printed_chart(sitting.desk.chart.printed), path[0]
        match panel.draws:
            case Draws.SQUARE:
                squares = list(dict.fromkeys(each.square for each in path))
                self._correct(chart, with_squares(chart, squares, panel.number))
            case Draws.KNOT:
                self._correct(chart, with_point(chart, _half(spot), panel.number))
            case Draws.NOTHING:
                self._correct(chart, rubbed_out(chart, spot.x, spot.y))
            case Draws.LINE | Draws.STRAIGHT:
                self._line(chart, path)
            case part:
                self._correct(chart, with_part(chart, spot.x, spot.y, PARTS[part], panel.number))

    def _take_answers(self) -> bool:
        """Have what was answered at the reading table in the chart, or it would be lost; whether any was."""
        if self._path is not None:
            self._reading.keep(self._path)
        sitting = self._charts.sitting
        if sitting is None or sitting.desk is self._desk:
            return False
        # The chart was put away and opened again, and the pencil put down with it.
        self._take_up()
        return True

    def _line(self, chart: Chart, path: list[Spot]) -> None:
        """A line is drawn in one go, or between two presses."""
        first, last = _half(path[0]), _half(path[-1])
        if first == last and self._start is None:
            self._start = first
            if self.panel is not None:
                self.panel.say("Now press where it ends.")
            return
        start, self._start = self._start or first, None
        if self.panel is not None:
            kind = LineKind.STRAIGHT if self.panel.draws is Draws.STRAIGHT else LineKind.BACK
            self._correct(chart, with_line(chart, start, last, self.panel.number, kind))

    def _correct(self, before: Chart, after: Chart) -> None:
        if self.panel is None:
            return
        if after is before:
            self.panel.say(NOTHING_DONE)
            return
        if self._put(after):
            self._way.remember(before, after)
            self._say_done("Corrected, and marked as corrected by hand.")

    def _step(self, chart: Chart, gone: Callable[[Chart], None]) -> bool:
        """Put the chart back as it was; whether it is so now."""
        if self.panel is None:
            return False
        if self._take_answers():
            self.panel.say(ANSWERED_SINCE)
            return False
        sitting = self._charts.sitting
        if sitting is None:
            return False
        before = printed_chart(sitting.desk.chart.printed)
        done = self._put(chart)
        if done:
            gone(before)
        return done

    def _put(self, chart: Chart) -> bool:
        """Write the chart and show it again where it was."""
        sitting = self._charts.sitting
        if self._path is None or sitting is None or sitting.path != self._path:
            return False
        hands, self._hands = self._hands, None
        self._putting = True
        try:
            done = self._reading.corrected(chart, self._path)
            board = self._window.board
            if hands is not None and board is not None and hands.canvas is board.canvas:
                # The chart was not put away after all, so the same hands stay on it, not two of them.
                self._hands = hands
            self._attach()
        finally:
            self._putting = False
        return done

    def _say_done(self, words: str) -> None:
        sitting = self._charts.sitting
        if sitting is not None and self.panel is not None:
            self.panel.show_chart(sitting.desk.chart.printed, self._way.can_undo, self._way.can_redo)
            self.panel.say(words)


def _half(spot: Spot) -> tuple[int, int]:
    """The nearest point in half squares."""
    return round(spot.x * 2), round(spot.y * 2)
