"""Find my place from the cloth: every place of the chart where a small patch of stitches fits."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import islice, product

import numpy as np

from stitchview.chart.area import Area
from stitchview.done.change import DONE, FIRST_LEG
from stitchview.done.marks import Marks
from stitchview.errors import CommandError
from stitchview.follow.clothpatch import ClothPatch, Grid, Turned, turned_patches
from stitchview.follow.clothpitch import USUAL_PITCH, Pitch
from stitchview.follow.nearbits import Held, Near, Sight, nearest_bits
from stitchview.follow.patchmatching import Fits, Lying, Matching, Positions, counted
from stitchview.follow.patchplanes import PatchPlanes, Words


@dataclass(frozen=True, slots=True)
class Looking:
    """What is allowed: the cloth turned by quarter turns, seen from behind, one wrong square.

    `most` is how many places are told; all are counted.
    """

    turned: bool = False
    mirrored: bool = False
    one_wrong: bool = False
    most: int = 100

    def __post_init__(self) -> None:
        if self.most < 1:
            raise CommandError(f"{self.most} places cannot be told.", "Ask for at least one.")


@dataclass(frozen=True, slots=True)
class Fit:
    """A place where the patch fits: `area` on the chart, which may hang over its edge.

    The patch lies there mirrored first if so, then turned by `turn` quarter turns clockwise.
    `wrong` is the square (column, row) of the chart that is otherwise, if one is, and
    `wrong_in_patch` the same square in the patch as she filled it in. `done` tells that every thread
    of the patch lies on squares marked done; `mm` is how far its middle lies from the place.
    """

    area: Area
    turn: int
    mirrored: bool
    wrong: tuple[int, int] | None
    wrong_in_patch: tuple[int, int] | None
    done: bool
    mm: float


@dataclass(frozen=True, slots=True)
class FoundPlaces:
    """How many places fit rightly and with one wrong square, and the first of them in order.

    Those on done squares come first, of these those without a wrong square, then the nearest; of
    places alike far the one in the lowest row, then column.
    """

    right: int
    one_wrong: int
    fits: tuple[Fit, ...]

    @property
    def count(self) -> int:
        """All places."""
        return self.right + self.one_wrong


class PlaceFinder:
    """Looks for patches on the chart of `marks`; making it is the warm-up, which takes a second or so.

    Its memory is that of `PatchPlanes`; the marks are read as they stand whenever it is asked.
    """

    def __init__(self, marks: Marks) -> None:
        self._marks = marks
        self._planes = PatchPlanes(marks.chart)
        self._done_at = -1

    @property
    def weight(self) -> int:
        """Bytes kept between searches."""
        return self._planes.weight

    def find(
        self,
        patch: ClothPatch,
        place: tuple[int, int],
        looking: Looking | None = None,
        pitch: Pitch = USUAL_PITCH,
    ) -> FoundPlaces:
        """All places where `patch` fits, seen from the square `place` (column, row).

        A thread fits where its cross or a part stitch of it lies, a bare square where no such stitch
        lies, beyond the chart's edge too. At least one thread is right in every place.
        """
        looking = looking or Looking()
        matching = Matching(self._planes, looking.one_wrong)
        laid = [
            _Laid(way, matching.fits(way.squares), _sight(way, place, pitch))
            for way in turned_patches(patch, looking.turned, looking.mirrored)
        ]
        right, one_wrong = (sum(counts) for counts in zip(*(each.counted() for each in laid), strict=True))
        told = list(islice(self._in_order(matching, laid, looking.most), looking.most))
        return FoundPlaces(right, one_wrong, tuple(told))

    def _in_order(self, matching: Matching, laid: Sequence["_Laid"], most: int) -> Iterator[Fit]:
        done = self._done()
        for on_done, wrong in product((True, False), (False, True)):
            found: list[Fit] = []
            for each in laid:
                bits = each.fits.one_wrong if wrong else each.fits.right
                held = Held(each.fits.words, bits, partial(_wanted, done, each.way.squares, on_done))
                near = nearest_bits(self._planes.layout, held, each.sight, most)
                found += _told(matching if wrong else None, each.way, near, on_done)
            yield from sorted(found, key=_order)

    def _done(self) -> Lying:
        """Tells which places lie with every thread on squares marked done."""
        if self._done_at != self._marks.applied:
            self._done_at, self._lying = self._marks.applied, self._lying_on_done()
        return self._lying

    def _lying_on_done(self) -> Lying:
        parts = self._marks.chart.parts
        done = (self._marks.squares == DONE) | (self._marks.squares == FIRST_LEG)
        of_parts = np.flatnonzero(self._marks.parts == DONE)
        done[parts.rows[of_parts], parts.columns[of_parts]] = True
        return Lying(self._planes.plane_of(done), self._planes.layout.stride)


@dataclass(frozen=True, eq=False, slots=True)
class _Laid:
    """A way for the patch to lie, where it fits so, and from where its distance is told."""

    way: Turned
    fits: Fits
    sight: Sight

    def counted(self) -> tuple[int, int]:
        return counted(self.fits.right), counted(self.fits.one_wrong)


def _sight(way: Turned, place: tuple[int, int], pitch: Pitch) -> Sight:
    """The place, moved so that the distance of a patch's top left square is that of its middle."""
    rows, columns = way.squares.shape
    return Sight(place[0] - (columns - 1) / 2, place[1] - (rows - 1) / 2, pitch)


def _wanted(done: Lying, squares: Grid, on_done: bool, words: Positions) -> Words:
    on = done.on(squares, words)
    return on if on_done else ~on


def _told(matching: Matching | None, way: Turned, near: Near, done: bool) -> Iterator[Fit]:
    """The places in words; `matching` tells the wrong square where there is one."""
    rows, columns = way.squares.shape
    wrong_cells = [-1] * len(near)
    if matching is not None and len(near):
        wrong_cells = matching.wrong_cells(way.squares, near.columns, near.rows).tolist()
    where = zip(near.columns.tolist(), near.rows.tolist(), near.mm.tolist(), wrong_cells, strict=True)
    for column, row, mm, cell in where:
        wrong = wrong_in_patch = None
        if cell >= 0:
            down, across = divmod(cell, columns)
            wrong = column + across, row + down
            wrong_in_patch = way.filled_in(down, across)
        area = Area(column, row, columns, rows)
        yield Fit(area, way.turn, way.mirrored, wrong, wrong_in_patch, done, mm)


def _order(fit: Fit) -> tuple[float, int, int, bool, int]:
    return fit.mm, fit.area.row, fit.area.column, fit.mirrored, fit.turn
