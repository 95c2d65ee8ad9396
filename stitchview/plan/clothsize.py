"""How large the piece comes out, what to cut for it, and whether it fits a frame or a cushion."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType

from stitchview.errors import CommandError
from stitchview.follow.clothpitch import INCH_MM, Pitch
from stitchview.plan.clothcount import ClothCount

MOST_MARGIN_MM = 1000.0
MOST_OPENING_MM = 20_000.0
CUT_STEP_CM, CUT_STEP_INCHES = 0.5, 0.25
"""What is told for cutting is rounded up to these."""
USUAL_COUNTS = (11.0, 14.0, 16.0, 18.0, 20.0, 22.0, 25.0, 28.0, 32.0, 36.0, 40.0)
"""Counts to the inch that are sold, to compare sizes on (common practice)."""


@dataclass(frozen=True, slots=True)
class Size:
    """A width and a height on the cloth, in millimetres."""

    width_mm: float
    height_mm: float

    @property
    def turned(self) -> "Size":
        """The same, lying on its side."""
        return Size(self.height_mm, self.width_mm)

    @property
    def words(self) -> str:
        """To the nearest: "36.3 x 54.4 cm (14.3 x 21.4 in)"."""
        centimetres = f"{self.width_mm / 10:.1f} x {self.height_mm / 10:.1f} cm"
        return f"{centimetres} ({self.width_mm / INCH_MM:.1f} x {self.height_mm / INCH_MM:.1f} in)"

    @property
    def cutting_words(self) -> str:
        """Rounded up, as one cuts: "51.5 x 69.5 cm (20.5 x 27.5 in)"."""
        wide, high = (_up(each / 10, CUT_STEP_CM) for each in (self.width_mm, self.height_mm))
        inches = (_up(each / INCH_MM, CUT_STEP_INCHES) for each in (self.width_mm, self.height_mm))
        return f"{wide:g} x {high:g} cm ({' x '.join(f'{each:g}' for each in inches)} in)"


def _up(length: float, step: float) -> float:
    # What is a whole step already but for the last bit of a float stays.
    return math.ceil(length / step - 1e-9) * step


def finished_size(columns: int, rows: int, pitch: Pitch) -> Size:
    """The size of so many squares: W = n p each way (checks.md, section 1)."""
    return Size(columns * pitch.across_mm, rows * pitch.down_mm)


class Making(StrEnum):
    """What becomes of the piece; the values are words, and what is kept."""

    FRAME = "frame"
    HOOP = "hoop"
    CUSHION = "cushion"


@dataclass(frozen=True, slots=True)
class Margin:
    """Bare cloth on each side of the stitches, and beyond it what a hem or a seam takes, in millimetres.

    Raises `CommandError` for a margin that cannot be.
    """

    bare_mm: float
    hem_mm: float = 0.0

    def __post_init__(self) -> None:
        for each in (self.bare_mm, self.hem_mm):
            if not 0 <= each <= MOST_MARGIN_MM:
                raise CommandError(
                    f"A margin of {each / 10:g} cm cannot be cut.", f"Give 0 to {MOST_MARGIN_MM / 10:.0f} cm."
                )

    @property
    def each_side_mm(self) -> float:
        """All of it, on each side."""
        return self.bare_mm + self.hem_mm


USUAL_MARGINS: Mapping[Making, Margin] = MappingProxyType(
    {
        # 3 inches about, to lace round a board: checks.md, section 1 (common practice).
        Making.FRAME: Margin(75.0),
        # A hoop has to hold the cloth beyond the last stitch (common practice, from memory).
        Making.HOOP: Margin(100.0),
        # Bare ground round the stitches, and a seam (common practice, from memory).
        Making.CUSHION: Margin(50.0, 15.0),
    }
)


def cut_size(size: Size, margin: Margin) -> Size:
    """What to cut: cut = W + 2 m each way (checks.md, section 1); not rounded yet."""
    both = 2 * margin.each_side_mm
    return Size(size.width_mm + both, size.height_mm + both)


@dataclass(frozen=True, slots=True)
class Opening:
    """The window of a frame, the inside of a hoop or the front of a cushion, in millimetres.

    Raises `CommandError` for one that cannot be.
    """

    width_mm: float
    height_mm: float

    def __post_init__(self) -> None:
        for each in (self.width_mm, self.height_mm):
            if not 0 < each <= MOST_OPENING_MM:
                raise CommandError(f"No frame or cushion measures {each / 10:g} cm.", "Measure it again.")


@dataclass(frozen=True, slots=True)
class Fitting:
    """How a piece lies in an opening: room left over each way, below 0 what it is too large."""

    spare_across_mm: float
    spare_down_mm: float
    on_its_side: bool = False

    @property
    def fits(self) -> bool:
        """Whether it goes in, a hundredth of a millimetre being nothing."""
        return min(self.spare_across_mm, self.spare_down_mm) > -0.01

    @property
    def words(self) -> str:
        """It in words."""
        side = ", the frame or cushion on its side" if self.on_its_side else ""
        if self.fits:
            return (
                f"It fits{side}, with {max(0.0, self.spare_across_mm) / 20:.1f} cm at each side"
                f" and {max(0.0, self.spare_down_mm) / 20:.1f} cm above and below."
            )
        over = (
            f"{-spare / 10:.1f} cm too {word}"
            for spare, word in ((self.spare_across_mm, "wide"), (self.spare_down_mm, "high"))
            if spare <= -0.01
        )
        return f"It does not fit: {' and '.join(over)}."


def fitting(size: Size, opening: Opening) -> Fitting:
    """How a piece lies in an opening, upright or, if only that goes, with the opening on its side."""
    upright = Fitting(opening.width_mm - size.width_mm, opening.height_mm - size.height_mm)
    side = Fitting(opening.height_mm - size.width_mm, opening.width_mm - size.height_mm, True)
    return side if side.fits and not upright.fits else upright


def on_counts(
    columns: int, rows: int, over: int, counts: tuple[float, ...] = USUAL_COUNTS
) -> tuple[tuple[float, Size], ...]:
    """The size on other, even cloths, counted to the inch and worked over as many threads."""
    return tuple(
        (count, finished_size(columns, rows, ClothCount(count, count, over=over).pitch)) for count in counts
    )
