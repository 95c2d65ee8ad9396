"""From which hole to which a stitch may be worked, and what it leaves at the back in between."""

from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

from stitchview.chart.stitches import HALVES, QUARTERS, PartShape
from stitchview.follow.clothpitch import Pitch

CROSS = 0
"""Stands beside the numbers of `PartShape` for the whole cross."""

Hole = tuple[float, float]
TOP_LEFT, TOP_RIGHT, BOTTOM_LEFT, BOTTOM_RIGHT, MIDDLE = (
    (0.0, 0.0),
    (1.0, 0.0),
    (0.0, 1.0),
    (1.0, 1.0),
    (0.5, 0.5),
)
"""The holes of a square, (x, y) in squares from its top left corner."""

Leg = tuple[Hole, Hole]
RISING, FALLING = (BOTTOM_LEFT, TOP_RIGHT), (TOP_LEFT, BOTTOM_RIGHT)
CORNERS = (TOP_LEFT, TOP_RIGHT, BOTTOM_LEFT, BOTTOM_RIGHT)


@dataclass(frozen=True, slots=True)
class Way:
    """Working one stitch, or one row there and back: it comes up at `enter` and ends at `leave`.

    `back_mm` lies at the back in between.
    """

    enter: Hole
    leave: Hole
    back_mm: float


@dataclass(frozen=True, slots=True)
class Worked:
    """A stitch: its length at the front, how often it goes through the cloth, and the ways to work it."""

    front_mm: float
    passes: int
    ways: tuple[Way, ...]


@lru_cache(maxsize=256)
def worked(shape: int, pitch: Pitch) -> Worked:
    """How a stitch of `shape` (`CROSS` or a `PartShape`) is worked.

    A cross has its rising leg under the falling one, whichever way each of them is worked: all
    crosses lean alike (checks.md, H4). No two legs meet in one hole, which would pull the first out.
    """
    orders = _leg_orders(shape)
    front = sum(apart(*leg, pitch) for leg in orders[0])
    ways = [_way(legs, pitch) for order in orders for legs in _turned(order)]
    return Worked(front, 2 * len(orders[0]), tuple(way for way in ways if way is not None))


def there_and_back(squares: int, side: int, pitch: Pitch) -> Way:
    """A straight row of 2 or more crosses, half crosses out and the upper legs back, from one of its ends.

    `side` names where it begins, from `LEFT` on; holes are told from its first square. Of 2 n legs
    the 2 n - 1 between lie upright at the back of a level row and level at that of an upright one.
    """
    enter, leave = _ROW_HOLES[side]
    along = pitch.down_mm if side in (LEFT, RIGHT) else pitch.across_mm
    return Way(enter, leave, (2 * squares - 1) * along)


LEFT, RIGHT, TOP, BOTTOM = range(4)
_ROW_HOLES = (
    (BOTTOM_LEFT, TOP_LEFT),
    (TOP_RIGHT, BOTTOM_RIGHT),
    (TOP_RIGHT, TOP_LEFT),
    (BOTTOM_LEFT, BOTTOM_RIGHT),
)


def apart(one: Hole, other: Hole, pitch: Pitch) -> float:
    """How many millimetres lie between two holes."""
    return pitch.apart(other[0] - one[0], other[1] - one[1])


def _leg_orders(shape: int) -> tuple[tuple[Leg, ...], ...]:
    if shape == CROSS:
        return ((RISING, FALLING),)
    if shape in HALVES:
        return ((RISING if shape == PartShape.HALF_RISING else FALLING,),)
    first = PartShape.QUARTER_TOP_LEFT if shape in QUARTERS else PartShape.THREE_QUARTER_TOP_LEFT
    corner = CORNERS[shape - first]
    quarter = (corner, MIDDLE)
    if shape in QUARTERS:
        return ((quarter,),)
    long = RISING if corner in FALLING else FALLING
    return (quarter, long), (long, quarter)


def _turned(order: tuple[Leg, ...]) -> list[tuple[Leg, ...]]:
    """The legs in their order, each worked either way."""
    turned: list[tuple[Leg, ...]] = [()]
    for leg in order:
        turned = [(*before, each) for before in turned for each in (leg, (leg[1], leg[0]))]
    return turned


def _way(legs: tuple[Leg, ...], pitch: Pitch) -> Way | None:
    between = [(one[1], other[0]) for one, other in pairwise(legs)]
    if any(down == up for down, up in between):
        return None
    return Way(legs[0][0], legs[-1][1], sum(apart(down, up, pitch) for down, up in between))
