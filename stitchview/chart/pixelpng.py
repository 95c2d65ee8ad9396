"""A chart as a PNG picture with one pixel a square, both ways."""

import io
import struct
import warnings
import zlib
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from stitchview.chart.codes import allot_codes
from stitchview.chart.colour import Colour
from stitchview.chart.csvkey import plain_entry
from stitchview.chart.entries.pictures import PNG_SIGNATURE, picture_size
from stitchview.chart.inputfile import read_plain
from stitchview.chart.interchange import Imported, left_behind
from stitchview.chart.limits import MOST_PICTURE_BYTES, MOST_PICTURE_COLOURS
from stitchview.chart.model import MOST_COLUMNS, MOST_ROWS, Chart
from stitchview.errors import ChartError
from stitchview.safefile import write_bytes

ONLY_COLOURS = "A picture does not hold the threads' names, numbers and symbols, only their colours."
_PALETTE_COLOURS = 255
_HALF_COVERED = 128
# What Pillow lets out for PNG bytes it cannot follow (found by flipping bytes).
_BROKEN = (
    Image.DecompressionBombError,
    OSError,
    SyntaxError,
    ValueError,
    EOFError,
    IndexError,
    KeyError,
    struct.error,
    zlib.error,
)

Pixels = NDArray[np.uint32]


def write_png(chart: Chart, path: Path) -> tuple[str, ...]:
    """Write a picture in the threads' colours, clear where there is no stitch; gives what it could not hold.

    Up to 255 colours make a palette picture. Raises `ChartError` for more than 512 colours and
    `StitchviewError` when the picture cannot be written.
    """
    used = np.unique(chart.squares)
    colours = sorted({chart.key[number - 1].colour for number in used.tolist() if number})
    if len(colours) > MOST_PICTURE_COLOURS:
        raise ChartError(
            f"The chart has {len(colours):,} colours, a picture holds at most {MOST_PICTURE_COLOURS}.",
            "Write a table instead.",
        )
    few = len(colours) <= _PALETTE_COLOURS
    picture = _palette_picture(chart, colours) if few else _full_picture(chart)
    content = io.BytesIO()
    picture.save(content, "PNG")
    write_bytes(path, content.getvalue())
    return (*_merged(chart, used), ONLY_COLOURS, *left_behind(chart, "A picture"))


def read_png(path: Path) -> Imported:
    """The chart in a picture with one pixel a square; clear pixels are no stitch.

    Threads are in the order they are met, row by row. Raises `ChartError` for what is no such
    picture: more than 512 colours, more than 4,096 pixels a side, another kind of file.
    """
    content = read_plain(path, MOST_PICTURE_BYTES)
    _check_header(content, path)
    pixels, covered, softened = _decoded(content, path)
    colours, first, numbers = np.unique(pixels[covered], return_index=True, return_inverse=True)
    if len(colours) > MOST_PICTURE_COLOURS:
        raise ChartError(
            f"“{path.name}” has {len(colours):,} colours, so it seems to be a photograph;"
            f" a chart's picture has at most {MOST_PICTURE_COLOURS}, one pixel a square.",
            "Reduce its size to one pixel a square and its colours first.",
        )
    order = np.argsort(first)
    rank = np.empty(len(colours), np.uint16)
    rank[order] = np.arange(1, len(colours) + 1)
    squares = np.zeros(pixels.shape, np.uint16)
    squares[covered] = rank[numbers.reshape(-1)]
    codes = allot_codes(len(colours))
    key = tuple(
        plain_entry(code, f"Colour {number}", _colour(int(value)))
        for number, (code, value) in enumerate(zip(codes, colours[order], strict=True), 1)
    )
    note = "Half clear pixels were read as stitches where they cover more than half."
    return Imported(Chart(squares, key), (note,) if softened else ())


def _palette_picture(chart: Chart, colours: list[Colour]) -> Image.Image:
    indices = {colour: index for index, colour in enumerate(colours, 1)}
    table = [0, *(indices.get(entry.colour, 0) for entry in chart.key)]
    picture = Image.fromarray(np.array(table, np.uint8)[chart.squares])
    palette = [part for colour in colours for part in (colour.red, colour.green, colour.blue)]
    picture.putpalette([255, 255, 255, *palette])
    picture.info["transparency"] = 0
    return picture


def _full_picture(chart: Chart) -> Image.Image:
    table = [(255, 255, 255, 0), *((*_parts(entry.colour), 255) for entry in chart.key)]
    return Image.fromarray(np.array(table, np.uint8)[chart.squares])


def _parts(colour: Colour) -> tuple[int, int, int]:
    return colour.red, colour.green, colour.blue


def _merged(chart: Chart, used: NDArray[np.uint16]) -> list[str]:
    owners: dict[Colour, list[str]] = {}
    for number in used.tolist():
        if number:
            owners.setdefault(chart.key[number - 1].colour, []).append(chart.key[number - 1].name)
    return [
        f"A picture does not tell the {len(names)} threads of the colour {colour.hex} apart ({names[0]} ...)."
        for colour, names in owners.items()
        if len(names) > 1
    ]


def _check_header(content: bytes, path: Path) -> None:
    if not content.startswith(PNG_SIGNATURE):
        raise ChartError(f"“{path.name}” is not a PNG picture.", "Save it as PNG, one pixel a square.")
    try:
        width, height = picture_size(content)
    except ValueError as error:
        raise ChartError(f"“{path.name}” {error}.", "Use a copy of it.") from error
    if width > MOST_COLUMNS or height > MOST_ROWS:
        raise ChartError(
            f"“{path.name}” has {width:,} x {height:,} pixels; a chart has at most"
            f" {MOST_COLUMNS:,} x {MOST_ROWS:,} squares.",
            "Reduce its size to one pixel a square.",
        )
    if content[24] > 8:
        raise ChartError(f"“{path.name}” has {content[24]} bits a channel.", "Save it with 8 bits a channel.")


def _decoded(content: bytes, path: Path) -> tuple[Pixels, NDArray[np.bool_], bool]:
    """Colours as 0xRRGGBB, which pixels are stitches, and whether some were only half clear."""
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            with Image.open(io.BytesIO(content), formats=["PNG"]) as picture:
                parts = np.asarray(picture.convert("RGBA"))
    except _BROKEN as error:
        raise ChartError(f"“{path.name}” is a damaged PNG picture.", "Use a copy of it.") from error
    pixels = (parts[..., 0].astype(np.uint32) << 16) | (parts[..., 1].astype(np.uint32) << 8) | parts[..., 2]
    clearness = parts[..., 3]
    softened = bool(((clearness > 0) & (clearness < 255)).any())
    return pixels, clearness >= _HALF_COVERED, softened


def _colour(value: int) -> Colour:
    return Colour(value >> 16, value >> 8 & 255, value & 255)
