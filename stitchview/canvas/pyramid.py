"""The whole chart as ever smaller pictures of its colours, averaged as light is, for looking from far out."""

import functools

import numpy as np
from numpy.typing import NDArray

from stitchview.canvas.mixing import Pixels, packed
from stitchview.canvas.partlayer import PartLayer
from stitchview.canvas.threads import Threads
from stitchview.chart.area import Area
from stitchview.chart.model import MOST_ROWS, Chart

# Rows of squares averaged at a time: enough for six halvings, few enough to stay small in memory.
_SLAB = 64
LEVELS = 6
# More changed areas than this are taken as one.
MOST_STALE = 16
# A picture may be enlarged by so much before it looks blurred; the next level costs four times as much.
HARDLY_COARSER = 1.15

_Linear = NDArray[np.uint16]


@functools.cache
def _to_linear() -> _Linear:
    share = np.arange(256) / 255
    light = np.where(share <= 0.04045, share / 12.92, ((share + 0.055) / 1.055) ** 2.4)
    table: _Linear = np.round(light * 65535).astype(np.uint16)
    return table


@functools.cache
def _to_srgb() -> NDArray[np.uint8]:
    light = np.arange(65536) / 65535
    share = np.where(light <= 0.0031308, light * 12.92, 1.055 * light ** (1 / 2.4) - 0.055)
    table: NDArray[np.uint8] = np.round(share * 255).astype(np.uint8)
    return table


class Pyramid:
    """Pictures at 1/2, 1/4 ... 1/64 of a pixel a square, RGB32, averaged in linear light (IEC 61966-2-1).

    Level k (from 1) has shape (ceil(rows / 2**k), ceil(columns / 2**k)). A block over the edge
    counts the last row or column it has twice. The first level, three quarters of all the memory, is
    made only when somebody looks from so near.
    """

    def __init__(self, chart: Chart, threads: Threads, parts: PartLayer, states: NDArray[np.uint8]) -> None:
        self._chart, self._parts, self._states = chart, parts, states
        self._table = _to_linear()[threads.far]
        self._count = threads.codes_a_state
        self._held: dict[int, Pixels] = {}
        self._stale: list[Area] = []
        for level in range(2, LEVELS + 1):
            self.need(level)

    @property
    def levels(self) -> list[Pixels]:
        """All the pictures, up to date, from the largest."""
        self.need(1)
        self.freshen()
        return [self._held[level] for level in range(1, LEVELS + 1)]

    def need(self, level: int) -> None:
        """Have a level among those that are kept up to date."""
        if level not in self._held:
            size = -(-self._chart.rows >> level), -(-self._chart.columns >> level)
            self._held[level] = np.zeros(size, np.uint32)
            self._stale = [self._chart.area]

    def picture(self, level: int) -> Pixels:
        """Give the picture of a level as far as it is up to date."""
        self.need(level)
        return self._held[level]

    def changed(self, area: Area) -> None:
        """Take note that `area` has changed; it is averaged anew when somebody looks."""
        if len(self._stale) >= MOST_STALE:
            self._stale = [functools.reduce(Area.joined, self._stale)]
        self._stale.append(area)

    def freshen(self) -> None:
        """Bring every level up to date."""
        while not self.freshen_some(MOST_ROWS):
            pass

    def freshen_some(self, rows: int) -> bool:
        """Bring at least so many rows of squares up to date, if so many are not; True when all are.

        Who must not keep hands waiting calls it again and again with a pause between.
        """
        while self._stale and rows > 0:
            area = self._stale.pop()
            left = area.column // _SLAB * _SLAB
            right = min(-(-area.right // _SLAB) * _SLAB, self._chart.columns)
            row, bottom = area.row // _SLAB * _SLAB, min(area.bottom, self._chart.rows)
            while row < bottom and rows > 0:
                slab = Area(left, row, right - left, min(_SLAB, self._chart.rows - row))
                self._refresh_slab(slab)
                row, rows = slab.bottom, rows - slab.rows
            if row < bottom:
                self._stale.append(Area(area.column, row, area.columns, bottom - row))
        return not self._stale

    def squares(self, area: Area) -> Pixels:
        """Give the colours of the squares of `area` themselves, RGB32 of shape (rows, columns)."""
        return packed(_to_srgb()[self._light(area)])

    def _light(self, area: Area) -> _Linear:
        here = area.slices()
        codes = self._states[here].astype(np.uint16) * np.uint16(self._count) + self._chart.squares[here]
        light: _Linear = self._table[codes]
        rows, columns, colours = self._parts.means_in(area)
        light[rows - area.row, columns - area.column] = _to_linear()[colours]
        return light

    def _refresh_slab(self, slab: Area) -> None:
        light = self._light(slab)
        for level in range(1, LEVELS + 1):
            light = _halved(light)
            picture = self._held.get(level)
            if picture is None:
                continue
            row, column = slab.row >> level, slab.column >> level
            picture[row : row + light.shape[0], column : column + light.shape[1]] = packed(_to_srgb()[light])

    def level_for(self, pitch: float) -> tuple[int, Pixels]:
        """Give the smallest level as fine as `pitch` pixels a square, or hardly coarser, with its number."""
        level = 1
        while level < LEVELS and pitch <= HARDLY_COARSER / (1 << (level + 1)):
            level += 1
        self.need(level)
        self.freshen()
        return level, self._held[level]


def _halved(light: _Linear) -> _Linear:
    rows, columns = light.shape[:2]
    if rows % 2 or columns % 2:
        light = np.pad(light, ((0, rows % 2), (0, columns % 2), (0, 0)), mode="edge")
    # Four 16-bit parts fit in 18 bits, so the sum is exact.
    total = light[0::2].astype(np.uint32)
    total += light[1::2]
    mean: _Linear = ((total[:, 0::2] + total[:, 1::2] + 2) >> 2).astype(np.uint16)
    return mean
