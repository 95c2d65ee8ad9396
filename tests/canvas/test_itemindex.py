"""Stitches are found by place: none that shows is missed, however the chart lies."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from stitchview.canvas.bars import Form, forms
from stitchview.canvas.itemindex import BLOCK, BlockIndex, Reaches
from stitchview.canvas.items import Items
from stitchview.chart.area import Area
from stitchview.chart.stitches import LineKind
from stitchview.done.change import OPEN
from tests.canvas.charts import Making, full_chart

SIDES = st.integers(1, 150)


@given(columns=SIDES, rows=SIDES, seed=st.integers(0, 999), data=st.data())
def test_whatever_reaches_into_an_area_is_found(
    columns: int, rows: int, seed: int, data: st.DataObject
) -> None:
    """Looking a stitch up by blocks finds all that looking at every stitch finds, each once, in order."""
    random = np.random.default_rng(seed)
    left, right = np.sort(random.integers(0, columns + 1, (2, 60), np.int32), 0)
    top, bottom = np.sort(random.integers(0, rows + 1, (2, 60), np.int32), 0)
    index = BlockIndex(Reaches(left, top, right, bottom), columns, rows)
    area = Area(
        data.draw(st.integers(-40, columns + 40)), data.draw(st.integers(-40, rows + 40)),
        data.draw(st.integers(1, columns + 80)), data.draw(st.integers(1, rows + 80)),
    )  # fmt: skip
    touching = (left < area.right) & (right >= area.column) & (top < area.bottom) & (bottom >= area.row)
    found = index.near(area).tolist()
    assert found == sorted(set(found))
    assert set(np.flatnonzero(touching).tolist()) <= set(found)


def test_nothing_is_near_an_empty_area() -> None:
    """Where no square is, no stitch is looked for."""
    one = np.zeros(1, np.int32)
    assert not len(BlockIndex(Reaches(one, one, one, one), 5, 5).near(Area(0, 0, 0, 3)))


def test_most_of_a_large_chart_is_not_looked_at() -> None:
    """On a large chart a small area has few candidates, or the canvas would be slow."""
    side = 4096
    x, y = np.meshgrid(np.arange(0, side, 16, dtype=np.int32), np.arange(0, side, 16, dtype=np.int32))
    spots = Reaches(x.ravel(), y.ravel(), x.ravel(), y.ravel())
    found = BlockIndex(spots, side, side).near(Area(1000, 2000, 40, 30))
    assert len(found) <= (40 // BLOCK + 2) * (30 // BLOCK + 2) * (BLOCK // 16) ** 2


@pytest.mark.parametrize("making", [Making(40, 31, 4), Making(130, 131, 5), Making(1, 23, 6)])
def test_lines_and_points_of_an_area_are_found(making: Making) -> None:
    """Every line that passes through an area and every knot in it is found."""
    chart = full_chart(making)
    items = Items(chart)
    for area in (Area(0, 0, 3, 3), Area(making.columns // 2, making.rows // 2, 5, 4), chart.area):
        lines, points = chart.lines, chart.points
        inside = (points.x >= 2 * area.column) & (points.x <= 2 * area.right)
        inside &= (points.y >= 2 * area.row) & (points.y <= 2 * area.bottom)
        assert np.array_equal(items.points_in(area), np.flatnonzero(inside))
        # Many points along each line; a line one of whose points lies in the area passes through it.
        shares = np.linspace(0, 1, 401)[:, None]
        x = lines.x1 + (lines.x2 - lines.x1) * shares
        y = lines.y1 + (lines.y2 - lines.y1) * shares
        through = (
            (x >= 2 * area.column) & (x <= 2 * area.right) & (y >= 2 * area.row) & (y <= 2 * area.bottom)
        )
        alone = forms({(kind, OPEN): Form.ALONE for kind in LineKind})
        states = np.full(len(lines), OPEN, np.uint8)
        straight = items.near(area).bars_in(area, states, alone).alone
        found = {*items.slanted_in(area).tolist(), *straight.tolist()}
        assert set(np.flatnonzero(through.any(0)).tolist()) <= found
