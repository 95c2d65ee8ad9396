"""Tell at which edges of a picture a ruled chart is cut off."""

import cv2
import numpy as np
from numpy.typing import NDArray

_SIDES = ("left", "top", "right", "bottom")
_BESIDE = 0.2
_OUTSIDE = 0.3
_BLIND = 0.12


def cut_sides(darkness: NDArray[np.uint8], nodes: NDArray[np.float64]) -> tuple[str, ...]:
    """The picture's edges ("left", "top", "right", "bottom") beyond which the chart goes on.

    A side is cut where nodes (rows + 1, columns + 1, 2) lie outside the picture, or where the lines run on
    from the last whole square to the picture's edge.
    """
    turned = (nodes, nodes.transpose(1, 0, 2), nodes[:, ::-1], nodes[::-1].transpose(1, 0, 2))
    return tuple(side for side, view in zip(_SIDES, turned, strict=True) if _is_cut(darkness, view))


def touching_sides(shape: tuple[int, ...], nodes: NDArray[np.float64]) -> tuple[str, ...]:
    """The edges at which the picture ends with the chart, so that one cannot see whether it goes on."""
    turned = (nodes, nodes.transpose(1, 0, 2), nodes[:, ::-1], nodes[::-1].transpose(1, 0, 2))
    return tuple(
        side
        for side, view in zip(_SIDES, turned, strict=True)
        if np.median(_room(shape, view[:, 0], view[:, 0] - view[:, 1])) < _BLIND
    )


def _is_cut(darkness: NDArray[np.uint8], nodes: NDArray[np.float64]) -> bool:
    """Whether the chart goes on beyond ``nodes[:, 0]``."""
    outwards = nodes[:, 0] - nodes[:, 1]
    room = _room(darkness.shape, nodes[:, 0], outwards)
    if room.min() < -_OUTSIDE:
        return True
    near = (room < 1) & (room > _BLIND)
    if near.mean() < 0.5:
        return False
    reach = np.minimum(room, 0.8)
    outside = _run_on(darkness, nodes[:, 0], outwards, reach)
    inside = _run_on(darkness, nodes[:, 0], -outwards, reach)
    return bool((outside[near] > 0.4 * np.median(inside)).mean() > 0.5)


def _room(
    shape: tuple[int, ...], nodes: NDArray[np.float64], outwards: NDArray[np.float64]
) -> NDArray[np.float64]:
    """How many squares fit between each node and the picture's edge (negative outside the picture)."""
    far = np.array([shape[1] - 1, shape[0] - 1])
    with np.errstate(divide="ignore", invalid="ignore"):
        to_edge = np.where(outwards > 0, (far - nodes) / outwards, -nodes / outwards)
    # Only the edge that the side faces: a corner outside must not count for the neighbouring sides.
    facing = int(np.abs(outwards).mean(axis=0).argmax())
    return np.asarray(np.nan_to_num(to_edge[:, facing], nan=0.0), np.float64)


def _run_on(
    darkness: NDArray[np.uint8],
    nodes: NDArray[np.float64],
    steps: NDArray[np.float64],
    reach: NDArray[np.float64],
) -> NDArray[np.float64]:
    """How much darker than both sides the strip from each node along ``steps`` is, in grey levels."""
    along = np.linspace(0.1, 0.95, 8)[None, :, None] * (reach[:, None] * steps)[:, None, :]
    aside = np.stack([-steps[:, 1], steps[:, 0]], 1)[:, None, :] * _BESIDE
    middle = nodes[:, None, :] + along
    beside = np.maximum(_ink(darkness, middle - aside), _ink(darkness, middle + aside))
    widths = [_ink(darkness, middle + share * aside) for share in (-0.4, 0.0, 0.4)]
    return np.asarray(np.median(np.maximum.reduce(widths) - beside, axis=1))


def _ink(darkness: NDArray[np.uint8], points: NDArray[np.float64]) -> NDArray[np.float64]:
    x, y = (np.ascontiguousarray(points[..., axis], np.float32) for axis in (0, 1))
    return cv2.remap(darkness, x, y, cv2.INTER_LINEAR, borderValue=0).astype(np.float64)
