"""The straightened pictures of a chart's sheets as the strips want them, alone or under the symbols."""

import functools
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QRect, Qt
from PySide6.QtGui import QImage, QTransform

from stitchview.canvas.looks import DAY, FADED_SHARE, NIGHT, Look, Shown
from stitchview.canvas.mixing import Pixels
from stitchview.chart.area import Area
from stitchview.chart.colour import Colour
from stitchview.chart.model import Chart, Sheet
from stitchview.chart.turning import UPRIGHT, Turn
from stitchview.done.change import DONE, FIRST_STATES

# Pictures are made ready in blocks of so many squares, counted from the sheet's corner.
BLOCK = 16
MOST_BLOCK_BYTES = 48 << 20
MOST_SOURCE_BYTES = 160 << 20
# By night white paper must not glare beside the dark around it.
NIGHT_LIGHT = 0.62

Table = NDArray[np.uint8]


@dataclass(frozen=True)
class Light:
    """In what look the paper is shown, and whether it lies outside the band."""

    look: Look
    dimmed: bool


@dataclass(frozen=True, slots=True)
class Tone:
    """How the paper's own colours are altered: darker by night, dimmed by a share, and paler where done."""

    night: bool
    dim: float
    done: bool


# A block: number of the sheet, place across and down, pixels a square, tone.
Name = tuple[int, int, int, int, Tone]


