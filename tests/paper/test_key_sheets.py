"""The generator of key pages tells the truth about its boxes."""

import cv2
import numpy as np

from tests.paper.keysheet import photographed_key, printed_key
from tests.paper.looks import Look
from tests.paper.symbols import drawn_signs


def test_each_box_of_the_key_is_framed_and_shows_its_sign() -> None:
    """Along all four sides of a box lies its frame, and inside it the sign that its number stands for."""
    signs = drawn_signs(30, 6, ("shapes", "letters", "strokes"))
    key = printed_key(signs, 6, Look())
    grey = cv2.cvtColor(key.pixels, cv2.COLOR_RGB2GRAY)
    assert len(set(key.names)) > 20
    for sign, box in zip(signs, key.boxes, strict=True):
        left, top, right, bottom = np.rint([*(box[0] + 0.5), *(box[2] + 0.5)]).astype(int)
        assert max(grey[top:bottom, left].max(), grey[top, left:right].max()) < 30
        assert max(grey[top:bottom, right].max(), grey[bottom, left:right].max()) < 30
        side = right - left
        expected = 255.0 - cv2.resize(sign.ink, (side, side), interpolation=cv2.INTER_AREA)
        inner = slice(3, side - 3)
        shown = grey[top:bottom, left:right].astype(float)
        assert np.abs(shown - expected)[inner, inner].mean() < 8


def test_a_photographed_key_has_its_boxes_where_they_are_told() -> None:
    """The frame is darker than the paper just outside it, in a careful photograph turned on its side."""
    key = printed_key(drawn_signs(40, 7), 7, Look())
    taken = photographed_key(key, "careful", 7, turns=1)
    for box in taken.boxes:
        middle = box.mean(axis=0)
        for corner, beside in zip(box, np.roll(box, -1, axis=0), strict=True):
            edge = (corner + beside) / 2
            outside = edge + (edge - middle) * 0.2
            x, y = np.rint(edge).astype(int)
            far_x, far_y = np.rint(outside).astype(int)
            near = taken.picture.grey[y - 1 : y + 2, x - 1 : x + 2].min()
            assert near < 0.75 * taken.picture.grey[far_y, far_x]
