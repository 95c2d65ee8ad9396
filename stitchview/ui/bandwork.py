"""The band on the chart at hand: where it lies, how keys and hands move it, and how it steps on."""

from dataclasses import dataclass
from functools import cached_property

from stitchview.chart.area import Area
from stitchview.chart.turning import Turn
from stitchview.done.change import FAMILIES
from stitchview.done.counts import Progress
from stitchview.done.marks import Marks
from stitchview.follow.band import Band, Edge, EdgeLines, every_line, lines_of_tens
from stitchview.follow.numbering import Numbering
from stitchview.follow.span import Span
from stitchview.follow.stepping import step_when_done
from stitchview.follow.threadwork import NOT_NEXT, ThreadWork
from stitchview.ui.pointer import Pointer, Square

# A fresh band is as long as the bold lines are apart; common practice of those who lay magnets.
FRESH = 10


@dataclass(frozen=True, slots=True)
class InBand:
    """What lies in the band: `left` of `squares` crosses and part stitches, `mine` of them of one thread.

    `over` counts the lines, knots and beads left over them. `states` counts all that are first legs, for
    later or mistakes.
    """

    left: int
    squares: int
    mine: int
    over: int
    states: Progress = Progress(0, 0)  # noqa: RUF009 (frozen, so one default can be shared)


class BandWork:
    """The band of one chart; whoever moves it shows it afterwards."""

    def __init__(self, marks: Marks, pointer: Pointer) -> None:
        self._marks, self._chart, self._pointer = marks, marks.chart, pointer
        self._lines = every_line(self._chart.columns, self._chart.rows)
        self._columns = self._rows = FRESH
        self.band: Band | None = None
        self._counted_for: tuple[Area | None, int, int] | None = None
        self._counted = InBand(0, 0, 0, 0)

    @property
    def lit(self) -> Area | None:
        """The squares that the band leaves lit; None without a band."""
        return None if self.band is None else self.band.inside(self._chart.area)

    @property
    def upright(self) -> bool:
        """Whether she works along columns: the band lies on columns only."""
        return self.band is not None and self.band.rows is None

    def set_lines(self, snaps: bool, numbering: Numbering) -> None:
        """Let the edges lie anywhere, or on the bold lines only; the band itself stays until it is moved."""
        columns, rows = self._chart.columns, self._chart.rows
        self._lines = lines_of_tens(columns, rows, numbering) if snaps else every_line(columns, rows)

    def restore(self, band: Band | None) -> None:
        """Lay the band as it lay when the chart was closed."""
        self._lay(band)

    # What keys ask for

    def over_rows(self, square: Square | None = None) -> None:
        """Lay a band of rows at a square, or at the pointer."""
        self._lay_at(square, Band(rows=Span(0, self._rows)))

    def over_columns(self, square: Square | None = None) -> None:
        """Lay a band of columns at a square, or at the pointer."""
        self._lay_at(square, Band(columns=Span(0, self._columns)))

    def framed(self, square: Square | None = None) -> None:
        """Lay a frame at a square, or at the pointer."""
        self._lay_at(square, Band(Span(0, self._rows), Span(0, self._columns)))

    def take_away(self) -> None:
        """Take the band away."""
        self._lay(None)

    def move(self, across: int, down: int) -> None:
        """Move the band by so many squares as they are seen, or bold lines if it snaps."""
        if self.band is not None:
            self._lay(self.band.moved(self._lines, *self._turn.back.step(across, down)))

    def move_by_itself(self, across: int, down: int) -> None:
        """Move the band by so many times its own size, as it is seen."""
        if self.band is not None:
            self._lay(self.band.moved_by_itself(self._lines, *self._turn.back.step(across, down)))

    def move_on(self, columns: int, rows: int) -> None:
        """Move the band by so many times its own size over the columns and rows of the chart."""
        if self.band is not None:
            self._lay(self.band.moved_by_itself(self._lines, columns, rows))

    def grow(self, across: int, down: int) -> None:
        """Make the band wider and taller as it is seen, below 0 narrower and shorter."""
        if self.band is not None:
            self._lay(self.band.grown(self._lines, *self._turn.size(across, down)))

    @property
    def _turn(self) -> Turn:
        return self._pointer.turn

    # What hands ask for

    def drag_edge(self, edge: Edge, line: int) -> None:
        """Put one edge on the allowed line nearest to `line`."""
        if self.band is not None:
            self._lay(self.band.with_edge(self._lines, edge, line))

    def move_to(self, first_column: int | None, first_row: int | None) -> None:
        """Let the band begin at another column or row; None leaves that side where it is."""
        if self.band is None:
            return
        columns, rows = self.band.columns, self.band.rows
        if columns is not None and first_column is not None:
            columns = Span(first_column, columns.count)
        if rows is not None and first_row is not None:
            rows = Span(first_row, rows.count)
        self._lay(Band(rows, columns).fitted(self._lines))

    def call_to(self, column: int, row: int) -> None:
        """Bring the band to a square, a fresh one of rows if there is none."""
        self._lay((self.band or Band(rows=Span(0, self._rows))).centred_on(self._lines, column, row))

    # What is in it

    def counts(self, number: int = 0) -> InBand:
        """Give what is left in the band, of the thread `number` too; without a band in the whole chart."""
        asked = self.lit, number, self._marks.applied
        if asked != self._counted_for:
            self._counted_for, self._counted = asked, self._count(asked[0], number)
        return self._counted

    def _count(self, lit: Area | None, number: int) -> InBand:
        if lit is None:
            squares, parts, lines, points = (self._marks.tally.of_family(family) for family in FAMILIES)
            mine = self._marks.tally.counts[number, :2]
            return InBand(
                squares.left - squares.later + parts.left - parts.later,
                squares.stitches + parts.stitches,
                int(mine.sum() - mine[:, NOT_NEXT].sum()),
                lines.left - lines.later + points.left - points.later,
                self._marks.tally.total(),
            )
        left = self._work.left_by_thread(lit)
        crosses = left[:, :2].sum(axis=1)
        there, over = self._work.in_squares(lit), int(left[:, 2:].sum())
        total = self._marks.tally.total()
        # Mostly there is nothing but open and done, and then nothing is to be counted.
        others = total.first_legs or total.later or total.mistakes
        states = self._work.states_in(lit) if others else Progress(0, 0)
        return InBand(int(crosses.sum()), there, int(crosses[number]), over, states)

    def step_on(self) -> bool:
        """Move on to the next place with something left if all in the band is done; whether it moved."""
        if self.band is None:
            return False
        after = step_when_done(self.band, self._work, self._lines)
        if after == self.band:
            return False
        self._lay(after)
        return True

    @property
    def lines(self) -> EdgeLines:
        """The lines its edges may lie on."""
        return self._lines

    @cached_property
    def _work(self) -> ThreadWork:
        return ThreadWork(self._marks)

    def _lay_at(self, square: Square | None, band: Band) -> None:
        self._lay(band.centred_on(self._lines, *(square or self._pointer.square_or_middle)))

    def _lay(self, band: Band | None) -> None:
        if band is not None:
            self._columns = band.columns.count if band.columns else self._columns
            self._rows = band.rows.count if band.rows else self._rows
        self.band = band
