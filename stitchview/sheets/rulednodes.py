"""Move every node of a roughly known ruled lattice onto the printed lines around it."""

import cv2
import numpy as np
from numpy.typing import NDArray

from stitchview.sheets.ruledsides import PITCH, Sides, pulled_straight, upright_sides

_NEAR = 2.2
_STRAY = 0.05


def refined(darkness: NDArray[np.uint8], nodes: NDArray[np.float64], looks: int = 2) -> NDArray[np.float64]:
    """The nodes (rows + 1, columns + 1, 2) after ``looks`` looks at the lines around."""
    for _ in range(looks):
        straight = pulled_straight(darkness, nodes)
        across = _at_nodes(_offsets(upright_sides(straight)))
        down = _at_nodes(_offsets(upright_sides(np.ascontiguousarray(straight.T)))).T
        right, below = _steps(nodes, 1), _steps(nodes, 0)
        nodes = nodes + across[..., None] * right + down[..., None] * below
    return nodes


def _steps(nodes: NDArray[np.float64], axis: int) -> NDArray[np.float64]:
    """How far it is to the next node, at every node."""
    return np.asarray(np.gradient(nodes, axis=axis))


def _offsets(sides: Sides) -> NDArray[np.float64]:
    """(rows, lines) how far in squares each side lies to the right of its place, without strays."""
    steps = np.arange(sides.profile.shape[2]) - sides.profile.shape[2] // 2
    near = sides.profile * np.exp(-0.5 * (steps / _NEAR) ** 2).astype(np.float32)
    # A stroke or a stitched line beside the grid is strong in few rows; a grid line is there in all of them.
    together = cv2.blur(near.reshape(len(near), -1), (1, 3)).reshape(near.shape)
    best = np.clip(together.argmax(axis=2), 1, len(steps) - 2)
    left, middle, right = (
        np.take_along_axis(together, (best + step)[..., None], 2)[..., 0].astype(np.float64)
        for step in (-1, 0, 1)
    )
    bend = left - 2 * middle + right
    shift = np.where(bend < -1e-6, 0.5 * (left - right) / np.minimum(bend, -1e-6), 0)
    offset = (best - len(steps) // 2 + np.clip(shift, -0.5, 0.5)) / PITCH
    clear = middle > np.maximum(sides.inside, 0.2)
    typical = float(np.median(middle[clear])) if clear.any() else 1.0
    return _smoothed(offset, np.where(clear, np.minimum(middle, 1.5 * typical), 0) / typical)


def _smoothed(offset: NDArray[np.float64], weight: NDArray[np.float64]) -> NDArray[np.float64]:
    """The offsets averaged over some squares around, those that disagree with their neighbours left out."""
    smooth = _averaged(offset, weight, 5.0)
    for spread, stray in ((3.0, 2 * _STRAY), (2.0, _STRAY), (1.3, _STRAY)):
        trust = weight / (1 + ((offset - smooth) / stray) ** 2) ** 2
        smooth = _averaged(offset - smooth, trust, spread) + smooth
    return smooth


def _averaged(offset: NDArray[np.float64], weight: NDArray[np.float64], spread: float) -> NDArray[np.float64]:
    """A weighted mean over about ``spread`` squares around, drawn to nothing where nothing is known."""
    sums = [
        cv2.GaussianBlur(values, (0, 0), sigmaX=spread, sigmaY=1.5 * spread, borderType=cv2.BORDER_REFLECT)
        for values in (offset * weight, weight)
    ]
    return np.asarray(sums[0] / (sums[1] + 0.02))


def _at_nodes(offset: NDArray[np.float64]) -> NDArray[np.float64]:
    """From the middles of sides (rows, lines) to nodes (rows + 1, lines)."""
    wide = np.pad(offset, [(1, 1), (0, 0)], mode="edge")
    return np.asarray((wide[:-1] + wide[1:]) / 2)
