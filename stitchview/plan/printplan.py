"""Where everything of a printed chart stands: its sheets, their squares and their frames, in millimetres."""

from dataclasses import dataclass

from stitchview.chart.area import Area
from stitchview.chart.model import Chart
from stitchview.done.differences import Difference
from stitchview.done.marks import Marks
from stitchview.errors import CommandError
from stitchview.follow.numbering import tens_lines
from stitchview.plan.cardpages import Box, Paper
from stitchview.plan.printsplit import Span, split
from stitchview.plan.printstitches import PrintStitches
from stitchview.plan.printwish import PrintWish

MARGIN, HEAD, FOOT, EDGE = 10.0, 12.0, 8.0, 8.0
"""Millimetres: what printers leave white, title and page, and the numbers along each side of the squares."""
MOST_SHEETS = 200
MOST_SQUARES = 1_000_000
"""So many are printed at once: these take about ten seconds, and nobody lays more sheets side by side."""


@dataclass(frozen=True, slots=True)
class PrintSheet:
    """One sheet: its number from 1, its squares, where they stand, and which it shares with neighbours."""

    number: int
    area: Area
    grid: Box
    shared: tuple[Area, ...]


@dataclass(frozen=True, eq=False, slots=True)
class PrintPlan:
    """All sheets of a print; `paper` is turned as it is used, `area` what is printed of the chart.

    `differs` are the recorded differences in it: what is printed stands as it is on the cloth.
    """

    wish: PrintWish
    chart: Chart
    stitches: PrintStitches
    area: Area
    paper: Paper
    sheets: tuple[PrintSheet, ...]
    differs: tuple[Difference, ...] = ()

    @property
    def lying(self) -> bool:
        """Whether the paper lies on its long side."""
        return self.paper.width > self.paper.height

    @property
    def printable(self) -> Box:
        """What of the paper is printed on."""
        return printable(self.paper)

    @property
    def body(self) -> Box:
        """What lies between head and foot."""
        room = self.printable
        return Box(room.left, room.top + HEAD, room.width, room.height - HEAD - FOOT)


def printable(paper: Paper) -> Box:
    """The paper without its margins."""
    return Box(MARGIN, MARGIN, paper.width - 2 * MARGIN, paper.height - 2 * MARGIN)


def print_plan(marks: Marks, wish: PrintWish) -> PrintPlan:
    """Lay out a chart, or a part of it, on the fewest sheets, upright or lying, leaving empty ones out.

    Raises `CommandError` for a region off the chart, for one in which nothing is to be printed, and for
    more sheets or squares than can be printed at once.
    """
    chart = marks.chart
    area = (wish.area or chart.area).clipped(chart.area)
    if area.empty:
        raise CommandError(
            "The region lies outside the chart.",
            f"The chart has {chart.columns} columns and {chart.rows} rows.",
        )
    upright = wish.paper
    lying = Paper(upright.name, upright.height, upright.width)
    ways = [(_spans(chart, area, paper, wish), paper) for paper in (upright, lying)]
    (across, down), paper = min(ways, key=lambda way: len(way[0][0]) * len(way[0][1]))
    _refuse_too_many(area, len(across) * len(down))
    stitches = PrintStitches(marks, wish.done)
    grids = _sheets(across, down, paper, wish)
    sheets = [each for each in grids if stitches.anything(each.area)]
    if not sheets:
        raise CommandError(
            "Nothing is to be printed there.", "Choose another region, or print what is done too."
        )
    numbered = tuple(
        PrintSheet(number, each.area, each.grid, each.shared) for number, each in enumerate(sheets, 1)
    )
    differs = tuple(
        each
        for each in marks.notes.differences
        if any(not touched.clipped(area).empty for touched in each.touched)
    )
    return PrintPlan(wish, chart, stitches, area, paper, numbered, differs)


def _refuse_too_many(area: Area, sheets: int) -> None:
    if sheets > MOST_SHEETS:
        raise CommandError(
            f"That would take {sheets:,} sheets of paper, and {MOST_SHEETS} at most are printed at once.",
            "Print a region, or choose smaller squares.",
        )
    if area.count > MOST_SQUARES:
        raise CommandError(
            f"That would print {area.count:,} squares, and {MOST_SQUARES:,} at most are printed at once.",
            "Print a region.",
        )


def _room(paper: Paper) -> Box:
    """Where squares may stand on a sheet."""
    inner = printable(paper)
    return Box(
        inner.left + EDGE,
        inner.top + HEAD + EDGE,
        inner.width - 2 * EDGE,
        inner.height - HEAD - FOOT - 2 * EDGE,
    )


def _spans(
    chart: Chart, area: Area, paper: Paper, wish: PrintWish
) -> tuple[tuple[Span, ...], tuple[Span, ...]]:
    room, numbering = _room(paper), wish.numbering
    # A hair more, because a hundred and seventy-four by four is not always forty-three and a half.
    columns = int(room.width / wish.pitch.across_mm + 1e-6)
    rows = int(room.height / wish.pitch.down_mm + 1e-6)
    bold_across = tens_lines(chart.columns, numbering.across)
    bold_down = tens_lines(chart.rows, numbering.down)
    return (
        split(area.column, area.right, columns, wish.overlap, bold_across),
        split(area.row, area.bottom, rows, wish.overlap, bold_down),
    )


def _sheets(
    across: tuple[Span, ...], down: tuple[Span, ...], paper: Paper, wish: PrintWish
) -> list[PrintSheet]:
    """The sheets row by row; all begin at one corner, so that they can be laid edge to edge."""
    room, pitch = _room(paper), wish.pitch
    widest = max(each.squares for each in across) * pitch.across_mm
    left = room.left + (room.width - widest) / 2
    sheets = []
    for down_at, rows in enumerate(down):
        for across_at, columns in enumerate(across):
            area = Area(columns.begin, rows.begin, columns.squares, rows.squares)
            grid = Box(left, room.top, area.columns * pitch.across_mm, area.rows * pitch.down_mm)
            beside = [
                *(Area(each.begin, area.row, each.squares, area.rows) for each in _beside(across, across_at)),
                *(
                    Area(area.column, each.begin, area.columns, each.squares)
                    for each in _beside(down, down_at)
                ),
            ]
            shared = tuple(part for each in beside if not (part := each.clipped(area)).empty)
            sheets.append(PrintSheet(0, area, grid, shared))
    return sheets


def _beside(spans: tuple[Span, ...], at: int) -> list[Span]:
    return [spans[each] for each in (at - 1, at + 1) if 0 <= each < len(spans)]
