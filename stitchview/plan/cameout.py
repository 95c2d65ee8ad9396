"""How large a piece came out: its real pitch, proportions, and how far it is from its forecast."""

from dataclasses import dataclass

import numpy as np

from stitchview.done.change import DONE
from stitchview.done.marks import Marks
from stitchview.errors import CommandError
from stitchview.follow.clothpitch import Pitch
from stitchview.plan.clothcount import ClothCount, OffTrue, told
from stitchview.plan.clothsize import Size, finished_size

READING_MM = 1.0
"""What a ruler laid along a piece may be read wrongly, both ends together (an estimate)."""
LEAST_RATIO, MOST_RATIO = 0.8, 1.25
"""Real by foretold size beyond these tells of another unit or another cloth, not of this one."""


@dataclass(frozen=True, slots=True)
class Extent:
    """The part of a chart that is stitched, in squares; halves where a back stitch ends in a middle."""

    columns: float
    rows: float


@dataclass(frozen=True, slots=True)
class CameOut:
    """A measured piece: so many squares each way, on a cloth with such a count, measure so much."""

    extent: Extent
    count: ClothCount
    size: Size

    @property
    def real(self) -> Pitch:
        """The real width and height of one square."""
        return Pitch(self.size.width_mm / self.extent.columns, self.size.height_mm / self.extent.rows)

    @property
    def real_count(self) -> tuple[float, float]:
        """Threads to the measure of `count` as they really lie: over / pitch, across and down."""
        share = self.count.over * self.count.unit_mm
        return share / self.real.across_mm, share / self.real.down_mm

    @property
    def forecast(self) -> Size:
        """The size that was foretold: squares by the pitch of the count (checks.md, section 1)."""
        pitch = self.count.pitch
        return Size(self.extent.columns * pitch.across_mm, self.extent.rows * pitch.down_mm)

    @property
    def ratios(self) -> tuple[float, float]:
        """Real by foretold size, across and down."""
        forecast = self.forecast
        return self.size.width_mm / forecast.width_mm, self.size.height_mm / forecast.height_mm

    @property
    def errors_percent(self) -> tuple[float, float]:
        """How much larger it came out than foretold, across and down; below 0 smaller."""
        across, down = self.ratios
        return (across - 1) * 100, (down - 1) * 100

    @property
    def unsure_percent(self) -> tuple[float, float]:
        """What reading the ruler alone may make of it."""
        return READING_MM / self.size.width_mm * 100, READING_MM / self.size.height_mm * 100

    @property
    def off(self) -> OffTrue:
        """How far the squares came out from square."""
        return OffTrue(self.real.down_mm / self.real.across_mm)

    @property
    def likely(self) -> bool:
        """Whether it can be this cloth at all, so that another piece may learn from it."""
        return all(LEAST_RATIO <= each <= MOST_RATIO for each in self.ratios)


def stitched_extent(marks: Marks) -> Extent:
    """The columns and rows from the first to the last stitch done, knots and beads left out.

    Raises `CommandError` where none is done. O(chart).
    """
    chart = marks.chart
    rows, columns = np.nonzero((marks.squares == DONE) & (chart.squares != 0))
    parts, lines = np.flatnonzero(marks.parts == DONE), np.flatnonzero(marks.lines == DONE)
    across = np.concatenate((
        columns, columns + 1, chart.parts.columns[parts], chart.parts.columns[parts] + 1,
        chart.lines.x1[lines] / 2, chart.lines.x2[lines] / 2,
    ))  # fmt: skip
    down = np.concatenate((
        rows, rows + 1, chart.parts.rows[parts], chart.parts.rows[parts] + 1,
        chart.lines.y1[lines] / 2, chart.lines.y2[lines] / 2,
    ))  # fmt: skip
    if not len(across) or np.ptp(across) == 0 or np.ptp(down) == 0:
        raise CommandError("Nothing is stitched that could be measured.", "Mark what is done first.")
    return Extent(float(np.ptp(across)), float(np.ptp(down)))


def came_out(extent: Extent, count: ClothCount, width_mm: float, height_mm: float) -> CameOut:
    """What measuring tells; raises `CommandError` for a size that no cloth could have made."""
    found = CameOut(extent, count, Size(width_mm, height_mm))
    try:
        ClothCount(*found.real_count, count.per_100_mm, count.over)
    except CommandError as error:
        raise CommandError(
            f"{found.size.words} cannot be the size of {told(extent.columns)} x {told(extent.rows)} squares.",
            "Measure from the first to the last stitch, and see whether it is centimetres or inches.",
        ) from error
    return found


def expected_size(columns: int, rows: int, count: ClothCount, ratios: tuple[float, float]) -> Size:
    """The size of so many squares on cloth that comes out by such ratios larger than foretold."""
    foretold = finished_size(columns, rows, count.pitch)
    return Size(foretold.width_mm * ratios[0], foretold.height_mm * ratios[1])


def lines_of(found: CameOut) -> list[str]:
    """What measuring tells, in sentences."""
    across, down = found.real_count
    unit = "10 cm" if found.count.per_100_mm else "the inch"
    lines = [
        f"Measured {found.size.words}, foretold {found.forecast.words}:"
        f" {_error(0, found)} across, {_error(1, found)} down.",
        f"A square is really {found.real.across_mm:.3f} x {found.real.down_mm:.3f} mm:"
        f" {across:.2f} threads to {unit} across and {down:.2f} down.",
        f"It came out {found.off.words}.",
    ]
    if not found.likely:
        lines.append(
            "That is far from the forecast: see whether it was centimetres or inches, and whether the"
            " cloth is told rightly. No other piece will learn from it."
        )
    return lines


def _error(way: int, found: CameOut) -> str:
    percent, unsure = found.errors_percent[way], found.unsure_percent[way]
    if abs(percent) <= unsure:
        return f"as foretold within what a ruler tells ({percent:+.1f} %)"
    return f"{abs(percent):.1f} % {'larger' if percent > 0 else 'smaller'}"
