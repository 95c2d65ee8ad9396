"""Place every node of a ruled chart on its printed lines, as one sheet of smoothly bent paper."""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from stitchview.sheets.ruledprofiles import upright_offsets
from stitchview.sheets.ruledsurface import middles, shares, surface_of


@dataclass(frozen=True)
class _Look:
    """A look at all lines: how near they are expected, how often the paper bends, what counts as astray.

    ``near`` and ``strays`` are in squares. ``creases`` are pairs of a spread in squares and a stray for what
    the smooth surface leaves over, such as a fold.
    """

    near: float
    bends: int
    strays: tuple[float, ...]
    creases: tuple[tuple[float, float], ...] = ()


_BENDS_AT_FIRST = 6
_STRAYS_AT_FIRST = (1e6, 0.3, 0.2, 0.1, 0.1, 0.1, 0.1)
_LOOKS = (
    _Look(0.3, _BENDS_AT_FIRST, (0.3, 0.2, 0.15, 0.1, 0.1)),
    _Look(0.175, 11, (0.1, 0.1, 0.06, 0.06)),
    _Look(0.125, 11, (0.06, 0.05, 0.05), ((3.0, 0.05), (2.0, 0.05))),
)


def placed(grey: NDArray[np.uint8], nodes: NDArray[np.float64]) -> NDArray[np.float64]:
    """The nodes (rows + 1, columns + 1, 2) moved onto the lines; they may be off by a third of a square.

    Runs of wrong nodes, drawn aside by symbols, are put right by those around them.
    """
    nodes = _evened(nodes)
    for look in _LOOKS:
        across = _moves(grey, nodes, look)
        down = _moves(grey, np.ascontiguousarray(nodes.transpose(1, 0, 2)), look).T
        right, below = (np.gradient(nodes, axis=axis) for axis in (1, 0))
        nodes = nodes + across[..., None] * right + down[..., None] * below
    return nodes


def _evened(nodes: NDArray[np.float64]) -> NDArray[np.float64]:
    """The nodes on a surface that bends little, so that short wrong runs are gone."""
    rows, columns = nodes.shape[0] - 1, nodes.shape[1] - 1
    square = float(np.linalg.norm(np.gradient(nodes, axis=1), axis=2).mean())
    strays = tuple(stray * square for stray in _STRAYS_AT_FIRST)
    places = shares(rows), shares(columns)
    alike = np.ones(nodes.shape[:2])
    surfaces = [
        surface_of(nodes[..., axis], alike, places, _BENDS_AT_FIRST, strays).at(*places) for axis in (0, 1)
    ]
    return np.stack(surfaces, axis=2)


def _moves(grey: NDArray[np.uint8], nodes: NDArray[np.float64], look: _Look) -> NDArray[np.float64]:
    """(rows + 1, columns + 1) how far in squares each node has to move to the right."""
    rows, columns = nodes.shape[0] - 1, nodes.shape[1] - 1
    seen = upright_offsets(grey, nodes, look.near)
    surface = surface_of(seen.value, seen.weight, (middles(rows), shares(columns)), look.bends, look.strays)
    left = seen.value - surface.at(middles(rows), shares(columns))
    return surface.at(shares(rows), shares(columns)) + _at_nodes(_creased(left, seen.weight, look))


def _creased(left: NDArray[np.float64], weight: NDArray[np.float64], look: _Look) -> NDArray[np.float64]:
    """What the surface left over, averaged over a few squares around, strays counting little."""
    smooth = np.zeros_like(left)
    for spread, stray in look.creases:
        trust = weight / (1 + ((left - smooth) / stray) ** 2) ** 2
        total, count = (
            cv2.GaussianBlur(part, (0, 0), sigmaX=spread, sigmaY=1.5 * spread, borderType=cv2.BORDER_REFLECT)
            for part in ((left - smooth) * trust, trust)
        )
        smooth = smooth + total / (count + 0.02)
    return smooth


def _at_nodes(offset: NDArray[np.float64]) -> NDArray[np.float64]:
    """From the middles of sides (rows, lines) to nodes (rows + 1, lines)."""
    wide = np.pad(offset, [(1, 1), (0, 0)], mode="edge")
    return np.asarray((wide[:-1] + wide[1:]) / 2)
