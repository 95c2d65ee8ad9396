"""Let a small lattice grow over a whole plate set from type, and settle every node in the gaps about it."""

import cv2
import numpy as np
from numpy.typing import NDArray

from stitchview.sheets.typesetgaps import Gaps, Nodes, White, upright_gaps

_SEEN = 0.05
"""From this depth on a gap counts as seen; on empty paper the depth is 0 nearly everywhere."""
_MOST = 0.4
_INKED = 0.25
_MOST_LINES = 1200
_SHIFTS = np.arange(-0.5, 0.5, 0.125)


def grown(white: White, seed: Nodes) -> Nodes:
    """The lattice (rows + 1, columns + 1, 2) with as many columns and rows as show gaps."""
    nodes = settled(white, _in_step(white, seed), (2.0, 1.0))
    open_sides = [True] * 4
    while any(open_sides) and max(nodes.shape[:2]) < _MOST_LINES:
        for side in range(4):
            if open_sides[side]:
                longer = _longer(white, _facing(nodes, side))
                open_sides[side] = longer is not None
                if longer is not None:
                    nodes = _facing_back(longer, side)
    return nodes


def _in_step(white: White, seed: Nodes) -> Nodes:
    """The seed moved as a whole to where its gaps are deepest: a sign's own white may repeat as gaps do."""
    right, down = seed[0, 1] - seed[0, 0], seed[1, 0] - seed[0, 0]
    shifts = [across * right + along * down for across in _SHIFTS for along in _SHIFTS]
    scores = [sum(float(part.mean()) for part in depths(white, seed + shift)) for shift in shifts]
    return np.asarray(seed + shifts[int(np.argmax(scores))])


def settled(white: White, nodes: Nodes, spreads: tuple[float, ...], reach: float = 0.24) -> Nodes:
    """The nodes moved into the gaps about them, neighbours moving alike as far as ``spread`` reaches."""
    for spread in spreads:
        right = _moves(upright_gaps(white, nodes, spread, reach), spread)
        down = _moves(upright_gaps(white, nodes.swapaxes(0, 1), spread, reach), spread).T
        across, along = np.gradient(nodes, axis=1), np.gradient(nodes, axis=0)
        nodes = nodes + right[..., np.newaxis] * across + down[..., np.newaxis] * along
    return nodes


def even(nodes: Nodes, spread: float) -> Nodes:
    """The nodes without dents under ``spread`` squares: what a cubic surface leaves over is blurred."""
    down, across = np.meshgrid(
        np.linspace(-1, 1, nodes.shape[0]), np.linspace(-1, 1, nodes.shape[1]), indexing="ij"
    )
    terms = [down**i * across**j for i in range(4) for j in range(4) if i + j <= 3]
    surface = np.stack(terms, axis=2).reshape(-1, len(terms))
    flat = nodes.reshape(-1, 2)
    weights, *_ = np.linalg.lstsq(surface, flat, rcond=None)
    smooth = (surface @ weights).reshape(nodes.shape)
    left = cv2.GaussianBlur(nodes - smooth, (0, 0), spread, borderType=cv2.BORDER_REFLECT)
    return np.asarray(smooth + left, np.float64)


def depths(white: White, nodes: Nodes) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """How deep the gaps are beside squares (rows, columns + 1) and over them (rows + 1, columns)."""
    return upright_gaps(white, nodes, 0).depth, upright_gaps(white, nodes.swapaxes(0, 1), 0).depth.T


def _facing(nodes: Nodes, side: int) -> Nodes:
    """The lattice turned over so that it can grow at the end of its second axis: right, left, bottom, top."""
    turned = nodes if side < 2 else nodes.swapaxes(0, 1)
    return turned[:, ::-1] if side % 2 else turned


def _facing_back(nodes: Nodes, side: int) -> Nodes:
    turned = nodes[:, ::-1] if side % 2 else nodes
    return turned if side < 2 else turned.swapaxes(0, 1)


def _longer(white: White, nodes: Nodes) -> Nodes | None:
    """The lattice with one more line at the end of its second axis, if there are squares before that line."""
    for lines in (1, 2):
        longer = nodes
        for _ in range(lines):
            longer = np.concatenate([longer, _next_line(longer)[:, np.newaxis]], axis=1)
            longer = _last_settled(white, longer)
        if _shows_squares(white, longer):
            return longer
    return None


def _next_line(nodes: Nodes) -> Nodes:
    """Where the next line is foreseen: one pitch on, as the last lines and the rows about have it."""
    back = min(6, nodes.shape[1] - 1)
    pitch = (nodes[:, -1] - nodes[:, -1 - back]) / back
    smooth = cv2.GaussianBlur(pitch, (1, 13), sigmaX=0.01, sigmaY=3.0, borderType=cv2.BORDER_REPLICATE)
    return np.asarray(nodes[:, -1] + np.asarray(smooth, np.float64).reshape(pitch.shape))


def _last_settled(white: White, nodes: Nodes) -> Nodes:
    """The newest two lines moved into the gaps, the lines before them staying."""
    part = settled(white, nodes[:, -5:], (4.0, 2.0))
    return np.concatenate([nodes[:, :-2], part[:, -2:]], axis=1)


def _shows_squares(white: White, nodes: Nodes) -> bool:
    """Whether gaps part most of the last column's squares that have ink, and a tenth of them has ink."""
    gaps = upright_gaps(white, nodes[:, -2:].swapaxes(0, 1), 0)
    inked = gaps.ink[-1, 1:-1] > _INKED
    if inked.sum() < max(3, 0.1 * len(inked)):
        return False
    return bool((gaps.depth[-1, 1:-1][inked] > _SEEN).mean() > _MOST)


def _moves(gaps: Gaps, spread: float) -> NDArray[np.float64]:
    """How far each node moves towards the next column, in squares: the mean of gaps by their depth."""
    weight = np.clip(gaps.depth - 0.05, 0, None) ** 2 + 1e-6
    ends = ((1, 1), (0, 0))
    force = np.pad(weight * gaps.offset, ends)
    mass = np.pad(weight, ends)
    force, mass = force[:-1] + force[1:], mass[:-1] + mass[1:]
    size = (2 * round(3 * spread) + 1,) * 2
    across = max(0.3, spread * 0.7)
    force = np.asarray(
        cv2.GaussianBlur(force, size, sigmaX=across, sigmaY=spread, borderType=cv2.BORDER_CONSTANT)
    )
    mass = np.asarray(
        cv2.GaussianBlur(mass, size, sigmaX=across, sigmaY=spread, borderType=cv2.BORDER_CONSTANT)
    )
    return np.asarray(force / (mass + 0.004), np.float64)
