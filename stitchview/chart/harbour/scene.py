"""The whole picture, put together from far to near."""

from stitchview.chart.harbour.boats import float_boats, moor
from stitchview.chart.harbour.easel import Painting
from stitchview.chart.harbour.gulls import release_gulls
from stitchview.chart.harbour.headland import build_headland
from stitchview.chart.harbour.hills import raise_hills
from stitchview.chart.harbour.quay import build_cranes, build_quay
from stitchview.chart.harbour.sky import paint_sky
from stitchview.chart.harbour.view import View
from stitchview.chart.harbour.water import gild, pour_water, ripple


def paint_harbour(view: View) -> Painting:
    """The harbour at dusk: every square's colour and material, and all lines, knots and beads."""
    painting = Painting(view.columns, view.rows, view.horizon)
    paint_sky(painting, view)
    pour_water(painting, view)
    raise_hills(painting, view)
    gild(painting, view)
    build_headland(painting, view)
    build_cranes(painting, view)
    build_quay(painting, view)
    float_boats(painting, view)
    moor(painting, view, view.chance("piles"))
    ripple(painting, view)
    release_gulls(painting, view)
    painting.needlework.settle()
    return painting
