"""Where the middle of the cloth is, and where gridding threads run every ten squares."""

from dataclasses import dataclass

from stitchview.plan.clothcount import ClothCount
from stitchview.plan.clothsize import Margin

TEN = 10


@dataclass(frozen=True, slots=True)
class Middle:
    """The middle of one way of the chart: halve the count and mark it (checks.md, H2).

    `squares` lie before it; where that is a half, it runs through a square. `from_edge_mm` is
    measured from the edge of the cut cloth.
    """

    squares: float
    threads: float
    from_edge_mm: float

    @property
    def between(self) -> bool:
        """Whether it runs between two squares."""
        return self.squares == int(self.squares)


@dataclass(frozen=True, slots=True)
class Bold:
    """Where the chart's bold lines stand one way: every ten squares, at `first` modulo ten.

    Counted from the middle of an odd chart, the square there, `centre`, lies between two lines by
    itself, and all lines after it stand one further on.
    """

    first: int = 0
    centre: int | None = None

    def lines(self, squares: int) -> list[int]:
        """The squares before which a bold line runs inside a chart, in order."""
        plain = range(self.first % TEN, squares, TEN)
        if self.centre is None:
            found = set(plain)
        else:
            found = {at for at in plain if at <= self.centre}
            found |= {at + 1 for at in plain if at >= self.centre}
        return sorted(at for at in found if 0 < at < squares)


FROM_THE_CORNER = Bold()


@dataclass(frozen=True, slots=True)
class GridLine:
    """One gridding thread: before which square it runs, counted from 0, and where.

    `threads` are counted from the edge of the stitches, `from_edge_mm` from the edge of the cut cloth.
    """

    square: int
    threads: int
    from_edge_mm: float


@dataclass(frozen=True, slots=True)
class Gridding:
    """All gridding threads of one way, and how far they are apart."""

    middle: Middle
    lines: tuple[GridLine, ...]
    threads_apart: int
    mm_apart: float


def gridding(
    squares: int, pitch_mm: float, over: int, margin: Margin, bold: Bold = FROM_THE_CORNER
) -> Gridding:
    """Gridding threads along one way of the chart where its `bold` lines stand, and at both edges.

    `pitch_mm` is a square's width or height.
    """
    edge = margin.each_side_mm
    places = (0, *bold.lines(squares), squares)
    lines = tuple(GridLine(at, at * over, edge + at * pitch_mm) for at in places)
    half = squares / 2
    return Gridding(Middle(half, half * over, edge + half * pitch_mm), lines, TEN * over, TEN * pitch_mm)


def griddings(
    size: tuple[int, int],
    count: ClothCount,
    margin: Margin,
    bold: tuple[Bold, Bold] = (FROM_THE_CORNER, FROM_THE_CORNER),
) -> tuple[Gridding, Gridding]:
    """The gridding threads that run down (told along the width) and across, for (columns, rows)."""
    pitch = count.pitch
    return (
        gridding(size[0], pitch.across_mm, count.over, margin, bold[0]),
        gridding(size[1], pitch.down_mm, count.over, margin, bold[1]),
    )
