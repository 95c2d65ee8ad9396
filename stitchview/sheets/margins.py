"""Straighten the paper around a lattice and pick out the small dark marks there, as numbers are."""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from stitchview.sheets.ruledseeds import darkness_of

PITCH = 24
_REACH = 3
_SMOOTH = 9
_NEAR = 0.1
_TALLEST, _SHORTEST, _NARROWEST = 1.7, 0.3, 0.05


@dataclass(frozen=True)
class Mark:
    """A dark mark beside the lattice: its darkness (H, W) uint8, where its box begins, and the side it is on.

    ``left`` and ``top`` count pixels of 24 to a square from the first node; sides are 0 left, 1 top, 2 right,
    3 bottom as the lattice lies in the picture.
    """

    ink: NDArray[np.uint8]
    left: int
    top: int
    side: int


def marks_around(grey: NDArray[np.uint8], nodes: NDArray[np.float64]) -> list[Mark]:
    """Marks within three squares of the lattice (rows + 1, columns + 1, 2) that may be digits."""
    wide = _widened(_widened(nodes).transpose(1, 0, 2)).transpose(1, 0, 2)
    rows, columns = nodes.shape[0] - 1, nodes.shape[1] - 1
    found: list[Mark] = []
    for side, (across, down) in enumerate(_strips(columns, rows)):
        strip = _straight(grey, wide, across, down)
        for ink, left, top in _blobs(strip):
            found.append(Mark(ink, left + across[0] * PITCH, top + down[0] * PITCH, side))
    return [mark for mark in found if _clear_of(mark, columns, rows)]


def _strips(columns: int, rows: int) -> list[tuple[tuple[int, int], tuple[int, int]]]:
    """First and past-the-last column and row of the paper beside each side."""
    along, beside = (-1, columns + 1), (-1, rows + 1)
    return [
        ((-_REACH, 0), beside),
        (along, (-_REACH, 0)),
        ((columns, columns + _REACH), beside),
        (along, (rows, rows + _REACH)),
    ]


def _widened(nodes: NDArray[np.float64]) -> NDArray[np.float64]:
    """The lattice with three more columns on both sides, as the outer squares lead on to expect."""
    steps = np.arange(1, _REACH + 1)[None, :, None]
    span = min(3, nodes.shape[1] - 1)
    first = _smooth((nodes[:, 0] - nodes[:, span]) / span)[:, None] * steps + nodes[:, :1]
    last = _smooth((nodes[:, -1] - nodes[:, -1 - span]) / span)[:, None] * steps + nodes[:, -1:]
    return np.concatenate([first[:, ::-1], nodes, last], axis=1)


def _smooth(steps: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.asarray(cv2.blur(steps, (1, _SMOOTH), borderType=cv2.BORDER_REPLICATE), np.float64)


def _straight(
    grey: NDArray[np.uint8], wide: NDArray[np.float64], across: tuple[int, int], down: tuple[int, int]
) -> NDArray[np.uint8]:
    """The darkness of a part of the widened lattice, 24 pixels a square; outside the picture is light."""
    part = wide[down[0] + _REACH : down[1] + _REACH + 1, across[0] + _REACH : across[1] + _REACH + 1]
    size = (PITCH * (across[1] - across[0]), PITCH * (down[1] - down[0]))
    # Node n lies between pixels 24 n - 1 and 24 n, so that pixel p is (p + 0.5) / 24 squares along.
    x = ((np.arange(size[0]) + 0.5) / PITCH).astype(np.float32)
    y = ((np.arange(size[1]) + 0.5) / PITCH).astype(np.float32)
    across_all, down_all = np.meshgrid(x, y)
    in_picture = [
        cv2.remap(np.ascontiguousarray(part[..., axis], np.float32), across_all, down_all, cv2.INTER_LINEAR)
        for axis in (0, 1)
    ]
    strip = cv2.remap(grey, in_picture[0], in_picture[1], cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    return darkness_of(np.asarray(strip, np.uint8), 1.5 * PITCH)


def _blobs(strip: NDArray[np.uint8]) -> list[tuple[NDArray[np.uint8], int, int]]:
    """Connected dark marks of a digit's size, whatever way it lies, with the left and top of their boxes."""
    dark = float(np.percentile(strip, 99))
    if dark < 40:
        return []
    _, labels, boxes, _ = cv2.connectedComponentsWithStats((strip > 0.45 * dark).astype(np.uint8))
    found = []
    for label, (left, top, wide, high, _) in enumerate(boxes.tolist()):
        longer, shorter = max(wide, high) / PITCH, min(wide, high) / PITCH
        if label and _SHORTEST < longer < _TALLEST and shorter > _NARROWEST:
            box = slice(top, top + high), slice(left, left + wide)
            ink = np.where(labels[box] == label, strip[box], 0).astype(np.uint8)
            found.append((ink, int(left), int(top)))
    return found


def _clear_of(mark: Mark, columns: int, rows: int) -> bool:
    """Whether a mark keeps off the lattice's own edge lines."""
    high, wide = mark.ink.shape
    near = round(_NEAR * PITCH)
    return bool(
        mark.left + wide < -near
        or mark.top + high < -near
        or mark.left > columns * PITCH + near
        or mark.top > rows * PITCH + near
    )
