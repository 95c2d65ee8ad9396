"""What is shown beside the squares, and how it lies once the chart is turned."""

from dataclasses import dataclass, replace

from stitchview.canvas.frame import Pointers
from stitchview.canvas.looks import Look
from stitchview.canvas.signs import Signs
from stitchview.canvas.strips import Tens
from stitchview.canvas.view import View
from stitchview.chart.area import Area
from stitchview.chart.model import KeyEntry
from stitchview.chart.turning import Turn

Key = tuple[KeyEntry, ...] | None
"""The lines of a key as it is worked, None for as it is printed."""


@dataclass(frozen=True)
class Showing:
    """What is shown beside the squares: the look, the lit area, the thread in hand, the pointers.

    `held_back` numbers the key entries that wait for the end; `key` is the key as it is worked, None for
    as it is printed.
    """

    look: Look = Look()  # noqa: RUF009 (frozen, so one default can be shared)
    lit: Area | None = None
    in_hand: int = 0
    held_back: frozenset[int] = frozenset()
    tens: Tens = Tens()  # noqa: RUF009 (frozen, so one default can be shared)
    pointers: Pointers = Pointers()  # noqa: RUF009 (frozen, so one default can be shared)
    signs: Signs = Signs()  # noqa: RUF009 (frozen, so one default can be shared)
    key: Key = None


def turned_showing(showing: Showing, view: View) -> Showing:
    """What is shown, with the lit area and the bold lines where they lie on the chart as it is seen.

    Pointers and signs stay as they are: they are placed through the view.
    """
    if view.turn.upright:
        return showing
    size = view.columns, view.rows
    lit = None if showing.lit is None else view.turn.area(showing.lit, *size)
    return replace(showing, lit=lit, tens=turned_tens(showing.tens, view.turn, size))


def turned_tens(tens: Tens, turn: Turn, size: tuple[int, int]) -> Tens:
    """Where the bold lines stand on a chart of `size` (columns, rows) once it is turned."""
    across, down = (tens.column, tens.centre_column), (tens.row, tens.centre_row)
    columns, rows = turn.size(*size)
    if turn.lies:
        across, down = down, across
    # Whether lines are counted from the other end follows from where the top left corner comes to lie.
    corner = turn.point(0, 0, *size)
    if corner[0]:
        across = _from_the_end(*across, columns)
    if corner[1]:
        down = _from_the_end(*down, rows)
    return Tens(across[0], down[0], across[1], down[1])


def _from_the_end(tenth: int, centre: int | None, size: int) -> tuple[int, int | None]:
    if centre is None:
        return (size - tenth) % 10, None
    return (size - 1 - centre) % 10, size - 1 - centre
