"""All the part stitches of a chart as the strips want them: mean colours far out, pictures from near."""

import numpy as np
from numpy.typing import NDArray

from stitchview.canvas.itemindex import Indices
from stitchview.canvas.mixing import Pixels
from stitchview.canvas.parthomes import PartHomes
from stitchview.canvas.partmeans import PartMeans
from stitchview.canvas.partsquares import PartPictures
from stitchview.canvas.threads import Threads
from stitchview.chart.area import Area
from stitchview.chart.stitches import Parts

# Below this many pixels a square the shapes cannot be told apart, and their mean colour says as much.
SMALLEST_PART = 10
# For the sizes before the present one, so that a zoom there and back finds them ready.
MOST_BYTES = 10 << 20
# Below this many squares there is at most one strip, which brings what it lacks by itself.
MANY = 2000


class PartLayer:
    """Draws the squares with part stitches into strips; `states` is read anew, one uint8 a part stitch."""

    def __init__(self, parts: Parts, columns: int, states: NDArray[np.uint8], threads: Threads) -> None:
        self._states, self._threads = states, threads
        self._homes = PartHomes(parts, columns)
        self._means = PartMeans(parts, self._homes)
        self._means_fresh = False
        self._pictures: dict[int, PartPictures] = {}

    def use(self, threads: Threads) -> None:
        """Draw in another look, or for another thread in hand."""
        self._threads = threads
        self._pictures.clear()
        self._means_fresh = False

    def changed(self, parts: Indices) -> None:
        """Take note that the states of these part stitches have changed."""
        if len(parts):
            self._homes.changed(parts)
        if self._means_fresh and len(parts):
            self._means.refresh(self._threads, self._states, parts)

    def prepare(self, area: Area, pitch: int, many: int = MANY) -> None:
        """Have ready what `draw` will need in `area`, if it has more than so many squares."""
        if not len(self._homes):
            return
        if pitch < SMALLEST_PART:
            self._freshen_means()
            return
        if pitch not in self._pictures:
            held = sum(kept.bytes for kept in self._pictures.values())
            while held > MOST_BYTES:
                held -= self._pictures.pop(next(iter(self._pictures))).bytes
            self._pictures[pitch] = PartPictures(self._threads, self._homes, pitch)
        if area.count > many:
            self._pictures[pitch].prepare(area, self._states)

    def draw(self, pixels: Pixels, area: Area, pitch: int, dimmed: bool) -> None:
        """Put the squares with part stitches into a strip's pixels of shape (height, width)."""
        if not len(self._homes):
            return
        if pitch < SMALLEST_PART:
            self._means.draw(pixels, area, pitch, dimmed)
        else:
            self._pictures[pitch].draw(pixels, area, self._states, dimmed)

    def means_in(self, area: Area) -> tuple[Indices, Indices, NDArray[np.uint8]]:
        """Give rows, columns and mean colours, sRGB of shape (n, 3), of the squares with part stitches."""
        self._freshen_means()
        found = self._homes.within(area)
        return self._homes.rows[found], self._homes.columns[found], self._means.colours[found]

    def _freshen_means(self) -> None:
        if not self._means_fresh:
            self._means.refresh(self._threads, self._states)
            self._means_fresh = True
