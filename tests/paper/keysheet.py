"""Print the key page of a test chart: every sign in a box beside the thread's name."""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont

from stitchview.sheets.paperpicture import PaperPicture
from tests.paper.looks import Look, look_by_chance
from tests.paper.photographing import CONDITIONS, Condition, in_memory, picture_of, placed
from tests.paper.printing import PITCH
from tests.paper.symbols import Sign

COLOURS = (
    "slate blue", "gull grey", "rope", "tar", "moss", "rust", "lamp yellow", "sail white", "weed green",
    "dusk violet", "brick", "foam", "oak", "night blue", "rose",
)  # fmt: skip


@dataclass(frozen=True)
class KeySheet:
    """A printed key page: ``boxes`` (n, 4, 2) float64 are the boxes' corners in page pixels, clockwise from
    the top left; box n - 1 shows the sign of code n beside ``names[n - 1]``."""

    pixels: NDArray[np.uint8]
    boxes: NDArray[np.float64]
    names: tuple[str, ...]


@dataclass(frozen=True)
class KeyPhotograph:
    """A picture of a key page; ``boxes`` (n, 4, 2) float32 are the boxes' corners in the picture."""

    picture: PaperPicture
    boxes: NDArray[np.float32]
    names: tuple[str, ...]


def printed_key(signs: list[Sign], seed: int, look: Look | None = None) -> KeySheet:
    """The key of a chart in the same signs and ink as its sheets, in one to three columns of boxes."""
    random = np.random.default_rng([seed, 71])
    look = look or look_by_chance(seed)
    side = round(PITCH * random.uniform(1.0, 1.7))
    row_step, column_step = round(side * random.uniform(1.25, 1.9)), side + round(PITCH * 16)
    columns = 1 if len(signs) < 12 else int(random.integers(2, 4))
    rows = -(-len(signs) // columns)
    left, top = round(PITCH * random.uniform(2, 5)), round(PITCH * random.uniform(5, 8))
    width, height = left + columns * column_step + PITCH * 2, top + rows * row_step + PITCH * 3
    image = Image.new("RGB", (width, height), "white")
    draw = ImageDraw.Draw(image)
    ink = (look.ink,) * 3
    draw.text((left, top - 2 * PITCH), "Key", fill=ink, font=ImageFont.load_default(PITCH * 1.9), anchor="ls")
    boxes, names = [], []
    for at, sign in enumerate(signs):
        corner = (left + (at // rows) * column_step, top + (at % rows) * row_step)
        name = f"Sample cotton {int(random.integers(1, 400))}, {random.choice(COLOURS)}"
        _print_entry(image, corner, side, sign, look)
        place = (corner[0] + side + PITCH * 0.6, corner[1] + side / 2)
        draw.text(place, name, fill=ink, font=ImageFont.load_default(PITCH * 0.95), anchor="lm")
        edges = np.array([(0, 0), (side, 0), (side, side), (0, side)], np.float64)
        boxes.append(edges + np.array(corner) - 0.5)
        names.append(name)
    return KeySheet(np.array(image, np.uint8), np.array(boxes), tuple(names))


def _print_entry(image: Image.Image, corner: tuple[int, int], side: int, sign: Sign, look: Look) -> None:
    """The sign, in the size of the box, and a thin frame whose middle lies on the box's edge."""
    small = cv2.resize(sign.ink, (side, side), interpolation=cv2.INTER_AREA)
    grey = 255 - np.asarray(small, np.float32) * (255 - look.ink) / 255
    image.paste(Image.fromarray(grey.astype(np.uint8)), corner)
    line = max(2, 2 * round(look.thin * PITCH / 2))
    frame = (corner[0] - line // 2, corner[1] - line // 2, corner[0] + side + line // 2 - 1)
    ImageDraw.Draw(image).rectangle(
        (*frame, corner[1] + side + line // 2 - 1), outline=look.thin_colour, width=line
    )


def photographed_key(key: KeySheet, condition: str | Condition, seed: int, turns: int = 0) -> KeyPhotograph:
    """The key page scanned or photographed in the same conditions as sheets."""
    chosen = CONDITIONS[condition] if isinstance(condition, str) else condition
    picture, camera = picture_of(key.pixels, PITCH, chosen, seed)
    boxes = placed(key.boxes, camera, turns, (picture.shape[1], picture.shape[0]))
    return KeyPhotograph(in_memory(np.ascontiguousarray(np.rot90(picture, turns)), "key"), boxes, key.names)
