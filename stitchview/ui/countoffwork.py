"""The counts from the cloth on the open chart: kept, reckoned, and gone to where they depart."""

from collections.abc import Callable

from PySide6.QtWidgets import QWidget

from stitchview.chart.area import Area, spanning
from stitchview.errors import CommandError
from stitchview.follow.countoff import Axis, CountedLine, CountOff, Departure, Split, count_off
from stitchview.follow.countoffareas import area_between, area_off
from stitchview.follow.countoffwords import ADVICE, AGREES, NOTHING_COUNTED, CountWords
from stitchview.follow.numbering import Numbering, Way, index_of, number_of, ruler_numbers, start_of
from stitchview.ui.bench import Bench
from stitchview.ui.countoffdialog import CountOffDialog, Finding, Told
from stitchview.ui.lentkeys import UNDOING, lend_keys
from stitchview.ui.screenroom import move_beside

TENS = 10
NO_ZERO = "Counted from the centre there is no {one} 0: they go from -1 to 1."


class CountOffWork:
    """The `CountingWorks` of one sitting; `go` shows an area and puts the pointer at its first square.

    `differs` asks whether an area that lies so many columns and rows off is kept so, or unpicked.
    """

    def __init__(
        self,
        bench: Bench,
        board: QWidget,
        go: Callable[[Area], None],
        differs: Callable[[Area, int, int], None],
    ) -> None:
        self._bench, self._board, self._go, self._differs = bench, board, go, differs
        self._chart = bench.desk.chart
        self._numbering = Numbering.TOP_LEFT
        self._counts: tuple[CountedLine, ...] = ()
        self.dialog: CountOffDialog | None = None

    @property
    def found(self) -> CountOff:
        """What the counts tell so far."""
        return count_off(self._chart, self._counts, self._numbering)

    def use(self, numbering: Numbering) -> None:
        """Count lines otherwise; what was counted from elsewhere is forgotten."""
        if numbering is self._numbering:
            return
        self._numbering, self._counts = numbering, ()
        if self.dialog is not None:
            self.dialog.close()
            self.dialog.deleteLater()
            self.dialog = None

    def open(self) -> None:
        """Ask for counts in a window of its own, which stays beside the chart."""
        if self.dialog is None:
            self.dialog = CountOffDialog(self, self._board)
            lend_keys(self.dialog, self._board, UNDOING)
        if not self.dialog.isVisible():
            move_beside(self.dialog, self._board)
        self.dialog.refresh()
        self.dialog.show()
        self.dialog.raise_()
        self.dialog.activateWindow()
        self.dialog.propose()

    # What the dialog asks for

    def numbers(self, axis: Axis) -> tuple[int, int]:
        """The lowest and the highest number of the chart's lines."""
        numbers = ruler_numbers(*self._side(axis))
        return int(numbers.min()), int(numbers.max())

    def proposed(self, axis: Axis) -> tuple[int, int]:
        """The next tens line outwards from the last count, or the first one after the pointer."""
        size, way = self._side(axis)
        mine = [each for each in self._counts if each.axis is axis]
        last = mine[-1].line if mine else self._pointed_at(axis)
        low, high = self.numbers(axis)
        number = number_of(last, size, way)
        tens = (abs(number) // TENS + 1) * TENS * (-1 if number < 0 else 1)
        if not low <= tens <= high:
            tens = number
        line = index_of(tens, size, way)
        shift = mine[-1].shift if mine else 0
        if mine and (line - start_of(size, way)) * (mine[-1].line - start_of(size, way)) < 0:
            shift = 0
        return tens, number_of(line + shift, size, way)

    def take(self, told: Told) -> str:
        """Take a count; a sentence, and nothing taken, if it cannot be so."""
        try:
            count = self._counted(told)
            count_off(self._chart, (*self._counts, count), self._numbering)
        except CommandError as error:
            return str(error)
        self._counts = tuple(dict.fromkeys((*self._counts, count)))
        return ""

    def drop(self, place: int) -> None:
        """Forget the count at a place of the list."""
        if 0 <= place < len(self._counts):
            self._counts = self._counts[:place] + self._counts[place + 1 :]

    def counts(self) -> list[str]:
        """All counts in words."""
        return [self._words.count(each) for each in self._counts]

    def findings(self) -> list[Finding]:
        """Each departure, and each line that is not straight."""
        found = self.found
        departures = [Finding(self._words.departure(each), each) for each in found.departures]
        return [*departures, *(Finding(self._words.split(each), each) for each in found.splits)]

    def advice(self) -> str:
        """What to do about it."""
        if not self._counts:
            return NOTHING_COUNTED
        return AGREES if self.found.agrees else ADVICE

    def choose(self, what: object) -> None:
        """Go to where the count departs."""
        if isinstance(what, Departure):
            self._go(area_between(what, self._chart.area, self._bench.pointer.square_or_middle))
        elif isinstance(what, Split):
            self._go(_area_of(what))

    def lies_off(self, what: object) -> bool:
        """Whether it tells how far a whole area lies off."""
        return isinstance(what, Departure) and what.total != 0

    def keep(self, what: object) -> None:
        """Ask whether the area that lies off is kept so, or unpicked."""
        if isinstance(what, Departure) and what.total:
            across, down = (what.total, 0) if what.axis is Axis.COLUMNS else (0, what.total)
            self._differs(area_off(what, self._chart.area), across, down)

    @property
    def _words(self) -> CountWords:
        return CountWords(self._chart, self._numbering)

    def _side(self, axis: Axis) -> tuple[int, Way]:
        if axis is Axis.COLUMNS:
            return self._chart.columns, self._numbering.across
        return self._chart.rows, self._numbering.down

    def _pointed_at(self, axis: Axis) -> int:
        column, row = self._bench.pointer.square_or_middle
        return column if axis is Axis.COLUMNS else row

    def _counted(self, told: Told) -> CountedLine:
        along = None if told.along is None else self._index(told.axis.other, told.along)
        line, cloth = (self._index(told.axis, number) for number in (told.line, told.cloth))
        return CountedLine(told.axis, line, cloth, along)

    def _index(self, axis: Axis, number: int) -> int:
        try:
            return index_of(number, *self._side(axis))
        except ValueError as error:
            raise CommandError(NO_ZERO.format(one=axis.one)) from error


def _area_of(split: Split) -> Area:
    first, last = split.before.along or 0, split.after.along or 0
    if split.before.axis is Axis.COLUMNS:
        return spanning((split.before.line, first), (split.before.line, last))
    return spanning((first, split.before.line), (last, split.before.line))
