"""What she leaves out of a piece on purpose: stitches of a thread in an area, never to be stitched."""

from dataclasses import dataclass

CROSSES, LINES, POINTS = SORTS = ("crosses", "lines", "points")
"""What can be left out: whole and part stitches, back and straight stitch, knots and beads."""
MOST_SIDE = 1 << 13

Subject = tuple[str | int, ...]


@dataclass(frozen=True, slots=True)
class LeftOut:
    """All stitches of one sort and of the key entry `code` in an area that are not done.

    The piece is finished without them. Raises `ValueError` for what cannot be.
    """

    sort: str
    code: str
    column: int
    row: int
    columns: int
    rows: int

    def __post_init__(self) -> None:
        if self.sort not in SORTS:
            raise ValueError(f"stitches of no known sort, {self.sort}, are left out")
        if not (1 <= self.columns <= MOST_SIDE and 1 <= self.rows <= MOST_SIDE):
            raise ValueError("an area that is left out has an impossible size")

    @property
    def subject(self) -> Subject:
        """All of it, so that two areas of one thread stand beside each other."""
        return (self.sort, self.code, self.row, self.column, self.columns, self.rows)
