"""What no route over some stitches can undercut at the back: their shortest spanning tree, hole to hole."""

import numpy as np
from numpy.typing import NDArray

from stitchview.follow.legs import CROSS, worked
from stitchview.follow.length import Needle, Working
from stitchview.follow.route import Stitches

Floats = NDArray[np.float64]


def least_between(stitches: Stitches, needle: Needle) -> Floats:
    """The least thread at the back from each stitch to each other, shape (n, n), symmetrical, 0 to itself.

    From a hole where one may end to a hole where the other may begin (checks.md, 2.1 and 6.4), whichever
    comes first; between crosses side by side a row there and back needs one side of the square.
    """
    pitch = needle.pitch
    ways = [worked(shape, pitch).ways for shape in stitches.shapes.tolist()]
    longest = max((len(each) for each in ways), default=1)
    padded = [[*each, *[each[-1]] * (longest - len(each))] for each in ways]
    corner = np.stack((stitches.columns, stitches.rows), axis=1)[:, None, :]
    enters = corner + np.array([[way.enter for way in each] for each in padded]).reshape(-1, longest, 2)
    leaves = corner + np.array([[way.leave for way in each] for each in padded]).reshape(-1, longest, 2)
    size = np.array([pitch.across_mm, pitch.down_mm])
    least = np.full((len(stitches), len(stitches)), np.inf)
    for up in range(longest):
        for gone in range(longest):
            steps = (enters[None, :, up] - leaves[:, None, gone]) * size
            apart = np.hypot(steps[..., 0], steps[..., 1])
            np.minimum(least, np.where(apart == 0, np.inf, apart), out=least)
    np.minimum(least, least.T.copy(), out=least)
    if needle.working is Working.ROWS:
        _let_rows_join(stitches, needle, least)
    np.fill_diagonal(least, 0)
    return least


def tree_mm(lengths: Floats) -> float:
    """The length of the shortest tree that joins n points, from their distances (n, n): Prim's way, O(n²)."""
    if len(lengths) == 0:
        return 0.0
    joining, outside = lengths[0].copy(), np.ones(len(lengths), bool)
    outside[0] = False
    total = 0.0
    for _ in range(len(lengths) - 1):
        nearest = int(np.where(outside, joining, np.inf).argmin())
        total += float(joining[nearest])
        outside[nearest] = False
        np.minimum(joining, lengths[nearest], out=joining)
    return total


def back_bound_mm(stitches: Stitches, needle: Needle) -> float:
    """A length at the back that no order of the stitches undercuts: what lies inside each, and the tree."""
    inside = sum(
        min(way.back_mm for way in worked(shape, needle.pitch).ways) for shape in stitches.shapes.tolist()
    )
    return inside + tree_mm(least_between(stitches, needle))


def _let_rows_join(stitches: Stitches, needle: Needle, least: Floats) -> None:
    across = np.abs(stitches.columns - stitches.columns[:, None])
    down = np.abs(stitches.rows - stitches.rows[:, None])
    crosses = (stitches.shapes == CROSS) & (stitches.shapes[:, None] == CROSS)
    level, upright = (across == 1) & (down == 0) & crosses, (across == 0) & (down == 1) & crosses
    least[level] = np.minimum(least[level], needle.pitch.down_mm)
    least[upright] = np.minimum(least[upright], needle.pitch.across_mm)
