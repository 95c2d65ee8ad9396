"""Pictures cut from paper for a chart file: of every pile its symbol, of every sheet the whole."""

from collections.abc import Sequence

import cv2
import numpy as np
from numpy.typing import NDArray

from stitchview.chart.limits import MOST_OTHER_BYTES, MOST_PICTURE_BYTES, MOST_SHEET_PIXELS
from stitchview.errors import StitchviewError
from stitchview.sheets.sheetreading import SheetReading
from stitchview.sheets.straightening import Straight, squares_of

Grey = NDArray[np.uint8]

SYMBOL_SIDE = 48
_EXAMPLES = 60
_RIM = 0.07
_GOOD, _FAIR = 88, 70


def symbol_pictures(sheets: Sequence[SheetReading], piles: Sequence[int]) -> dict[int, bytes]:
    """A PNG of each pile's symbol, black on white: the median of its surest squares, ``SYMBOL_SIDE`` wide."""
    return {pile: _packed(".png", _cleaned(_examples(sheets, pile))) for pile in piles}


def symbol_from(squares: Grey) -> bytes:
    """A PNG of the symbol that the cut-outs (n, side, side) of one pile show, black on white."""
    size = (SYMBOL_SIDE, SYMBOL_SIDE)
    resized = [cv2.resize(square, size, interpolation=cv2.INTER_AREA) for square in squares[:_EXAMPLES]]
    return _packed(".png", _cleaned(_on_white(np.array(resized, np.float32))))


def sheet_picture(straight: Straight, most_bytes: int = MOST_PICTURE_BYTES) -> bytes:
    """A JPEG of a straightened sheet, from edge to edge of its squares, within the limits of a chart file.

    Raises `StitchviewError` when even a small picture of it has more than ``most_bytes``.
    """
    edge = straight.margin
    rows, columns = straight.rows * straight.pitch, straight.columns * straight.pitch
    colour = straight.colour[edge : edge + rows, edge : edge + columns]
    for pitch in (straight.pitch, 20, 12, 8):
        if pitch > straight.pitch or pitch * pitch * straight.rows * straight.columns > MOST_SHEET_PIXELS:
            continue
        size = straight.columns * pitch, straight.rows * pitch
        small = colour if pitch == straight.pitch else cv2.resize(colour, size, interpolation=cv2.INTER_AREA)
        for quality in (_GOOD, _FAIR):
            packed = _packed(".jpg", np.asarray(small[..., ::-1], np.uint8), quality)
            if len(packed) <= most_bytes:
                return packed
    raise StitchviewError(
        "The picture of a sheet is too large for a chart file.", "Read fewer sheets into one chart."
    )


def bytes_a_sheet(sheets: int) -> int:
    """How many bytes the picture of one sheet may have so that all of them find room in one chart file."""
    return min(MOST_PICTURE_BYTES, MOST_OTHER_BYTES * 3 // 4 // max(1, sheets))


def _examples(sheets: Sequence[SheetReading], pile: int) -> NDArray[np.float32]:
    """Up to sixty of the surest squares of a pile, (n, side, side), each with its own paper at 255."""
    found: list[tuple[float, Grey]] = []
    for sheet in sheets:
        rows, columns = np.nonzero(sheet.piles == pile)
        doubts = sheet.doubt[rows, columns]
        squares = squares_of(sheet.straight)
        for at in np.argsort(doubts, kind="stable")[:_EXAMPLES].tolist():
            found.append((float(doubts[at]), squares[rows[at], columns[at]]))
    found.sort(key=_doubt)
    size = (SYMBOL_SIDE, SYMBOL_SIDE)
    resized = [cv2.resize(square, size, interpolation=cv2.INTER_AREA) for _, square in found[:_EXAMPLES]]
    examples = np.array(resized, np.float32).reshape(-1, SYMBOL_SIDE, SYMBOL_SIDE)
    return _on_white(examples)


def _on_white(examples: NDArray[np.float32]) -> NDArray[np.float32]:
    if not len(examples):
        return examples
    paper = np.percentile(examples, 95, axis=(1, 2), keepdims=True)
    return np.asarray(np.clip(examples * 255 / np.maximum(paper, 1), 0, 255), np.float32)


def _doubt(example: tuple[float, Grey]) -> float:
    return example[0]


def _cleaned(examples: NDArray[np.float32]) -> Grey:
    """The median of examples with its ink black, and without the grid's lines at its rim."""
    if not len(examples):
        return np.full((SYMBOL_SIDE, SYMBOL_SIDE), 255, np.uint8)
    middle = np.median(examples, axis=0)
    rim = round(_RIM * SYMBOL_SIDE)
    inner = middle[rim:-rim, rim:-rim]
    black, white = float(inner.min()), float(np.percentile(middle, 90))
    # A faint symbol is made black; where there is next to no ink, nothing is blown up.
    spread = max(white - black, 60.0)
    whole = np.full_like(middle, 255)
    whole[rim:-rim, rim:-rim] = np.clip((inner - (white - spread)) * 255 / spread, 0, 255)
    return np.asarray(whole.round(), np.uint8)


def _packed(form: str, pixels: Grey, quality: int = 0) -> bytes:
    wishes = [int(cv2.IMWRITE_JPEG_QUALITY), quality] if form == ".jpg" else []
    fine, packed = cv2.imencode(form, pixels, wishes)
    if not fine:
        raise StitchviewError("A picture of the sheet could not be packed.", "Try again with fewer sheets.")
    return packed.tobytes()