class PaperLayer:
    """Draws the sheets' pictures into strips, whole device pixels a square; where no sheet lies nothing.

    `chart` stands upright, what is drawn is seen turned.
    """

    def __init__(self, chart: Chart, turn: Turn = UPRIGHT) -> None:
        self._turn, size = turn, (chart.columns, chart.rows)
        self._sheets = [
            (replace(sheet, area=turn.area(sheet.area, *size)), chart.attachments[sheet.picture])
            for sheet in chart.sheets
            if sheet.picture in chart.attachments
        ]
        self._sources: dict[int, QImage] = {}
        self._blocks: dict[Name, Pixels] = {}
        self._block_bytes = 0

    def __bool__(self) -> bool:
        return bool(self._sheets)

    def draw(self, pixels: Pixels, area: Area, states: NDArray[np.uint8], light: Light) -> None:
        """Lay the paper over a strip's pixels of shape (height, width), as its look shows it.

        `states` has shape (rows, columns) of the whole chart. Done squares are pale in the cleared look; in
        the worked look they stay as they are drawn, and so do first legs, later and mistakes in both.
        """
        if light.look.shown is Shown.SYMBOLS:
            return
        pitch = pixels.shape[1] // area.columns
        # The first sheet lies on top where several show the same squares.
        for number in reversed(range(len(self._sheets))):
            part = area.clipped(self._sheets[number][0].area)
            if not part.empty:
                top, left = (part.row - area.row) * pitch, (part.column - area.column) * pitch
                here = pixels[top : top + part.rows * pitch, left : left + part.columns * pitch]
                paper = self._toned(number, part, states[part.slices()], (light, pitch, here))
                here[:] = _mixed(here, paper) if light.look.shown is Shown.BOTH else paper

    def _toned(
        self, number: int, part: Area, states: NDArray[np.uint8], drawing: tuple[Light, int, Pixels]
    ) -> Pixels:
        """The paper of some squares as it is shown; `drawing` is the light, the pitch, and what was drawn."""
        light, pitch, drawn = drawing
        tone = Tone(light.look.night, light.look.dim if light.dimmed else 0.0, done=False)
        paper = self._paper(number, part, pitch, tone)
        done, rare = states == DONE, states >= FIRST_STATES
        if light.look.worked:
            done, rare = np.zeros_like(done), done | rare
        if done.any():
            np.copyto(
                paper, self._paper(number, part, pitch, replace(tone, done=True)), where=_spread(done, pitch)
            )
        if rare.any():
            np.copyto(paper, drawn, where=_spread(rare, pitch))
        return paper

    def _paper(self, number: int, part: Area, pitch: int, tone: Tone) -> Pixels:
        """The paper of some squares of a sheet in one tone, (height, width)."""
        corner = self._sheets[number][0].area
        first, left = part.row - corner.row, part.column - corner.column
        whole = np.empty((part.rows * pitch, part.columns * pitch), np.uint32)
        for down in range(first // BLOCK, (first + part.rows - 1) // BLOCK + 1):
            for across in range(left // BLOCK, (left + part.columns - 1) // BLOCK + 1):
                block = self._block((number, across, down, pitch, tone))
                # Where the block's corner lies in the piece that is asked for, in pixels.
                x, y = (across * BLOCK - left) * pitch, (down * BLOCK - first) * pitch
                high, wide = block.shape
                to = whole[max(0, y) : y + high, max(0, x) : x + wide]
                to[:] = block[max(0, -y) :, max(0, -x) :][: to.shape[0], : to.shape[1]]
        return whole

    def _block(self, name: Name) -> Pixels:
        block = self._blocks.pop(name, None)
        if block is None:
            block = self._made(*name)
            self._block_bytes += block.nbytes
            while self._block_bytes > MOST_BLOCK_BYTES and self._blocks:
                self._block_bytes -= self._blocks.pop(next(iter(self._blocks))).nbytes
        self._blocks[name] = block
        return block

    def _made(self, number: int, across: int, down: int, pitch: int, tone: Tone) -> Pixels:
        sheet = self._sheets[number][0]
        columns = min(BLOCK, sheet.area.columns - across * BLOCK)
        rows = min(BLOCK, sheet.area.rows - down * BLOCK)
        source = self._source(number)
        if source.isNull():
            return _through(np.full((rows * pitch, columns * pitch), 0xFFFFFFFF, np.uint32), _tables(tone))
        wide, high = source.width() / sheet.area.columns, source.height() / sheet.area.rows
        left, top = round(across * BLOCK * wide), round(down * BLOCK * high)
        right = round((across * BLOCK + columns) * wide)
        bottom = round((down * BLOCK + rows) * high)
        cut = source.copy(QRect(left, top, max(1, right - left), max(1, bottom - top)))
        scaled = cut.scaled(
            columns * pitch,
            rows * pitch,
            Qt.AspectRatioMode.IgnoreAspectRatio,
            Qt.TransformationMode.SmoothTransformation,
        ).convertToFormat(QImage.Format.Format_RGB32)
        lines = np.frombuffer(scaled.constBits(), np.uint32).reshape(scaled.height(), -1)
        return _through(lines[:, : scaled.width()], _tables(tone))

    def _source(self, number: int) -> QImage:
        """A sheet's whole picture, those looked at last kept; a damaged one is null."""
        source = self._sources.pop(number, None)
        if source is None:
            source = QImage.fromData(self._sheets[number][1]).convertToFormat(QImage.Format.Format_RGB32)
            source = _turned(source, self._turn)
            held = source.sizeInBytes() + sum(each.sizeInBytes() for each in self._sources.values())
            while self._sources and held > MOST_SOURCE_BYTES:
                held -= self._sources.pop(next(iter(self._sources))).sizeInBytes()
        self._sources[number] = source
        return source


def _spread(mask: NDArray[np.bool_], pitch: int) -> NDArray[np.bool_]:
    """A mask of squares as one of pixels."""
    return np.repeat(np.repeat(mask, pitch, axis=0), pitch, axis=1)


def _turned(picture: QImage, turn: Turn) -> QImage:
    """A picture as it is seen turned; quarter turns move whole pixels."""
    if turn.upright or picture.isNull():
        return picture
    across = -1 if turn.mirrored else 1
    return picture.transformed(QTransform.fromScale(across, 1) * QTransform().rotate(90 * turn.quarters))


def has_pictures(chart: Chart) -> bool:
    """Whether any sheet of a chart has its picture with it."""
    return any(sheet.picture in chart.attachments for sheet in chart.sheets)


def unread(sheets: tuple[Sheet, ...]) -> bool:
    """Whether any sheet can only be followed on its picture."""
    return any(not sheet.read and sheet.picture for sheet in sheets)


@functools.lru_cache(maxsize=16)
def _tables(tone: Tone) -> tuple[Table, Table, Table]:
    """For each channel what its 256 levels become."""
    ground, levels = NIGHT if tone.night else DAY, np.arange(256, dtype=np.float64)
    if tone.night:
        levels = levels * NIGHT_LIGHT
    ways = []
    for channel in range(3):
        told = levels
        if tone.done:
            told = told + (_part(ground.paper, channel) - told) * FADED_SHARE
        told = told + (_part(ground.dim, channel) - told) * tone.dim
        ways.append(np.rint(told).clip(0, 255).astype(np.uint8))
    return ways[0], ways[1], ways[2]


def _part(colour: Colour, channel: int) -> int:
    return (colour.red, colour.green, colour.blue)[channel]


def _through(pixels: Pixels, tables: tuple[Table, Table, Table]) -> Pixels:
    """RGB32 pixels with each channel looked up in its table."""
    red, green, blue = (
        np.take(table, (pixels >> np.uint32(shift)) & np.uint32(255)).astype(np.uint32)
        for table, shift in zip(tables, (16, 8, 0), strict=True)
    )
    return np.uint32(0xFF000000) | red << np.uint32(16) | green << np.uint32(8) | blue


def _mixed(one: Pixels, other: Pixels) -> Pixels:
    """The mean of two pictures, channel by channel."""
    return (one & other) + (((one ^ other) & np.uint32(0xFEFEFEFE)) >> np.uint32(1))
