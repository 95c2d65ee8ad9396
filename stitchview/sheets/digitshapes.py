"""Tell the ten digits by their shape, whatever plain or book type they are printed in."""

from functools import cache

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont

_HIGH, _WIDE = 20, 20
_SURE = 0.72
_PENS = (
    cv2.FONT_HERSHEY_SIMPLEX,
    cv2.FONT_HERSHEY_DUPLEX,
    cv2.FONT_HERSHEY_COMPLEX,
    cv2.FONT_HERSHEY_TRIPLEX,
)


def digit_of(ink: NDArray[np.uint8]) -> tuple[int, float] | None:
    """The digit that a mark (H, W) uint8, cut to its box, resembles, and how much, 1 at most; None if none.

    Dark is high; the mark stands upright.
    """
    high, wide = ink.shape
    if not 0.12 < wide / high < 0.95:
        return None
    digits, shapes = _shapes()
    likeness = shapes @ _normal(ink).ravel()
    best = int(likeness.argmax())
    return (int(digits[best]), float(likeness[best])) if likeness[best] > _SURE else None


def _normal(ink: NDArray[np.uint8]) -> NDArray[np.float32]:
    """A mark brought to one height, in the middle of a square, slightly soft, of mean 0 and length 1."""
    high, wide = ink.shape
    fitted = max(2, min(_WIDE, round(wide * _HIGH / high)))
    how = cv2.INTER_AREA if high > _HIGH else cv2.INTER_LINEAR
    small = np.asarray(cv2.resize(ink, (fitted, _HIGH), interpolation=how), np.float32)
    board = np.zeros((_HIGH + 4, _WIDE + 4), np.float32)
    left = (_WIDE - fitted) // 2 + 2
    board[2:-2, left : left + fitted] = small
    board = np.asarray(cv2.GaussianBlur(board, (0, 0), 1.0), np.float32)
    board -= board.mean()
    return board / max(float(np.linalg.norm(board)), 1e-6)


@cache
def _shapes() -> tuple[NDArray[np.intp], NDArray[np.float32]]:
    """Digits and their shapes (n, pixels): two weights of Pillow's type and four of OpenCV's pens."""
    digits, shapes = [], []
    for digit in range(10):
        for ink in (*_typed(str(digit)), *_penned(str(digit))):
            rows, columns = np.nonzero(ink > 110)
            cut = ink[rows.min() : rows.max() + 1, columns.min() : columns.max() + 1]
            digits.append(digit)
            shapes.append(_normal(cut).ravel())
    return np.array(digits), np.array(shapes, np.float32)


def _typed(digit: str) -> list[NDArray[np.uint8]]:
    drawn = []
    for size, bold in ((40, 0), (40, 1), (18, 0)):
        image = Image.new("L", (80, 80), 0)
        font = ImageFont.load_default(size)
        ImageDraw.Draw(image).text((20, 15), digit, fill=255, font=font, stroke_width=bold)
        drawn.append(np.asarray(image, np.uint8))
    return drawn


def _penned(digit: str) -> list[NDArray[np.uint8]]:
    drawn = []
    for pen in _PENS:
        for width in (2, 4):
            board = np.zeros((80, 80), np.uint8)
            cv2.putText(board, digit, (20, 60), pen, 1.5, 255, width, cv2.LINE_AA)
            drawn.append(board)
    return drawn
