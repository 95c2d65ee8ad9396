"""What is asked of a printed chart: the paper, the size of a square, which squares, and what is done."""

from dataclasses import dataclass
from enum import StrEnum

from stitchview.chart.area import Area
from stitchview.errors import CommandError
from stitchview.follow.clothpitch import Pitch
from stitchview.follow.numbering import Numbering
from stitchview.plan.cardpages import A4, Paper

LEAST_SQUARE, MOST_SQUARE = 0.5, 25.0
"""Millimetres: below, a printer's dots make no symbol any more; above, a sheet holds no ten squares."""
EASY_SQUARE = 4.0
"""Millimetres: a capital is then 2.6 mm high, as in a book for tired eyes (an estimate of ours)."""
MOST_OVERLAP = 10


class DoneAs(StrEnum):
    """How stitches that are done are printed."""

    SAME = "same"
    GREY = "grey"
    LEFT_OUT = "left-out"


@dataclass(frozen=True, slots=True)
class PrintWish:
    """What is asked for; `area` is None for the whole chart, `pitch` the size of a square on paper.

    `overlap` is how many squares two neighbouring sheets share.
    """

    paper: Paper = A4
    pitch: Pitch = Pitch(EASY_SQUARE, EASY_SQUARE)  # noqa: RUF009 (frozen, so one default can be shared)
    area: Area | None = None
    done: DoneAs = DoneAs.SAME
    colour: bool = False
    overlap: int = 3
    numbering: Numbering = Numbering.TOP_LEFT

    def __post_init__(self) -> None:
        for side in (self.pitch.across_mm, self.pitch.down_mm):
            if not LEAST_SQUARE <= side <= MOST_SQUARE:
                raise CommandError(
                    f"A square cannot be printed {side:.3g} mm wide.",
                    f"Ask for {LEAST_SQUARE:g} to {MOST_SQUARE:g} mm.",
                )
        if not 0 <= self.overlap <= MOST_OVERLAP:
            raise CommandError(
                f"Sheets cannot share {self.overlap} squares.", f"Ask for 0 to {MOST_OVERLAP}."
            )


def square_pitch(side_mm: float) -> Pitch:
    """Squares `side_mm` wide and high; raises `CommandError` for a size that is none."""
    if not LEAST_SQUARE <= side_mm <= MOST_SQUARE:
        raise CommandError(
            f"A square cannot be printed {side_mm:g} mm wide.",
            f"Ask for {LEAST_SQUARE:g} to {MOST_SQUARE:g} mm.",
        )
    return Pitch(side_mm, side_mm)
