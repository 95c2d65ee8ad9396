"""Marking and unpicking on the chart at hand, by hand and by key, and taking strokes back."""

from collections.abc import Callable

from stitchview.canvas.touch import Shape, Spot, Touch
from stitchview.chart.area import Area
from stitchview.chart.model import Chart
from stitchview.done.change import DONE, FIRST_LEG, LATER, MISTAKE, OPEN, Change, Selection
from stitchview.done.shapes import run, thread_in
from stitchview.errors import LayerError
from stitchview.follow.nearest import nearest
from stitchview.follow.threadwork import ThreadWork
from stitchview.ui.bench import Bench
from stitchview.ui.hint import Voice
from stitchview.ui.pointer import Square

NOTHING_TO_MARK = {
    OPEN: "Nothing here to unpick.",
    DONE: "Nothing here is left to mark.",
    FIRST_LEG: "No cross here is without its first leg; only whole crosses have one.",
    LATER: "Nothing here is open, so nothing can be left for later.",
    MISTAKE: "Nothing here that is not a mistake already.",
}


class Marking:
    """Turns touches and keys into strokes on the desk, and says why nothing came of one."""

    def __init__(self, bench: Bench, voice: Voice) -> None:
        self.bench, self.voice = bench, voice
        self.steps_on = False

    def touch(self, touch: Touch, unpick: bool) -> bool:
        """Mark or unpick what was touched; whether anything altered."""
        if touch.shape is Shape.RUN and len(touch.path) == 1:
            return self.mark_at(Shape.RUN, touch.start.square, unpick)
        return self.mark_all(touch.selection(self._chart, self.bench.holding.takes), self._state(unpick))

    def mark_at(self, shape: Shape, square: Square, unpick: bool) -> bool:
        """Mark or unpick at one square with a shape; a run follows the columns where the band does."""
        takes = self.bench.holding.takes
        if shape is Shape.RUN:
            found = run(self._chart, *square, takes, self.bench.band.upright)
        else:
            middle = Spot(square[0] + 0.5, square[1] + 0.5, released=True)
            found = Touch(shape, middle, (square,)).selection(self._chart, takes)
        return self.mark_all(found, self._state(unpick))

    def mark_at_or_say(self, shape: Shape, square: Square, unpick: bool) -> None:
        """Mark or unpick at one square, and say so if there was nothing to do."""
        self._say_if_nothing(self.mark_at(shape, square, unpick), unpick)

    def mark_here(self, unpick: bool) -> None:
        """Mark or unpick at the keyboard pointer with the shape in use.

        A pointer that cannot be seen is shown first, and nothing is marked. A rectangle takes two
        presses, one for each corner.
        """
        pointer, shape = self.bench.pointer, self.bench.holding.shape
        seen, square, corner = pointer.show(), pointer.cursor, pointer.corner
        if not seen or square is None:
            return
        if shape is not Shape.RECTANGLE:
            self.mark_at_or_say(shape, square, unpick)
        elif corner is None:
            pointer.set_corner(square)
            self.voice.hint("One corner is set. Go to the other and press the key again.")
        else:
            pointer.set_corner(None)
            touch = Touch(shape, Spot(*corner), (corner, square))
            self._say_if_nothing(self.touch(touch, unpick), unpick)

    def thread_in_band(self) -> None:
        """Mark all of the thread in hand inside the band; while unpicking, unpick it."""
        lit, holding = self.bench.band.lit, self.bench.holding
        if lit is None or not holding.thread:
            return
        unpick = holding.tool == "unpick"
        found = thread_in(self._chart, lit, holding.thread, holding.takes)
        self._say_if_nothing(self.mark_all(found, self._state(unpick)), unpick)

    def undo(self) -> None:
        """Take back the last stroke, however old, and look where it was."""
        self._step(self.bench.desk.undo)

    def redo(self) -> None:
        """Make again the stroke taken back last, and look where it is."""
        self._step(self.bench.desk.redo)

    def withdraw(self) -> None:
        """Take back the last stroke as one that was never meant."""
        try:
            self.bench.desk.withdraw()
        except LayerError as error:
            self.voice.tell(str(error))

    def thread_at(self, square: Square) -> int:
        """Give the number of a square's thread, of its part stitch if it has no cross; 0 for none."""
        chart, (column, row) = self._chart, square
        if not chart.area.holds(column, row):
            return 0
        if chart.squares[row, column]:
            return int(chart.squares[row, column])
        here = (chart.parts.columns == column) & (chart.parts.rows == row)
        return int(chart.parts.keys[here][0]) if here.any() else 0

    def take_thread_here(self) -> None:
        """Take the thread under the pointer in hand."""
        number = self.thread_at(self.bench.pointer.square_or_middle)
        if number:
            self.bench.holding.take(number)
        else:
            self.voice.hint("There is no stitch in this square, so no thread to take in hand.")

    def go_to_thread(self, number: int) -> None:
        """Look where something of a thread is left, in the band if there is, nearest to where one looks."""
        bench, work = self.bench, ThreadWork(self.bench.desk.marks)
        x, y = bench.canvas.view.centre
        place, pitch, lit = (int(x), int(y)), bench.piece.pitch, bench.band.lit
        found = nearest(work, number, place, pitch, lit) if lit is not None else None
        found = found or nearest(work, number, place, pitch)
        if found is None:
            self.voice.hint("All of this thread is done.")
        else:
            bench.going.visit(Area(found.column, found.row, 1, 1))
            bench.pointer.put(found.column, found.row)

    def mark_all(self, selection: Selection, state: int) -> bool:
        """Put what is selected into a state; whether anything altered."""
        change = self.bench.desk.mark(selection, state)
        if change is not None and state != OPEN and self.steps_on and self.bench.band.step_on():
            self.bench.going.follow_band()
        return change is not None

    @property
    def _chart(self) -> Chart:
        return self.bench.desk.chart

    def _state(self, unpick: bool) -> int:
        """What her hand marks as: what she chose, or nothing at all while she unpicks."""
        return OPEN if unpick else self.bench.holding.state

    def _say_if_nothing(self, altered: bool, unpick: bool) -> None:
        if not altered:
            self.voice.hint(NOTHING_TO_MARK[self._state(unpick)])

    def _step(self, step: Callable[[], Change | None]) -> None:
        try:
            change = step()
        except LayerError as error:
            self.voice.tell(str(error))
            return
        if change is None or change.area.empty:
            # A note about a thread lies nowhere on the chart.
            return
        if change.area.clipped(self.bench.canvas.view.area).empty:
            self.bench.going.visit(change.area)
