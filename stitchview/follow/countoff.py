"""Between which lines a count on the cloth departs from the chart, told from a few lines counted on both."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise, zip_longest

from stitchview.chart.model import Chart
from stitchview.errors import CommandError
from stitchview.follow.numbering import Numbering, number_of, start_of

MOST_COUNTS = 500
FARTHEST = 1 << 20
"""Columns and rows from the chart, beyond which nobody counts on a cloth."""


class Axis(StrEnum):
    """What was counted; the values are the words for several of them."""

    COLUMNS = "columns"
    ROWS = "rows"

    @property
    def one(self) -> str:
        """The word for one of them."""
        return self.value[:-1]

    @property
    def other(self) -> "Axis":
        """The other of the two."""
        return Axis.ROWS if self is Axis.COLUMNS else Axis.COLUMNS


@dataclass(frozen=True, slots=True)
class CountedLine:
    """What the chart has in column (or row) `line` was counted at `cloth` on the cloth.

    All count from 0 as in memory, rightwards and downwards; `cloth` may lie off the chart. `along` is
    the row (or column) along which she counted, None where she does not say.
    """

    axis: Axis
    line: int
    cloth: int
    along: int | None = None

    @property
    def shift(self) -> int:
        """How many squares right (or down) of its place it lies; below 0 left or up."""
        return self.cloth - self.line


@dataclass(frozen=True, slots=True)
class Departure:
    """Somewhere after line `near` and up to line `far`, seen from where counting begins, the count departs.

    `near` is None where counting begins. `by` is how many squares right or down (below 0 left or up),
    `total` how far `far` lies from its place in all. All up to line `last` lies as far off, as far as
    was counted. `outwards` tells that squares are too many there rather than too few.
    """

    axis: Axis
    near: int | None
    far: int
    last: int
    by: int
    total: int
    outwards: bool
    along: int | None = None


@dataclass(frozen=True, slots=True)
class Split:
    """One line counted along two rows (or columns) one after the other, with different ends."""

    before: CountedLine
    after: CountedLine

    @property
    def by(self) -> int:
        """How many squares right or down the line lies further along the second."""
        return self.after.shift - self.before.shift


@dataclass(frozen=True, slots=True)
class CountOff:
    """All that the counts tell: departures in the order of counting, and lines that are not straight."""

    departures: tuple[Departure, ...] = ()
    splits: tuple[Split, ...] = ()

    @property
    def agrees(self) -> bool:
        """Whether every count agrees with the chart."""
        return not self.departures and not self.splits


def count_off(chart: Chart, counts: Iterable[CountedLine], numbering: Numbering) -> CountOff:
    """Where the counts depart from the chart, counted from where `numbering` begins.

    Raises `CommandError` in one sentence for counts that contradict one another or cannot be.
    """
    told = tuple(dict.fromkeys(counts))
    if len(told) > MOST_COUNTS:
        raise CommandError(f"More than {MOST_COUNTS} counts are too many.", "Take some out.")
    words = _Words(chart, numbering)
    for each in told:
        _check(each, chart, words)
    _check_told_once(told, words)
    departures: list[Departure] = []
    for (axis, _), group in _grouped(told).items():
        size = chart.columns if axis is Axis.COLUMNS else chart.rows
        start = start_of(size, numbering.across if axis is Axis.COLUMNS else numbering.down)
        walk = _walk(group, start, size)
        _check_rising(walk, words)
        departures += _along_one(walk)
    return CountOff(tuple(departures), tuple(_splits(told)))


@dataclass(frozen=True, slots=True)
class _Point:
    """A line of the chart and where it lies on the cloth; `begins` tells that counting begins there."""

    line: float
    cloth: float
    begins: bool = False

    @property
    def shift(self) -> int:
        return round(self.cloth - self.line)


@dataclass(frozen=True, slots=True)
class _Walk:
    """Counts of one axis along one line in the order of the chart; counting begins at one of the points."""

    axis: Axis
    along: int | None
    points: tuple[_Point, ...]
    size: int


@dataclass(frozen=True, slots=True)
class _Words:
    """Lines by the numbers that she counts."""

    chart: Chart
    numbering: Numbering

    def number(self, axis: Axis, line: int) -> int:
        if axis is Axis.COLUMNS:
            return number_of(line, self.chart.columns, self.numbering.across)
        return number_of(line, self.chart.rows, self.numbering.down)

    def line(self, axis: Axis, line: int) -> str:
        return f"{axis.one} {self.number(axis, line):,}"


def _check(count: CountedLine, chart: Chart, words: _Words) -> None:
    sizes = {Axis.COLUMNS: chart.columns, Axis.ROWS: chart.rows}
    told = [(count.axis, count.line)]
    if count.along is not None:
        told.append((count.axis.other, count.along))
    for axis, line in told:
        if not 0 <= line < sizes[axis]:
            raise CommandError(
                f"The chart has no {words.line(axis, line)}; it has {sizes[axis]:,} {axis}.",
                "Take a line of the chart.",
            )
    if abs(count.cloth) > FARTHEST:
        raise CommandError(f"Nobody counts as far as {words.line(count.axis, count.cloth)}.", "Count again.")


def _check_told_once(counts: Sequence[CountedLine], words: _Words) -> None:
    """One line may lie at two places only where it was counted along two others."""
    found: dict[tuple[Axis, int], list[CountedLine]] = defaultdict(list)
    for each in counts:
        found[each.axis, each.line].append(each)
    for (axis, line), same in found.items():
        clash = next(
            (
                (one, other)
                for other in same
                for one in same
                if one.cloth != other.cloth and (one.along == other.along or one.along is None)
            ),
            None,
        )
        if clash is not None:
            first, second = sorted(words.number(axis, each.cloth) for each in clash)
            alike = clash[0].along == clash[1].along
            remedy = "Count it again." if alike else f"Say along which {axis.other.one} each was counted."
            raise CommandError(
                f"What the chart has in {words.line(axis, line)} was counted at {first:,} and at {second:,}.",
                remedy,
            )


def _grouped(counts: Iterable[CountedLine]) -> dict[tuple[Axis, int | None], list[CountedLine]]:
    """The counts along one line each, columns before rows."""
    found: dict[tuple[Axis, int | None], list[CountedLine]] = defaultdict(list)
    for each in counts:
        found[each.axis, each.along].append(each)
    places = sorted(found, key=lambda place: (place[0], -1 if place[1] is None else place[1]))
    return {place: found[place] for place in places}


def _walk(counts: Sequence[CountedLine], start: float, size: int) -> _Walk:
    points = [_Point(each.line, each.cloth, each.line == start) for each in counts]
    if not any(each.begins for each in points):
        points.append(_Point(start, start, begins=True))
    ordered = tuple(sorted(points, key=lambda each: each.line))
    return _Walk(counts[0].axis, counts[0].along, ordered, size)


def _along_one(walk: _Walk) -> list[Departure]:
    """The departures of one walk, outwards from where counting begins: first rightwards (downwards)."""
    middle = next(at for at, each in enumerate(walk.points) if each.begins)
    onwards, back = walk.points[middle:], walk.points[middle::-1]
    return [*_outwards(walk, onwards, walk.size - 1), *_outwards(walk, back, 0)]


def _outwards(walk: _Walk, points: Sequence[_Point], end: int) -> Iterator[Departure]:
    steps = [at for at in range(1, len(points)) if points[at].shift != points[at - 1].shift]
    for at, following in zip_longest(steps, steps[1:]):
        near, far = points[at - 1], points[at]
        # What was counted last with one shift speaks for all up to there; beyond the last count, for all.
        last = end if following is None else round(points[following - 1].line)
        by = far.shift - near.shift
        yield Departure(
            walk.axis,
            None if near.begins else round(near.line),
            round(far.line),
            last,
            by,
            far.shift,
            (by > 0) is (far.line > near.line),
            walk.along,
        )


def _check_rising(walk: _Walk, words: _Words) -> None:
    """What comes later on the chart comes later on the cloth, and where counting begins both agree."""
    for each in walk.points:
        if each.begins and each.shift:
            raise CommandError(
                "Counting begins in the middle of the chart, so on the cloth the middle lies there too.",
                "Count from the middle again.",
            )
    for before, after in pairwise(walk.points):
        if before.cloth >= after.cloth:
            raise _wrong_way_round(walk.axis, [each for each in (before, after) if not each.begins], words)


def _wrong_way_round(axis: Axis, points: Sequence[_Point], words: _Words) -> CommandError:
    lines = [words.line(axis, round(each.line)) for each in points]
    places = [f"{words.number(axis, round(each.cloth)):,}" for each in points]
    if len(points) == 1:
        what = f"{lines[0].capitalize()} cannot lie at {places[0]}, across from where counting begins."
        return CommandError(what, "Count it again.")
    told = f"{lines[0].capitalize()} and {lines[1]} were counted at {places[0]} and {places[1]}"
    return CommandError(
        f"{told}: on the cloth they must lie one after the other too.", "Count one of them again."
    )


def _splits(counts: Iterable[CountedLine]) -> list[Split]:
    found: dict[tuple[Axis, int], list[CountedLine]] = defaultdict(list)
    for each in counts:
        if each.along is not None:
            found[each.axis, each.line].append(each)
    splits = []
    for place in sorted(found):
        along = sorted(found[place], key=lambda each: each.along or 0)
        splits += [Split(one, other) for one, other in pairwise(along) if one.shift != other.shift]
    return splits
