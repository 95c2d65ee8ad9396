"""From the movements of a hand to what it means: a generator a gesture, a touch at its end."""

import math
from collections.abc import Generator
from dataclasses import dataclass
from enum import StrEnum

from stitchview.chart.area import Area, spanning
from stitchview.chart.model import Chart
from stitchview.done.change import Selection
from stitchview.done.shapes import Takes, patch, rectangle, run, single, sweep


class Shape(StrEnum):
    """The marking shapes; the values are what files hold."""

    SINGLE = "single"
    SWEEP = "sweep"
    RECTANGLE = "rectangle"
    RUN = "run"
    PATCH = "patch"


@dataclass(frozen=True, slots=True)
class Spot:
    """A point on the chart in squares, and whether the hand let go there."""

    x: float
    y: float
    released: bool = False

    @property
    def square(self) -> tuple[int, int]:
        """The square (column, row) the point lies in."""
        return math.floor(self.x), math.floor(self.y)


@dataclass(frozen=True, slots=True)
class Preview:
    """What a gesture would take if the hand let go now: a path of squares, or a rectangle."""

    path: tuple[tuple[int, int], ...] = ()
    area: Area | None = None


@dataclass(frozen=True, slots=True)
class Touch:
    """A finished gesture: its shape, where it began, the squares it passed, the rectangle it spans."""

    shape: Shape
    start: Spot
    path: tuple[tuple[int, int], ...]

    @property
    def area(self) -> Area:
        """The rectangle between the first and the last square."""
        return spanning(self.path[0], self.path[-1])

    @property
    def down(self) -> bool:
        """Whether the hand moved along a column rather than along a row."""
        across, down = (abs(a - b) for a, b in zip(self.path[0], self.path[-1], strict=True))
        return down > across

    def selection(self, chart: Chart, takes: Takes) -> Selection:
        """Give the stitches the touch means."""
        square = self.start.square
        match self.shape:
            case Shape.SINGLE:
                return single(chart, self.start.x, self.start.y, takes)
            case Shape.SWEEP if len(self.path) == 1:
                return single(chart, self.start.x, self.start.y, takes)
            case Shape.SWEEP:
                return sweep(chart, self.path, takes)
            case Shape.RECTANGLE:
                return rectangle(chart, self.area, takes)
            case Shape.RUN:
                return run(chart, *square, takes, self.down)
            case Shape.PATCH:
                return patch(chart, *square, takes)


Gesture = Generator[Preview, Spot, Touch]


def gesture(shape: Shape, start: Spot) -> Gesture:
    """Follow a hand from `start`: send a `Spot` for each move, get what it would take; ends in a `Touch`.

    The generator returns its touch when a released spot is sent. Closing it early means that
    nothing is taken.
    """
    path = [start.square]
    spot = start
    while not spot.released:
        spot = yield _preview(shape, path)
        if spot.square != path[-1]:
            path.append(spot.square)
    return Touch(shape, start, tuple(path))


def _preview(shape: Shape, path: list[tuple[int, int]]) -> Preview:
    if shape is Shape.SWEEP:
        return Preview(path=tuple(path))
    if shape is Shape.RECTANGLE:
        return Preview(area=spanning(path[0], path[-1]))
    return Preview(path=(path[0],))
