"""Check four clicked corners, and spread squares evenly between them where no line can be seen."""

import cv2
import numpy as np
from numpy.typing import NDArray

from stitchview.sheets.lattice import Lattice
from stitchview.sheets.papererror import PaperError

_LEAST_SIDE = 16.0
_UNIT = np.array([(0, 0), (1, 0), (1, 1), (0, 1)], np.float32)


def checked_corners(corners: NDArray[np.float64]) -> NDArray[np.float64]:
    """The corners (4, 2) as they are; PaperError where they cannot be those of a sheet, as clicked.

    They go round clockwise as seen in the picture and bulge nowhere inwards; a side is 16 pixels at least.
    """
    places = np.asarray(corners, np.float64)
    if places.shape != (4, 2) or not np.isfinite(places).all():
        raise _in_order("Four corners are needed.")
    sides = np.roll(places, -1, axis=0) - places
    if np.linalg.norm(sides, axis=1).min() < _LEAST_SIDE:
        raise _in_order("Two of the four corners lie on one spot.")
    after = np.roll(sides, -1, axis=0)
    turning = sides[:, 0] * after[:, 1] - sides[:, 1] * after[:, 0]
    if (turning <= 0).any():
        raise _in_order("The four corners do not go round a sheet.")
    return places


def _in_order(what: str) -> PaperError:
    return PaperError(
        what, "Click the top left, top right, bottom right and bottom left corner in this order."
    )


def homography(corners: NDArray[np.float64]) -> NDArray[np.float64]:
    """The (3, 3) matrix that takes the unit square to the corners: top left, top right, bottom right, ..."""
    return np.asarray(cv2.getPerspectiveTransform(_UNIT, corners.astype(np.float32)), np.float64)


def spread_between(corners: NDArray[np.float64], columns: int, rows: int) -> Lattice:
    """A lattice of flat paper between the corners: right in perspective, blind to every curl and fold.

    Corners as in `checked_corners`, the first being the top left one of the chart as it is read.
    """
    if min(columns, rows) < 1:
        raise PaperError("A chart has at least one column and one row.", "Give the numbers printed on it.")
    places = checked_corners(corners)
    x, y = np.meshgrid(np.linspace(0, 1, columns + 1), np.linspace(0, 1, rows + 1))
    points = np.stack([x, y, np.ones_like(x)], axis=2) @ homography(places).T
    nodes = (points[..., :2] / points[..., 2:]).astype(np.float32)
    doubt = (
        "No lines were seen; the squares are spread evenly between the four corners. "
        "Check some in the middle."
    )
    return Lattice(nodes, doubts=(doubt,))
