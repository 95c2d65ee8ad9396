"""Keep a picture of every step of reading, for people who want to see what the program saw."""

import colorsys
import re
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray

from stitchview.errors import StitchviewError
from stitchview.safefile import write_bytes
from stitchview.sheets.inkleft import HALF, PITCH, InkLeft
from stitchview.sheets.keypage import KeyPage
from stitchview.sheets.lattice import Lattice
from stitchview.sheets.paperpicture import PaperPicture
from stitchview.sheets.sheetreading import FoundDots, FoundLines, Piles
from stitchview.sheets.straightening import Straight

Pixels = NDArray[np.uint8]

_NODE, _BOLD = (230, 30, 30), (20, 90, 230)
_SOLID, _DASHED, _DOT = (230, 30, 30), (240, 140, 0), (20, 90, 230)


def keep_lattice(folder: Path, sheet: str, picture: PaperPicture, lattice: Lattice) -> None:
    """The picture of paper with every crossing that was found, those on bold lines in another colour."""
    seen = picture.colour.copy()
    radius = max(1, round(lattice.pixels_a_square / 10))
    for row, nodes in enumerate(lattice.nodes):
        for column, (x, y) in enumerate(nodes.tolist()):
            bold = column in lattice.heavy_columns or row in lattice.heavy_rows
            cv2.circle(seen, (round(x), round(y)), radius, _BOLD if bold else _NODE, -1)
    _keep(folder, sheet, "1-crossings", seen)


def keep_piles(folder: Path, sheet: str, straight: Straight, piles: Piles) -> None:
    """The straightened sheet, and the same with every square in the colour of its pile."""
    edge, pitch = straight.margin, straight.pitch
    inner = straight.colour[edge : edge + straight.rows * pitch, edge : edge + straight.columns * pitch]
    _keep(folder, sheet, "2-straight", inner)
    colours = _colours(int(piles.max()) + 1)[piles]
    large = np.repeat(np.repeat(colours, pitch, 0), pitch, 1)
    _keep(folder, sheet, "3-piles", (inner.astype(np.uint16) * large // 255).astype(np.uint8))


def keep_ink(folder: Path, sheet: str, ink: InkLeft, lines: FoundLines, dots: FoundDots) -> None:
    """The ink that grid and symbols leave over, and what was found in it."""
    left = (255 - np.clip(ink.left, 0, 1) * 255).astype(np.uint8)
    _keep(folder, sheet, "4-ink-left", np.repeat(left[:, :, None], 3, axis=2))
    ground = (255 - np.clip(ink.ink, 0, 1) * 110).astype(np.uint8)
    drawn = np.repeat(ground[:, :, None], 3, axis=2)
    for (x1, y1, x2, y2), dashed in zip(lines.ends.tolist(), lines.dashed.tolist(), strict=True):
        colour = _DASHED if dashed else _SOLID
        cv2.line(drawn, _pixel(x1, y1), _pixel(x2, y2), colour, 3, cv2.LINE_AA)
    for (x, y), is_open in zip(dots.places.tolist(), dots.open.tolist(), strict=True):
        cv2.circle(drawn, _pixel(x, y), 8, _DOT, 2 if is_open else -1, cv2.LINE_AA)
    _keep(folder, sheet, "5-lines", drawn)


def keep_key(folder: Path, name: str, page: KeyPage) -> None:
    """Every box of a key page with its number, its cut-out sign and what is printed beside it."""
    rows = []
    for box in page.boxes:
        side = box.cutout.shape[0]
        number = np.full((side, 2 * side, 3), 255, np.uint8)
        cv2.putText(number, f"{box.number}", (4, side * 2 // 3), cv2.FONT_HERSHEY_SIMPLEX, 0.8, (0, 0, 0), 2)
        sign = np.repeat(box.cutout[:, :, None], 3, axis=2)
        rows.append(np.concatenate([number, sign, np.full((side, 8, 3), 255, np.uint8), box.row], axis=1))
    _keep(folder, name, "6-key", np.concatenate(rows))


def _pixel(x: int, y: int) -> tuple[int, int]:
    return PITCH + x * HALF, PITCH + y * HALF


def _colours(count: int) -> Pixels:
    """Light colours that differ as much as they can, (count, 3)."""
    found = [colorsys.hsv_to_rgb(0.618034 * n % 1, 0.25 + 0.2 * (n % 3), 1) for n in range(count)]
    return np.array([[round(255 * part) for part in colour] for colour in found], np.uint8)


def _keep(folder: Path, sheet: str, step: str, pixels: Pixels) -> None:
    name = re.sub(r"[^\w.-]+", "-", sheet).strip("-.")[:80] or "sheet"
    fine, packed = cv2.imencode(".jpg", pixels[..., ::-1], [int(cv2.IMWRITE_JPEG_QUALITY), 85])
    if not fine:
        raise StitchviewError(f"The picture of step {step} could not be packed.", "Leave out --debug.")
    write_bytes(folder / f"{name}-{step}.jpg", packed.tobytes())
