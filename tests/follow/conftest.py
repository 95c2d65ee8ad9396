"""Charts with marks for the tests of where next: small, random, and the real plates."""

import json
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from stitchview.chart.colour import Colour
from stitchview.chart.csvkey import plain_entry
from stitchview.chart.model import Chart
from stitchview.chart.stitches import LineKind, Lines, Parts, PartShape, PointKind, Points
from stitchview.done.marks import Marks
from stitchview.follow.threadwork import ThreadWork

Squares = NDArray[np.uint16]
PLATES = ("plate-288", "plate-289")


def _states(random: np.random.Generator, shape: tuple[int, ...], share: float) -> NDArray[np.uint8]:
    return (random.random(shape) < share).astype(np.uint8)


def _half_done(chart: Chart, share: float, seed: int) -> Marks:
    random = np.random.default_rng(seed)
    squares = _states(random, chart.squares.shape, share)
    squares[chart.squares == 0] = 0
    parts, lines, points = (
        _states(random, (len(each),), share) for each in (chart.parts, chart.lines, chart.points)
    )
    return Marks(chart, (squares, parts, lines, points))


def _with_all_kinds(chart: Chart, count: int, seed: int) -> Chart:
    random = np.random.default_rng(seed)

    def drawn(low: int, high: int, size: int = count) -> NDArray[np.int32]:
        return random.integers(low, high, size, np.int32)

    across, down, keys = 2 * chart.columns + 1, 2 * chart.rows + 1, len(chart.key) + 1
    numbers = [random.integers(1, keys, count, np.uint16) for _ in range(3)]
    shapes = random.choice(np.array(list(PartShape), np.uint8), count)
    kinds = random.choice(np.array(list(LineKind), np.uint8), count)
    sorts = random.choice(np.array(list(PointKind), np.uint8), count)
    x, y = drawn(0, across), drawn(0, down)
    x2, y2 = np.clip(x + drawn(-9, 10), 0, across - 1), np.clip(y + drawn(-9, 10), 0, down - 1)
    parts = Parts(drawn(0, chart.columns), drawn(0, chart.rows), shapes, numbers[0])
    lines = Lines(x, y, x2.astype(np.int32), y2.astype(np.int32), kinds, numbers[1])
    points = Points(drawn(0, across), drawn(0, down), sorts, numbers[2])
    return replace(chart, parts=parts, lines=lines, points=points)


def _thread_chart(drawing: str) -> Chart:
    """A chart from rows of "." for none and letters "a", "b", ... for the entries of a key of four."""
    rows = drawing.split()
    squares = np.array([[".abcd".index(sign) for sign in row] for row in rows], np.uint16)
    colours = (Colour(60 * number, 90, 200 - 50 * number) for number in range(4))
    names = ("slate blue", "dusk rose", "sea green", "lamp gold")
    key = tuple(
        replace(plain_entry(code, f"Sample cotton {number}, {name}", colour), number=str(number))
        for number, (code, name, colour) in enumerate(zip("abcd", names, colours, strict=True), 1)
    )
    return Chart(squares, key)


@pytest.fixture(scope="session")
def half_done() -> Callable[[Chart, float, int], Marks]:
    """Marks of a chart of which about a share of every kind of stitch is done, by a seed."""
    return _half_done


@pytest.fixture(scope="session")
def with_all_kinds() -> Callable[[Chart, int, int], Chart]:
    """A chart with so many part stitches, lines, knots and beads strewn over it, by a seed."""
    return _with_all_kinds


@pytest.fixture(scope="session")
def thread_chart() -> Callable[[str], Chart]:
    """A builder of a chart from rows of letters."""
    return _thread_chart


@pytest.fixture(scope="session")
def busy_work(random_chart: Callable[[int, int, int, int], Chart]) -> Callable[..., ThreadWork]:
    """Work on a random chart with every kind of stitch, half done: columns, rows, threads, seed, share."""

    def built(columns: int, rows: int, threads: int, seed: int, share: float = 0.5) -> ThreadWork:
        chart = _with_all_kinds(random_chart(columns, rows, threads, seed), columns * rows // 4, seed + 1)
        return ThreadWork(_half_done(chart, share, seed + 2))

    return built


@pytest.fixture(scope="session", params=PLATES)
def plate(request: pytest.FixtureRequest, shared: Path) -> Chart:
    """One of two real printed charts of 1886, from its checked truth grid; the sources stand in the file."""
    path = shared / "plates" / f"{request.param}.truth.json"
    if not path.is_file():
        pytest.skip(f"the plates are not at {path.parent}")
    truth = json.loads(path.read_text("utf-8"))
    codes = list(truth["classes"])
    squares = np.array([[codes.index(sign) + 1 for sign in row] for row in truth["grid"]], np.uint16)
    colours = [Colour(20 * number, 255 - 20 * number, 90) for number in range(len(codes))]
    return Chart(squares, tuple(map(plain_entry, codes, truth["classes"].values(), colours)), title="Plate")
