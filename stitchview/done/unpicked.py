"""What was unpicked because it went wrong: how much thread was lost with it."""

from dataclasses import dataclass

MOST_SIDE = 1 << 13
MOST_STITCHES = 1 << 30
MOST_STRAND_MM = 1e12

Subject = tuple[str | int, ...]


@dataclass(frozen=True, slots=True)
class Unpicked:
    """So many stitches of the thread `name`, `number`, as the chart names it, were unpicked in an area.

    `lost_mm` is the single strand that went to waste. Raises `ValueError` for what cannot be.
    """

    id: str
    name: str
    number: str
    column: int
    row: int
    columns: int
    rows: int
    stitches: int
    lost_mm: float

    def __post_init__(self) -> None:
        if not (1 <= self.columns <= MOST_SIDE and 1 <= self.rows <= MOST_SIDE):
            raise ValueError("stitches were unpicked in an area of an impossible size")
        if not 0 <= self.stitches <= MOST_STITCHES or not 0 <= self.lost_mm <= MOST_STRAND_MM:
            raise ValueError("so much cannot have been unpicked, or lost")

    @property
    def subject(self) -> Subject:
        """Its id; ids rise in the order in which stitches are unpicked."""
        return (self.id,)
