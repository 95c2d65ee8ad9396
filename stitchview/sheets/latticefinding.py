"""Find the lattice of the chart in a picture of paper, or say in a sentence why there is none to trust."""

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from stitchview.sheets.clickedcorners import checked_corners, spread_between
from stitchview.sheets.gate import picture_doubts
from stitchview.sheets.lattice import Lattice
from stitchview.sheets.papererror import PaperError
from stitchview.sheets.paperpicture import PaperPicture
from stitchview.sheets.ruledlattice import find_ruled_lattice
from stitchview.sheets.typeset import find_typeset_lattice

Corners = NDArray[np.float64]
_AS_MANY = 0.9
_COVERED = 0.25


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
    if corners is not None:
        corners = checked_corners(corners)
    if min(columns or 1, rows or 1) < 1 or 0 in (columns, rows):
        raise PaperError("A chart has at least one column and one row.", "Give the numbers printed on it.")
    lattice = _seen(picture, columns, rows, corners)
    if lattice is None and corners is not None and columns is not None and rows is not None:
        lattice = spread_between(corners, columns, rows)
    if lattice is None:
        raise PaperError(
            f"{picture.name} shows no chart of ruled squares that can be followed.",
            "Photograph the sheet from straight above, filling the picture, in even light.",
        )
    return replace(lattice, doubts=(*lattice.doubts, *picture_doubts(lattice)))


def _seen(
    picture: PaperPicture, columns: int | None, rows: int | None, corners: Corners | None
) -> Lattice | None:
    """A ruled lattice, or one set from type where no ruled one is seen plainly; None where neither is.

    Plates set from type have frames that look like ruled lines in places; sheets with ruled lines have no
    white gaps between their squares. So a doubtful ruled lattice gives way to a typeset one.
    """
    cut: PaperError | None = None
    ruled: Lattice | None = None
    try:
        ruled = find_ruled_lattice(picture, columns, rows, corners)
    except PaperError as fault:
        cut = fault
    if corners is not None or (ruled is not None and _plain(ruled)):
        return ruled
    typeset = _typeset(picture)
    if typeset is not None and cut is None and _squares(typeset) >= _AS_MANY * _squares(ruled):
        return _counted(typeset, columns, rows)
    # Once lines are seen to run on past the picture's edge, only a faultless typeset lattice outweighs that.
    if typeset is not None and cut is not None and _plain(typeset):
        return _counted(typeset, columns, rows)
    if cut is not None:
        raise cut
    return ruled


def _typeset(picture: PaperPicture) -> Lattice | None:
    """The lattice of a plate set from type that fills a good part of the picture, or None."""
    try:
        lattice = find_typeset_lattice(picture)
    except PaperError:
        return None
    covered = _squares(lattice) * lattice.pixels_a_square**2
    return lattice if covered >= _COVERED * picture.grey.size else None


def _squares(lattice: Lattice | None) -> int:
    return 0 if lattice is None else lattice.columns * lattice.rows


def _plain(lattice: Lattice) -> bool:
    """Whether the count is beyond doubt."""
    return not lattice.doubted_columns and not lattice.doubted_rows


def _counted(lattice: Lattice, columns: int | None, rows: int | None) -> Lattice:
    """The lattice with a doubt where a person has counted otherwise."""
    doubts = tuple(
        f"You gave {given} {what}, but {seen} are seen; check the count."
        for what, given, seen in (("columns", columns, lattice.columns), ("rows", rows, lattice.rows))
        if given not in (None, seen)
    )
    return replace(lattice, doubts=(*lattice.doubts, *doubts))
