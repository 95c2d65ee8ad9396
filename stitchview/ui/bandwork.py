"""The band on the chart at hand: where it lies, how keys and hands move it, and how it steps on."""

from functools import cached_property

from stitchview.chart.area import Area
from stitchview.done.change import DONE
from stitchview.done.marks import Marks
from stitchview.follow.band import Band, Edge, EdgeLines, every_line, lines_of_tens
from stitchview.follow.numbering import Numbering
from stitchview.follow.span import Span
from stitchview.follow.stepping import step_when_done
from stitchview.follow.threadwork import ThreadWork
from stitchview.ui.pointer import Pointer, Square

# A fresh band is as long as the bold lines are apart; common practice of those who lay magnets.
FRESH = 10


class BandWork:
    """The band of one chart; whoever moves it shows it afterwards."""

    def __init__(self, marks: Marks, pointer: Pointer) -> None:
        self._marks, self._chart, self._pointer = marks, marks.chart, pointer
        self._lines = every_line(self._chart.columns, self._chart.rows)
        self._columns = self._rows = FRESH
        self.band: Band | None = None

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

    def move(self, columns: int, rows: int) -> None:
        """Move the band by so many columns and rows, or bold lines if it snaps."""
        if self.band is not None:
            self._lay(self.band.moved(self._lines, columns, rows))

    def move_by_itself(self, across: int, down: int) -> None:
        """Move the band by so many times its own width and height."""
        if self.band is not None:
            self._lay(self.band.moved_by_itself(self._lines, across, down))

    def grow(self, columns: int, rows: int) -> None:
        """Make the band wider and taller, below 0 narrower and shorter."""
        if self.band is not None:
            self._lay(self.band.grown(self._lines, columns, rows))

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

    def counts(self, number: int = 0) -> tuple[int, int, int]:
        """Give what is left in the band, all in it, and what is left of the thread `number`.

        Crosses and part stitches are counted; without a band those of the whole chart.
        """
        lit = self.lit
        if lit is None:
            squares, parts = (self._marks.tally.of_family(family) for family in ("squares", "parts"))
            mine = self._marks.tally.counts[number, :2]
            left_of_it = int(mine.sum() - mine[:, DONE].sum())
            return squares.left + parts.left, squares.stitches + parts.stitches, left_of_it
        left = self._work.left_by_thread(lit)[:, :2].sum(axis=1)
        return int(left.sum()), self._work.in_squares(lit), int(left[number])

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
