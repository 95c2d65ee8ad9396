"""Prove that the lines of a ruled lattice really run from crossing to crossing, and do so both ways."""

import numpy as np
from numpy.typing import NDArray

from stitchview.sheets.ruledsides import PITCH, pulled_straight

_UNBROKEN = 0.78
_OF_TYPICAL = 0.4
_LIKE = 0.4
_FAINTEST = 3.0


def runs_through(darkness: NDArray[np.uint8], nodes: NDArray[np.float64]) -> bool:
    """Whether nearly every side of every square is drawn without a gap, level and upright lines alike.

    Print, joints of tiles and knitting repeat as squares do, but break off between them; a table of numbers
    is ruled closely in one direction only. Nodes (rows + 1, columns + 1, 2) are pixels of the darkness.
    """
    high, wide = darkness.shape
    inside = np.asarray(((nodes >= 0) & (nodes <= (wide - 1, high - 1))).all(axis=2), np.bool_)
    straight = pulled_straight(darkness, nodes)
    upright, across = _unbroken(straight, inside)
    level, down = _unbroken(np.ascontiguousarray(straight.T), inside.T)
    alike = min(across, down) > max(_LIKE * max(across, down), _FAINTEST)
    return alike and min(upright, level) > _UNBROKEN


def _unbroken(straight: NDArray[np.uint8], inside: NDArray[np.bool_]) -> tuple[float, float]:
    """The share of upright sides in the picture that have no gap, and how dark the lines usually are."""
    rows, columns = len(straight) // PITCH, straight.shape[1] // PITCH
    wide = np.pad(straight, [(0, 0), (PITCH, PITCH)], mode="edge")
    places = PITCH * np.arange(1, columns + 2)
    # A line lies between the two pixels that meet there, give or take one.
    line = np.max([wide[:, places + aside] for aside in (-2, -1, 0, 1)], axis=0)
    sides = line.reshape(rows, PITCH, columns + 1)
    seen = inside[1:] & inside[:-1]
    if not seen.any():
        return 0.0, 0.0
    typical = float(np.median(np.median(sides, axis=1)[seen]))
    faintest = np.percentile(sides, 20, axis=1)[seen]
    return float((faintest > _OF_TYPICAL * typical).mean()), typical
