"""Nodes drawn aside by symbols come back onto the printed lines, because paper bends gently."""

import numpy as np
import pytest
from numpy.typing import NDArray

from stitchview.sheets.ruledplacing import placed
from stitchview.sheets.ruledsurface import middles, shares, surface_of
from tests.paper.photographing import photographed
from tests.paper.printing import printed_sheets


def drawn_aside(nodes: NDArray[np.float64], corner: tuple[int, int], size: int) -> NDArray[np.float64]:
    """The nodes with a patch of them a quarter of a square too far right."""
    part = tuple(slice(first, first + size) for first in corner)
    wrong = nodes.copy()
    wrong[part] += 0.25 * np.gradient(nodes, axis=1)[part]
    return wrong


@pytest.mark.parametrize(("condition", "most"), [("scan", 0.05), ("careful", 0.1), ("poor", 0.15)])
def test_a_patch_drawn_aside_is_put_right(condition: str, most: float) -> None:
    """A patch of crossings that was taken for strokes of symbols is found again by the lines around it."""
    taken = photographed(printed_sheets(60, 50, 25, 3).pages[0], condition, 3)
    true = taken.nodes.astype(np.float64)
    square = float(np.linalg.norm(np.gradient(true, axis=1), axis=2).mean())
    found = placed(taken.picture.grey, drawn_aside(true, (20, 25), 12))
    assert np.linalg.norm(found - true, axis=2).max() < most * square


def test_a_surface_is_not_moved_by_strays() -> None:
    """One value in ten far off does not bend the surface; a parabola is known beforehand at every place."""
    down, across = middles(40), shares(30)
    true = 0.2 * down[:, None] ** 2 - 0.1 * across[None] + 0.05 * down[:, None] * across[None]
    random = np.random.default_rng(4)
    values = true + np.where(random.random(true.shape) < 0.1, 0.3, 0.0)
    surface = surface_of(values, np.ones_like(true), (down, across), 6, (0.3, 0.2, 0.1, 0.1, 0.1))
    assert np.abs(surface.at(down, across) - true).max() < 0.02


def test_the_smallest_chart_can_be_placed() -> None:
    """A chart of five by six squares has enough lines for a surface."""
    taken = photographed(printed_sheets(5, 6, 5, 2).pages[0], "scan", 2)
    true = taken.nodes.astype(np.float64)
    assert np.linalg.norm(placed(taken.picture.grey, true + 3.0) - true, axis=2).max() < 0.1 * 36
