"""The generator of typeset plates tells the truth about where the gaps between its pieces cross."""

import numpy as np
import pytest

from tests.paper.photographing import photographed
from tests.paper.typesetting import PLATE, TYPE_PITCH, typeset_plate


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_true_nodes_lie_in_white_gaps_between_dark_pieces(seed: int) -> None:
    """At most crossings the paper shows, and round them all lies ink, on the plate and on its scan."""
    page = typeset_plate(30, 24, 8, seed)
    assert page.content.codes.max() == 8
    grey = page.pixels[..., 0]
    inner = np.rint(page.nodes[1:-1, 1:-1].reshape(-1, 2)).astype(int)
    white = [grey[y - 1 : y + 2, x - 1 : x + 2].mean() > 128 for x, y in inner]
    assert np.mean(white) > 0.8
    reach = TYPE_PITCH // 4
    assert np.mean([grey[y - reach : y + reach, x - reach : x + reach].min() < 20 for x, y in inner]) > 0.99
    taken = photographed(page, PLATE, seed)
    assert 16 < taken.lattice.pixels_a_square < 27
    seen = np.rint(taken.nodes[1:-1, 1:-1].reshape(-1, 2)).astype(int)
    beside = seen + np.array([round(taken.lattice.pixels_a_square * 0.12), 0])
    at_nodes = np.array([taken.picture.grey[y, x] for x, y in seen], float)
    at_frames = np.array([taken.picture.grey[y + 2, x] for x, y in beside], float)
    assert at_nodes.mean() > at_frames.mean() + 50
