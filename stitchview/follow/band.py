"""The highlight band that replaces magnets: where it lies, how it moves, what it leaves dim."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

from stitchview.chart.area import Area
from stitchview.follow import span as spans
from stitchview.follow.numbering import Numbering, tens_lines
from stitchview.follow.span import Span


class Edge(Enum):
    """A side of the band that can be dragged."""

    TOP = "top"
    BOTTOM = "bottom"
    LEFT = "left"
    RIGHT = "right"


@dataclass(frozen=True, slots=True)
class EdgeLines:
    """The lines the edges of a band may lie on, for columns and for rows, in rising order.

    A line is named by how many squares lie before it; the chart's two ends are the first and the
    last. Moving by one means moving to the next line, so snapping to tens is only a matter of
    which lines there are.
    """

    columns: Sequence[int]
    rows: Sequence[int]


def every_line(columns: int, rows: int) -> EdgeLines:
    """All lines of a chart of `columns` x `rows`: the band may lie anywhere."""
    return EdgeLines(range(columns + 1), range(rows + 1))


def lines_of_tens(columns: int, rows: int, numbering: Numbering) -> EdgeLines:
    """Only the lines between tens, counted from the corner or the centre she chose, and the chart's ends."""
    return EdgeLines(tens_lines(columns, numbering.across), tens_lines(rows, numbering.down))


@dataclass(frozen=True, slots=True)
class Band:
    """A band over `rows`, over `columns`, or over both as a frame; at least one of them is given."""

    rows: Span | None = None
    columns: Span | None = None

    def __post_init__(self) -> None:
        if self.rows is None and self.columns is None:
            raise ValueError("a band lies on rows, on columns or on both")

    def inside(self, area: Area) -> Area:
        """The squares of `area` that the band leaves lit; empty if the band lies outside it."""
        lit = area
        if self.columns is not None:
            lit = Area(self.columns.first, lit.row, self.columns.count, lit.rows)
        if self.rows is not None:
            lit = Area(lit.column, self.rows.first, lit.columns, self.rows.count)
        return lit.clipped(area)

    def dim_areas(self, area: Area) -> tuple[Area, ...]:
        """The squares of `area` that are dimmed, as up to four areas that do not overlap."""
        lit = self.inside(area)
        if lit.empty:
            return () if area.empty else (area,)
        around = (
            Area(area.column, area.row, area.columns, lit.row - area.row),
            Area(area.column, lit.row, lit.column - area.column, lit.rows),
            Area(lit.right, lit.row, area.right - lit.right, lit.rows),
            Area(area.column, lit.bottom, area.columns, area.bottom - lit.bottom),
        )
        return tuple(part for part in around if not part.empty)

    @property
    def edges(self) -> tuple[tuple[Edge, int], ...]:
        """The edges that can be dragged, each with the line it lies on."""
        found: list[tuple[Edge, int]] = []
        if self.rows is not None:
            found += [(Edge.TOP, self.rows.first), (Edge.BOTTOM, self.rows.end)]
        if self.columns is not None:
            found += [(Edge.LEFT, self.columns.first), (Edge.RIGHT, self.columns.end)]
        return tuple(found)

    def fitted(self, lines: EdgeLines) -> "Band":
        """The band brought back onto the chart, its edges on the nearest lines."""
        return Band(
            self.rows and spans.fitted(self.rows, lines.rows),
            self.columns and spans.fitted(self.columns, lines.columns),
        )

    def moved(self, lines: EdgeLines, columns: int = 0, rows: int = 0) -> "Band":
        """The band moved by so many lines rightwards and downwards, kept whole on the chart."""
        return Band(
            self.rows and spans.moved(self.rows, rows, lines.rows),
            self.columns and spans.moved(self.columns, columns, lines.columns),
        )

    def moved_by_itself(self, lines: EdgeLines, across: int = 0, down: int = 0) -> "Band":
        """The band moved so many times its own width and height, kept whole on the chart."""
        columns = across * spans.steps(self.columns, lines.columns) if self.columns else 0
        rows = down * spans.steps(self.rows, lines.rows) if self.rows else 0
        return self.moved(lines, columns, rows)

    def grown(self, lines: EdgeLines, columns: int = 0, rows: int = 0) -> "Band":
        """Wider and taller by so many steps, below 0 narrower and shorter; one step at the least.

        The right and bottom edges move; at the chart's end the left and top edges make room.
        """
        return Band(
            self.rows and spans.grown(self.rows, rows, lines.rows),
            self.columns and spans.grown(self.columns, columns, lines.columns),
        )

    def with_edge(self, lines: EdgeLines, edge: Edge, line: int) -> "Band":
        """The band with one edge dragged to the allowed line nearest to `line`, the other edge kept.

        An edge cannot pass the other one; an edge that the band does not have changes nothing.
        """
        drag = spans.with_start if edge in (Edge.TOP, Edge.LEFT) else spans.with_end
        if edge in (Edge.TOP, Edge.BOTTOM):
            return Band(self.rows and drag(self.rows, line, lines.rows), self.columns)
        return Band(self.rows, self.columns and drag(self.columns, line, lines.columns))

    def centred_on(self, lines: EdgeLines, column: int, row: int) -> "Band":
        """The band with the square (`column`, `row`) in its middle, as near as the chart's ends allow."""
        return Band(
            self.rows and spans.centred(self.rows, row, lines.rows),
            self.columns and spans.centred(self.columns, column, lines.columns),
        )

    def after_grown(self, old_origin: tuple[int, int], new_origin: tuple[int, int]) -> "Band":
        """The band on the same squares after sheets were added and the chart's origin moved.

        Origins are the (column, row) address of the top left square, as `Chart.origin` holds it.
        """
        columns, rows = old_origin[0] - new_origin[0], old_origin[1] - new_origin[1]
        return Band(
            self.rows and Span(self.rows.first + rows, self.rows.count),
            self.columns and Span(self.columns.first + columns, self.columns.count),
        )


def band_of_rows(first: int, count: int) -> Band:
    """A band over `count` rows beginning at row `first`."""
    return Band(rows=Span(first, count))


def band_of_columns(first: int, count: int) -> Band:
    """A band over `count` columns beginning at column `first`."""
    return Band(columns=Span(first, count))


def frame_of(area: Area) -> Band:
    """A band over the rows and the columns of `area`, which must not be empty."""
    return Band(Span(area.row, area.rows), Span(area.column, area.columns))
