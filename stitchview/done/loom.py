"""Works recorded differences into copies of a chart's tables, only where they are about."""

from collections.abc import Iterable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.area import Area
from stitchview.chart.model import Chart, Shift, Squares, Worked
from stitchview.chart.stitches import Lines, Parts, Points
from stitchview.done.differences import Added, Difference, NotWorked, OtherThread, Shifted
from stitchview.done.leftout import CROSSES
from stitchview.done.loose import Loose
from stitchview.done.ownkey import OwnKey
from stitchview.done.usedinstead import OwnThread
from stitchview.errors import CommandError

AnyLoose = Loose[Parts] | Loose[Lines] | Loose[Points]
Mask = NDArray[np.bool_]

NOTHING_THERE = "There is no stitch that would differ."


@dataclass(frozen=True, slots=True)
class Effect:
    """What a difference is about: stitches that lie elsewhere, are of another thread or added.

    `lost` are those that a block covers, or that are left out.
    """

    altered: int = 0
    lost: int = 0


class Loom:
    """Takes differences that overlap nowhere, and gives the chart as it stands on the cloth.

    `own` are threads that the key does not print; those that a difference names follow its lines.
    `work` raises `CommandError` for a difference that does not fit the chart, and alters nothing then.
    """

    def __init__(self, printed: Chart, own: Iterable[OwnThread] = ()) -> None:
        self._key = OwnKey(printed.key, own)
        self._printed, self._squares = printed, printed.squares
        self._parts, self._lines, self._points = (
            Loose(printed.parts),
            Loose(printed.lines),
            Loose(printed.points),
        )
        self._loose: tuple[AnyLoose, ...] = (self._parts, self._lines, self._points)
        self._shifts = list[Shift]()
        self._touched = False

    def work(self, difference: Difference) -> Effect:
        """Work one difference in; tells how many stitches it is about."""
        if difference.area.clipped(self._printed.area) != difference.area:
            raise CommandError("That difference reaches off the chart.", "Choose squares of the chart.")
        match difference:
            case Shifted():
                altered = self._shift(difference)
            case OtherThread():
                altered = self._change_thread(difference)
            case NotWorked():
                altered = self._leave_out(difference)
            case Added():
                altered = self._add(difference)
        self._touched = True
        return altered

    def chart(self) -> Chart:
        """The chart as it stands on the cloth; the printed one itself if nothing differs."""
        if not self._touched:
            return self._printed
        kept = (each.kept for each in self._loose)
        return replace(
            self._printed,
            key=self._key.entries(),
            squares=self._squares,
            parts=self._parts.worked(),
            lines=self._lines.worked(),
            points=self._points.worked(),
            worked=Worked(self._printed, tuple(self._shifts), *kept),
        )

    def _shift(self, difference: Shifted) -> Effect:
        area, target, whole = difference.area, difference.target, self._printed.area
        block = self._squares[area.slices()].copy()
        moved = [each.within(area) for each in self._loose]
        altered = _count(block) + sum(map(_count, moved))
        if not altered:
            raise CommandError(NOTHING_THERE, "Choose an area that has stitches.")
        there = target.clipped(whole)
        seen = replace(there, column=there.column - target.column, row=there.row - target.row)
        self._check_on_chart(difference, _count(block) - _count(block[seen.slices()]), moved)
        squares = self._own_squares()
        squares[area.slices()] = 0
        lost = _count(squares[there.slices()])
        squares[there.slices()] = block[seen.slices()]
        for each, mine in zip(self._loose, moved, strict=True):
            under = each.under(target) & ~mine
            lost += _count(under)
            each.leave_out(under)
            each.move(mine, difference.across, difference.down)
        self._shifts.append(Shift(area, difference.across, difference.down))
        return Effect(altered, lost)

    def _check_on_chart(self, difference: Shifted, off: int, moved: list[Mask]) -> None:
        """No stitch may lie off the chart; bare squares may."""
        home = replace(self._printed.area, column=-difference.across, row=-difference.down)
        off += sum(_count(mine & ~each.within(home)) for each, mine in zip(self._loose, moved, strict=True))
        if off:
            stitches = "A stitch" if off == 1 else f"{off:,} stitches"
            raise CommandError(
                f"{stitches} would lie off the chart.", "Shift by less, or choose another area."
            )

    def _change_thread(self, difference: OtherThread) -> Effect:
        was, number = self._key.number(difference.was), self._key.number(difference.code) or 0
        squares = self._crosses(difference.area, difference.sort, was)
        squares &= self._squares[difference.area.slices()] != number
        loose = [
            each.within(difference.area) & _wanted(each.keys, was) & (each.keys != number)
            for each in self._of_sort(difference.sort)
        ]
        count = _count(squares) + sum(map(_count, loose))
        if not count:
            raise CommandError(NOTHING_THERE, "Choose squares that the chart has in another thread.")
        sorts = self._of_sort(difference.sort)
        gone = [self._squares[difference.area.slices()][squares]]
        gone += [each.keys[chosen] for each, chosen in zip(sorts, loose, strict=True)]
        self._key.use(difference.code, gone)
        self._fill(difference.area, squares, number)
        for each, chosen in zip(sorts, loose, strict=True):
            each.change(chosen, number)
        return Effect(count)

    def _leave_out(self, difference: NotWorked) -> Effect:
        code = self._key.number(difference.code)
        squares = self._crosses(difference.area, difference.sort, code)
        loose = [
            each.within(difference.area) & _wanted(each.keys, code) for each in self._of_sort(difference.sort)
        ]
        count = _count(squares) + sum(map(_count, loose))
        if not count:
            raise CommandError(NOTHING_THERE, "Choose squares that have such stitches.")
        self._fill(difference.area, squares, 0)
        for each, chosen in zip(self._of_sort(difference.sort), loose, strict=True):
            each.leave_out(chosen)
        return Effect(lost=count)

    def _add(self, difference: Added) -> Effect:
        number = self._key.number(difference.code) or 0
        block = self._squares[difference.area.slices()]
        if not number or block.any() or self._parts.within(difference.area).any():
            raise CommandError(
                "No stitch can be added where the chart has one already.",
                "Record another thread there, or choose bare squares.",
            )
        self._key.use(difference.code)
        self._fill(difference.area, block == 0, number)
        return Effect(difference.area.count)

    def _crosses(self, area: Area, sort: str, wanted: int | None) -> Mask:
        block = self._squares[area.slices()]
        return _wanted(block, wanted) if sort in ("", CROSSES) else np.zeros(block.shape, np.bool_)

    def _fill(self, area: Area, chosen: Mask, number: int) -> None:
        if chosen.any():
            self._own_squares()[area.slices()][chosen] = number

    def _own_squares(self) -> Squares:
        # Copied once, when the first square differs: a chart at the limit has 32 MiB of them.
        if self._squares is self._printed.squares:
            self._squares = self._printed.squares.copy()
        return self._squares

    def _of_sort(self, sort: str) -> tuple[AnyLoose, ...]:
        match sort:
            case "crosses":
                return (self._parts,)
            case "lines":
                return (self._lines,)
            case "points":
                return (self._points,)
        return self._loose


def _wanted(keys: NDArray[np.uint16], number: int | None) -> Mask:
    wanted: Mask = keys != 0 if number is None else keys == number
    return wanted


def _count(chosen: NDArray[np.generic]) -> int:
    return int(np.count_nonzero(chosen))
