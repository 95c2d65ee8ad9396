"""How many threads her cloth has to a measure, across and down apart, and over how many she works."""

from dataclasses import dataclass
from enum import StrEnum

from stitchview.chart.model import Cloth
from stitchview.errors import CommandError
from stitchview.follow.clothpitch import INCH_MM, Pitch

METRE_MM = 100.0
LEAST_PER_INCH, MOST_PER_INCH = 2.0, 200.0
"""Coarser than any rug canvas and finer than any silk gauze (common practice, from memory)."""
MOST_OVER = 16


class Way(StrEnum):
    """One of the two ways of the cloth; the values are words."""

    ACROSS = "across"
    DOWN = "downward"


@dataclass(frozen=True, slots=True)
class ClothCount:
    """Threads to the inch, or to 10 cm if `per_100_mm`, each way; a square is `over` of them.

    Raises `CommandError` for counts that no cloth has.
    """

    across: float = 14.0
    down: float = 14.0
    per_100_mm: bool = False
    over: int = 1

    def __post_init__(self) -> None:
        measure = "10 cm" if self.per_100_mm else "the inch"
        share = INCH_MM / self.unit_mm
        for count, way in ((self.across, "across"), (self.down, "down")):
            if not LEAST_PER_INCH <= count * share <= MOST_PER_INCH:
                least, most = LEAST_PER_INCH / share, MOST_PER_INCH / share
                raise CommandError(
                    f"No cloth has {count:g} threads to {measure} {way}.",
                    f"Count them again: from {least:.0f} to {most:.0f} can be reckoned with.",
                )
        if not 1 <= self.over <= MOST_OVER:
            raise CommandError(
                f"A stitch cannot go over {self.over} threads.", f"Say over 1, over 2 or up to {MOST_OVER}."
            )

    @classmethod
    def of_cloth(cls, cloth: Cloth) -> "ClothCount":
        """The count of the cloth that a chart suggests; it is told alike both ways."""
        return cls(cloth.count, cloth.count, cloth.per_100_mm, cloth.over)

    @property
    def unit_mm(self) -> float:
        """The length the counts are told for, in millimetres."""
        return METRE_MM if self.per_100_mm else INCH_MM

    @property
    def pitch(self) -> Pitch:
        """The width and the height of one square: over / count (checks.md, section 1)."""
        return Pitch(self.over * self.unit_mm / self.across, self.over * self.unit_mm / self.down)

    @property
    def per_inch(self) -> tuple[float, float]:
        """The counts to the inch, across and down."""
        share = INCH_MM / self.unit_mm
        return self.across * share, self.down * share

    @property
    def per_10_cm(self) -> tuple[float, float]:
        """The counts to 10 cm, across and down."""
        share = METRE_MM / self.unit_mm
        return self.across * share, self.down * share

    @property
    def turned(self) -> "ClothCount":
        """The same cloth turned a quarter: what ran down runs across."""
        return ClothCount(self.down, self.across, self.per_100_mm, self.over)

    @property
    def even(self) -> bool:
        """Whether both ways have the same count."""
        return self.across == self.down

    @property
    def words(self) -> str:
        """The count as it is told: "14 across and 13.5 down to the inch, over 2"."""
        both = (
            f"{told(self.across)}" if self.even else f"{told(self.across)} across and {told(self.down)} down"
        )
        return f"{both} threads to {'10 cm' if self.per_100_mm else 'the inch'}, over {self.over}"


def told(number: float) -> str:
    """A count with as many decimals as it needs, at most two."""
    return f"{number:.2f}".rstrip("0").rstrip(".")


@dataclass(frozen=True, slots=True)
class OffTrue:
    """How far a piece is from the chart's true proportions: so many percent longer one way.

    `ratio` is the height of a square by its width: above 1 the piece comes out long, below 1 wide.
    """

    ratio: float

    @property
    def way(self) -> Way:
        """The way in which it comes out longer."""
        return Way.DOWN if self.ratio >= 1 else Way.ACROSS

    @property
    def percent(self) -> float:
        """By how much it is longer that way, never below 0."""
        return (max(self.ratio, 1 / self.ratio) - 1) * 100

    @property
    def words(self) -> str:
        """It in words; what rounds to nothing is true."""
        if self.percent < 0.05:
            return "true to the chart’s proportions"
        return f"{self.percent:.1f} % longer {self.way} than the chart’s true proportions"


def off_true(count: ClothCount) -> OffTrue:
    """How far stitches on this cloth are from square: checks.md, section 1 (`distortion`)."""
    return OffTrue(count.across / count.down)
