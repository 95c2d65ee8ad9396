"""Find the lattice of the chart in a picture of paper, or say in a sentence why there is none to trust."""

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from stitchview.sheets.gate import picture_doubts
from stitchview.sheets.lattice import Lattice
from stitchview.sheets.papererror import PaperError
from stitchview.sheets.paperpicture import PaperPicture
from stitchview.sheets.ruledlattice import find_ruled_lattice

Corners = NDArray[np.float64]


def find_lattice(
    picture: PaperPicture,
    columns: int | None = None,
    rows: int | None = None,
    corners: Corners | None = None,
) -> Lattice:
    """Every node of the chart in the picture.

    ``columns`` and ``rows`` are used if the person gives them. ``corners`` (4, 2) are the outer corners of
    the grid in pixels as clicked: top left, top right, bottom right, bottom left as the chart is
    read; they also say how the sheet lies. Raises PaperError where there is no chart, where it is
    cut off by the picture's edge, or where what is found cannot be trusted.
    """
    lattice = find_ruled_lattice(picture, columns, rows, corners)
    if lattice is None:
        raise PaperError(
            f"{picture.name} shows no chart of ruled squares that can be followed.",
            "Photograph the sheet from straight above, filling the picture, in even light.",
        )
    return replace(lattice, doubts=(*lattice.doubts, *picture_doubts(lattice)))
