"""Charts from strangers: whatever a file may hold, the canvas opens and draws it."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from stitchview.chart.colour import Colour
from stitchview.chart.model import MOST_COLUMNS, MOST_ROWS, Chart, KeyEntry, Symbol
from stitchview.chart.stitches import LineKind, Lines, Parts, PartShape, PointKind, Points
from tests.canvas.charts import Making, full_chart
from tests.canvas.stage import Stage, Step

StageFor = Callable[..., Stage]
PITCHES = (1 / 64, 0.3, 1, 3, 5, 8, 12, 40, 160)


def looked_over(stage: Stage) -> None:
    """Look at a chart at every size, mark what there is, and compare with a fresh drawing."""
    for pitch in PITCHES:
        stage.zoom(pitch, 70, 50)
        stage.take([Step("mark", (family, 0, 5, 1)) for family in range(4)])
        stage.take([Step("pan", (16, 8)), Step("band", (0, 0, 1, 1)), Step("turn"), Step("unband")])
        assert stage.difference() == ""


def test_a_chart_without_a_key(stage_for: StageFor) -> None:
    """A chart with no threads at all is empty cloth."""
    looked_over(stage_for(Chart(np.zeros((9, 12), np.uint16), ())))


def test_a_chart_without_stitches(stage_for: StageFor) -> None:
    """A chart whose key is not used yet is empty cloth with a key."""
    chart = full_chart(Making(12, 9, 1), bare=True)
    looked_over(stage_for(replace(chart, squares=np.zeros((9, 12), np.uint16))))


def test_one_square(stage_for: StageFor) -> None:
    """The smallest chart there is."""
    looked_over(stage_for(full_chart(Making(1, 1, 1))))


@pytest.mark.parametrize("size", [(MOST_COLUMNS, 1), (1, MOST_ROWS), (MOST_COLUMNS, 300)])
def test_very_long_charts(stage_for: StageFor, size: tuple[int, int]) -> None:
    """Charts as wide or high as the format allows."""
    looked_over(stage_for(full_chart(Making(*size, 1), bare=True)))


def with_symbols(*symbols: Symbol, **attachments: bytes) -> Chart:
    key = tuple(
        KeyEntry(chr(0x61 + number), symbol, "Sample cotton", colour=Colour(50, 90, 200))
        for number, symbol in enumerate(symbols)
    )
    squares = np.resize(np.arange(1, len(key) + 1, dtype=np.uint16), (9, 12))
    files = {f"pictures/{name}.png": content for name, content in attachments.items()}
    return Chart(squares, key, attachments=files)


def test_symbols_that_cannot_be_drawn(stage_for: StageFor) -> None:
    """Characters no font has, lone surrogates, joiners and very long texts spoil no square."""
    texts = ("\ufdd0", "\U0010fffd", "\u200d", "\ud800", "\u0301", "W" * 8, "\n", "")
    looked_over(stage_for(with_symbols(*(Symbol(text) for text in texts))))


def test_symbol_pictures_that_cannot_be_read(stage_for: StageFor) -> None:
    """Cut-outs that are empty, cut off, missing or no pictures leave the code to be drawn."""
    pictures = (Symbol("", f"pictures/{name}.png") for name in ("empty", "torn", "gone"))
    looked_over(stage_for(with_symbols(*pictures, empty=b"", torn=b"\x89PNG\r\n\x1a\n" + bytes(50))))


def lined(chart: Chart, ends: list[tuple[int, int, int, int]], kinds: list[LineKind]) -> Chart:
    x1, y1, x2, y2 = np.array(ends, np.int32).T.copy()
    lines = Lines(x1, y1, x2, y2, np.array(kinds, np.uint8), np.ones(len(ends), np.uint16))
    return replace(chart, lines=lines)


@pytest.mark.parametrize("kind", LineKind)
def test_lines_across_the_largest_chart(stage_for: StageFor, kind: LineKind) -> None:
    """Lines as long as the largest chart, level, upright, slanted and nearly level."""
    bare = full_chart(Making(MOST_COLUMNS, MOST_ROWS, 1), bare=True)
    far, low = 2 * MOST_COLUMNS, 2 * MOST_ROWS
    ends = [
        (0, 0, far, low),
        (far, 0, 0, low),
        (0, 7, far, 7),
        (9, low, 9, 0),
        (0, 3, far, 4),
        (5, 0, 4, low),
    ]
    stage = stage_for(lined(bare, ends, [kind] * len(ends)))
    for pitch in (5, 12, 40, 160):
        for column, row in ((2, 3), (MOST_COLUMNS // 2, MOST_ROWS // 2), (MOST_COLUMNS - 3, 4)):
            stage.zoom(pitch, 0, 0)
            stage.canvas.centre_on(column, row)
            stage.take([Step("turn"), Step("pan", (16, 8)), Step("mark", (2, 0, 2, 1)), Step("turn")])
            stage.take([Step("look", (2,)), Step("turn"), Step("pan", (-30, 8)), Step("look", (0,))])
            assert stage.difference() == ""


def test_a_line_to_nowhere(stage_for: StageFor) -> None:
    """A line whose ends are one point draws at most a dot."""
    bare = full_chart(Making(12, 9, 1), bare=True)
    looked_over(stage_for(lined(bare, [(4, 4, 4, 4), (0, 0, 0, 0)], [LineKind.BACK, LineKind.STRAIGHT])))


def test_hundreds_of_stitches_at_one_place(stage_for: StageFor) -> None:
    """Knots, beads and lines heaped on one point, and every part stitch in one square."""
    bare = full_chart(Making(12, 9, 1), bare=True)
    many = 300
    spot, keys = np.full(many, 8, np.int32), np.ones(many, np.uint16)
    heaped = replace(
        bare,
        points=Points(spot, spot.copy(), np.full(many, PointKind.BEAD, np.uint8), keys),
        lines=Lines(spot, spot.copy(), spot + 5, spot + 2, np.ones(many, np.uint8), keys.copy()),
        parts=Parts(
            spot[:10], spot[:10].copy(), np.array([*PartShape], np.uint8), keys[:10].copy()
        ),
    )  # fmt: skip
    looked_over(stage_for(heaped))
