"""Read the picture of a key page: every box with a sign in it, cut out and numbered down the page."""

from dataclasses import dataclass, field
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray

from stitchview.sheets.keyframes import LEAST_SIDE, MOST_FRAMES, frames_in, key_darkness
from stitchview.sheets.keylayout import Layout, laid_out, like_a_chart
from stitchview.sheets.opening import open_pictures
from stitchview.sheets.papererror import PaperError
from stitchview.sheets.paperpicture import PaperPicture

Cutout = NDArray[np.uint8]

CUT_SIDE = 48
"""Pixels a side of a box's cut-out, from the middle of its frame to the middle of its frame."""

_ENOUGH = 18.0
_ROW = 8.0
_AGAIN = "Photograph the whole key page straight from above, flat and in even light."


@dataclass(frozen=True, eq=False)
class KeyBox:
    """One entry of a printed key: ``number`` counts from 1, down each column and then the next.

    ``cutout`` (CUT_SIDE, CUT_SIDE) uint8 is the sign, 255 for paper and 0 for the blackest ink of the page;
    ``row`` (CUT_SIDE, n, 3) uint8 RGB the box and the name printed beside it, for a person to read.
    ``corners`` (4, 2) are the box's corners in the picture, clockwise from the top left as it is read.
    ``framed`` is False where the frame is too faint to be seen and its neighbours told where it is.
    """

    number: int
    cutout: Cutout
    row: NDArray[np.uint8]
    corners: NDArray[np.float64]
    framed: bool = True


@dataclass(frozen=True, eq=False)
class KeyPage:
    """The entries of a printed key in their order, and in sentences what is doubtful of them."""

    boxes: tuple[KeyBox, ...]
    doubts: tuple[str, ...] = field(default=())


def read_key_page(path: Path) -> KeyPage:
    """The key in the file; a PDF's pages count on. Raises `PaperError` when no key is found in it."""
    boxes: list[KeyBox] = []
    doubts: list[str] = []
    fault: PaperError | None = None
    for picture in open_pictures(path):
        try:
            page = key_page(picture)
        except PaperError as error:
            fault = fault or error
            continue
        boxes += [_numbered(box, len(boxes) + at) for at, box in enumerate(page.boxes, 1)]
        doubts += [doubt for doubt in page.doubts if doubt not in doubts]
    if not boxes and fault is not None:
        raise fault
    return KeyPage(tuple(boxes), tuple(doubts))


def key_page(picture: PaperPicture) -> KeyPage:
    """The key in one picture, whichever way it lies; raises `PaperError` where there is none."""
    darkness, larger = key_darkness(picture.grey)
    frames = frames_in(darkness)
    if len(frames) > MOST_FRAMES or like_a_chart(frames):
        raise PaperError(
            f"{picture.name} shows a chart and no key.",
            "Choose a picture of the page that lists the threads.",
        )
    if len(frames) < 2:
        raise PaperError(
            f"No list of signs in boxes, each beside its thread, was found in {picture.name}.", _AGAIN
        )
    layout = laid_out(darkness, frames)
    if not layout.page.told:
        raise PaperError(
            f"{picture.name} shows {len(layout.corners):,} boxes, but no thread is named beside them.", _AGAIN
        )
    corners = (layout.corners + 0.5) / larger - 0.5
    side = float(np.median(np.linalg.norm(corners[:, 1] - corners[:, 0], axis=1)))
    if side < LEAST_SIDE:
        raise PaperError(
            f"The boxes of the key are only {side:.0f} pixels wide in {picture.name}, too few to tell their"
            " signs apart.",
            "Photograph the page from nearer, or in two pictures.",
        )
    boxes = _boxes(picture, corners, layout)
    return KeyPage(boxes, _doubts(layout, side))


def _numbered(box: KeyBox, number: int) -> KeyBox:
    return KeyBox(number, box.cutout, box.row, box.corners, box.framed)


def _doubts(layout: Layout, side: float) -> tuple[str, ...]:
    doubts = []
    if side < _ENOUGH:
        doubts.append(
            f"The boxes of the key are only {side:.0f} pixels wide; like signs may be mixed up. Photograph"
            " the page from nearer."
        )
    if unseen := int((~layout.found).sum()):
        what = "one box" if unseen == 1 else f"{unseen:,} boxes"
        doubts.append(
            f"The frame of {what} of the key is too faint to be followed; see that none is missing."
        )
    return tuple(doubts)


def _boxes(picture: PaperPicture, corners: NDArray[np.float64], layout: Layout) -> tuple[KeyBox, ...]:
    cuts = [_cut(picture.grey, box, 1.0, 0.25) for box in corners]
    # Around a box there is paper on all sides but where its neighbours stand.
    rim = np.ones((CUT_SIDE * 3 // 2, CUT_SIDE * 3 // 2), np.bool_)
    rim[CUT_SIDE // 8 : -CUT_SIDE // 8, CUT_SIDE // 8 : -CUT_SIDE // 8] = False
    light = [1 - cut / max(float(np.percentile(cut[rim], 60)), 1.0) for cut in cuts]
    edge = CUT_SIDE // 4
    inks = np.array([ink[edge:-edge, edge:-edge] for ink in light], np.float32)
    black = max(0.3, float(np.percentile(inks.reshape(len(inks), -1).max(axis=1), 80)))
    cutouts = np.clip(255 - inks * (255 / black), 0, 255).round().astype(np.uint8)
    return tuple(
        KeyBox(at + 1, cutouts[at], _row(picture.colour, box), box, bool(layout.found[at]))
        for at, box in enumerate(corners)
    )


def _cut(
    pixels: NDArray[np.uint8], box: NDArray[np.float64], wide: float, around: float
) -> NDArray[np.uint8]:
    """A box and ``wide`` - 1 sides of what is right of it, with ``around`` sides more about all."""
    size = round(CUT_SIDE * (wide + 2 * around)), round(CUT_SIDE * (1 + 2 * around))
    first, across, down = (
        box[0],
        (box[1] - box[0] + box[2] - box[3]) / 2,
        (box[3] - box[0] + box[2] - box[1]) / 2,
    )
    begin = first - around * (across + down)
    seen = np.array([begin, begin + across / CUT_SIDE, begin + down / CUT_SIDE], np.float32)
    shrink = float(np.linalg.norm(across)) / CUT_SIDE
    if shrink > 1.3:
        corner = np.floor(box.min(axis=0) - (wide + 1) * CUT_SIDE * shrink).astype(int).clip(0)
        beyond = np.ceil(box.max(axis=0) + (wide + 1) * CUT_SIDE * shrink).astype(int)
        pixels = pixels[corner[1] : beyond[1], corner[0] : beyond[0]]
        pixels = np.asarray(cv2.GaussianBlur(pixels, (0, 0), 0.4 * shrink), np.uint8)
        seen -= corner.astype(np.float32)
    # Whole numbers are pixel centres; the first pixel of the cut-out begins at the box's corner.
    wanted = np.array([(-0.5, -0.5), (0.5, -0.5), (-0.5, 0.5)], np.float32)
    turned = cv2.getAffineTransform(wanted, seen)
    cut = cv2.warpAffine(
        pixels,
        turned,
        size,
        flags=cv2.INTER_CUBIC | cv2.WARP_INVERSE_MAP,
        borderMode=cv2.BORDER_REPLICATE,
    )
    return np.asarray(cut, np.uint8)


def _row(colour: NDArray[np.uint8], box: NDArray[np.float64]) -> NDArray[np.uint8]:
    """The box with what stands beside it, upright."""
    return _cut(colour, box, _ROW, 0.0)
