"""Open the pictures of one file and find the sheet in each, as a person has said what she knows of it."""

from dataclasses import dataclass
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray

from stitchview.sheets.gate import picture_doubts
from stitchview.sheets.lattice import Lattice
from stitchview.sheets.latticefinding import Corners, find_lattice
from stitchview.sheets.opening import open_pictures, picture_count
from stitchview.sheets.papererror import PaperError
from stitchview.sheets.paperpicture import PaperPicture
from stitchview.sheets.reading import LEAST_PITCH, MOST_PITCH, FoundSheet, first_square
from stitchview.sheets.straightening import Straight, straighten

PREVIEW_SIDE = 1600
FLAT_SIDE = 1000
MOST_PAGES = 60
EVENLY = "The squares were laid evenly between your four corners; look whether they meet the printed ones."


@dataclass(frozen=True, eq=False)
class Told:
    """What a person says of a sheet: its columns and rows, and its four outer corners, (4, 2) in pixels."""

    columns: int | None = None
    rows: int | None = None
    corners: Corners | None = None


@dataclass(frozen=True, eq=False)
class Preview:
    """A picture of paper to be shown: (H, W, 3) uint8 RGB, ``shrink`` times the picture's size."""

    colour: NDArray[np.uint8]
    shrink: float

    def shown(self, points: NDArray[np.floating]) -> NDArray[np.float64]:
        """Points of the picture as points of the preview."""
        return (np.asarray(points, np.float64) + 0.5) * self.shrink - 0.5

    def original(self, points: NDArray[np.floating]) -> NDArray[np.float64]:
        """Points of the preview as points of the picture."""
        return (np.asarray(points, np.float64) + 0.5) / self.shrink - 0.5


def pages_in(path: Path) -> int:
    """How many pictures a file holds; raises PaperError where it cannot be opened or holds too many."""
    count = picture_count(path)
    if count > MOST_PAGES:
        raise PaperError(
            f"{path.name} has {count:,} pages, more than the table holds.",
            "Save the pages with the chart as a file of their own.",
        )
    return count


def page_of(path: Path, page: int) -> PaperPicture:
    """One picture of a file, counted from 1; raises PaperError where it cannot be opened or is not there."""
    for picture in open_pictures(path):
        if picture.page == page:
            return picture
    raise PaperError(f"{path.name} has no page {page} any more.", "Add the file again.")


def preview_of(picture: PaperPicture) -> Preview:
    """The picture at most ``PREVIEW_SIDE`` pixels wide and high."""
    high, wide = picture.grey.shape
    shrink = min(1.0, PREVIEW_SIDE / max(high, wide))
    size = max(1, round(wide * shrink)), max(1, round(high * shrink))
    return Preview(
        np.asarray(cv2.resize(picture.colour, size, interpolation=cv2.INTER_AREA), np.uint8), shrink
    )


def flat_of(straight: Straight) -> Preview:
    """The squares of a straightened sheet alone, at most ``FLAT_SIDE`` pixels wide and high."""
    edge = straight.margin
    high, wide = straight.rows * straight.pitch, straight.columns * straight.pitch
    squares = straight.colour[edge : edge + high, edge : edge + wide]
    shrink = min(1.0, FLAT_SIDE / max(high, wide))
    size = max(1, round(wide * shrink)), max(1, round(high * shrink))
    return Preview(np.asarray(cv2.resize(squares, size, interpolation=cv2.INTER_AREA), np.uint8), shrink)


def find_sheet(picture: PaperPicture, name: str, told: Told) -> FoundSheet:
    """The sheet in the picture, found and pulled straight.

    Where nothing can be found but the person has told the corners and both counts, her word is taken: the
    squares lie evenly between the corners as a camera sees a flat sheet. Raises PaperError otherwise.
    """
    try:
        lattice = find_lattice(picture, told.columns, told.rows, told.corners)
    except PaperError:
        evenly = _laid_evenly(told)
        if evenly is None:
            raise
        lattice = evenly
    pitch = int(np.clip(round(lattice.pixels_a_square), LEAST_PITCH, MOST_PITCH))
    straight = straighten(picture, lattice, pitch, pitch)
    return FoundSheet(name, lattice, straight, first_square(picture, lattice))


def _laid_evenly(told: Told) -> Lattice | None:
    if told.corners is None or told.columns is None or told.rows is None:
        return None
    wide, high = told.columns, told.rows
    flat = np.array([(0, 0), (wide, 0), (wide, high), (0, high)], np.float32)
    turn = cv2.getPerspectiveTransform(flat, told.corners.astype(np.float32))
    across, down = np.meshgrid(np.arange(wide + 1), np.arange(high + 1))
    grid = np.stack((across, down), axis=2).reshape(-1, 1, 2).astype(np.float32)
    nodes = np.asarray(cv2.perspectiveTransform(grid, turn), np.float32).reshape(high + 1, wide + 1, 2)
    lattice = Lattice(nodes)
    return Lattice(nodes, doubts=(EVENLY, *picture_doubts(lattice)))
