"""Find the lattice of plates set by hand from type: each square its own crooked piece, no line drawn."""

import numpy as np
from numpy.typing import NDArray

from stitchview.sheets.lattice import Lattice
from stitchview.sheets.papererror import PaperError
from stitchview.sheets.paperpicture import PaperPicture
from stitchview.sheets.typesetgaps import Nodes, White, whiteness
from stitchview.sheets.typesetgrowing import depths, even, grown, settled
from stitchview.sheets.typesetseed import seed_lattice

_FEWEST = 8
_LEAST_GAP = 0.15


def find_typeset_lattice(picture: PaperPicture) -> Lattice:
    """The lattice of a plate set from type, its nodes in the middle of the white gaps between the pieces.

    The picture must lie upright, give or take four degrees; pieces may be 7 to 110 pixels large. Columns and
    rows whose gaps are hardly seen are named as doubted. Raises PaperError where no such lattice is seen.
    """
    white = whiteness(picture.grey)
    seed = seed_lattice(white)
    # A seed without gaps would grow for long before it is refused.
    if seed is None or _gaps_seen(white, seed) < _LEAST_GAP:
        raise _no_lattice(picture)
    nodes = grown(white, seed)
    for spread, reach in ((5.0, 0.2), (4.0, 0.16), (2.5, 0.16), (1.5, 0.12), (1.0, 0.12)):
        nodes = settled(white, even(nodes, spread), (spread,), reach)
    if min(nodes.shape[:2]) <= _FEWEST:
        raise _no_lattice(picture)
    return _with_doubts(white, nodes, picture)


def _no_lattice(picture: PaperPicture) -> PaperError:
    return PaperError(
        f"No squares set side by side are seen in {picture.name}.",
        "Photograph the whole chart from straight above, in even light, so near that it fills the picture.",
    )


def _with_doubts(white: White, nodes: Nodes, picture: PaperPicture) -> Lattice:
    """The lattice and which of its columns and rows show few gaps; refused if hardly any gap is seen."""
    beside, over = depths(white, nodes)
    if _gaps_seen(white, nodes) < _LEAST_GAP:
        raise _no_lattice(picture)
    columns = _doubted(over[1:-1].T)
    rows = _doubted(beside[:, 1:-1])
    doubts = tuple(
        f"{what} {', '.join(str(at + 1) for at in which)}: the gaps between the squares are hardly seen."
        for what, which in (("Columns", columns), ("Rows", rows))
        if which
    )
    return Lattice(nodes.astype(np.float32), (), (), columns, rows, doubts, "typeset")


def _gaps_seen(white: White, nodes: Nodes) -> float:
    """How deep the typical gap between two squares is."""
    beside, over = depths(white, nodes)
    return float(np.median(np.concatenate([beside.ravel(), over.ravel()])))


def _doubted(depth: NDArray[np.float64]) -> tuple[int, ...]:
    """Which columns (or rows) of squares show less than half as many gaps as most do."""
    shares = (depth > 0.2).mean(axis=1)
    return tuple(int(at) for at in np.flatnonzero(shares < 0.5 * np.median(shares)))
