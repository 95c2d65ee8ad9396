"""How the sample's colours are chosen: as the eye sees them, far enough apart, and mixed without clumps."""

import numpy as np
from coloraide import Color
from hypothesis import given
from hypothesis import strategies as st

from stitchview.chart.harbour.clusters import chosen, two_nearest
from stitchview.chart.harbour.easel import Stuff
from stitchview.chart.harbour.oklab import from_oklab, to_oklab
from stitchview.chart.harbour.palette import allot
from stitchview.chart.harbour.scatter import even_scatter


@given(st.tuples(*[st.integers(0, 255)] * 3))
def test_colours_are_placed_as_a_reference_library_places_them(parts: tuple[int, int, int]) -> None:
    """OKLab values agree with the coloraide library, and every sRGB colour survives the way back."""
    expected = Color("srgb", [part / 255 for part in parts]).convert("oklab").coords()
    found = to_oklab(np.array(parts))
    assert np.abs(found - np.array(expected)).max() < 1e-9
    assert tuple(from_oklab(found).tolist()) == parts


def test_colours_beyond_srgb_are_brought_back() -> None:
    """A colour no screen can show becomes one it can."""
    assert from_oklab(np.array([1.2, 0.0, 0.0])).tolist() == [255, 255, 255]
    assert from_oklab(np.array([-0.1, 0.0, 0.0])).tolist() == [0, 0, 0]


def test_chosen_colours_find_the_heaps() -> None:
    """Four heaps of colours are stood for by their four middles."""
    random = np.random.default_rng(5)
    heaps = np.array([[0.2, 0, 0], [0.8, 0.1, 0], [0.5, -0.1, 0.1], [0.6, 0.1, -0.1]])
    colours = np.concatenate([heap + random.normal(0, 0.005, (200, 3)) for heap in heaps])
    found = chosen(colours, np.ones(len(colours)), 4)
    distances = np.linalg.norm(found[:, None] - heaps[None], axis=2)
    assert (distances.min(axis=0) < 0.002).all()


@given(st.integers(0, 2**32 - 1), st.integers(1, 12))
def test_the_nearest_two_are_the_nearest_two(seed: int, count: int) -> None:
    """Agrees with sorting all distances one by one."""
    random = np.random.default_rng(seed)
    colours, middles = random.random((50, 3)), random.random((count, 3))
    first, second = two_nearest(colours, middles)
    order = np.argsort(np.linalg.norm(colours[:, None] - middles[None], axis=2), axis=1)
    assert (first == order[:, 0]).all()
    assert (second == order[:, min(1, count - 1)]).all()


def test_one_colour_asked_for_many_gives_many() -> None:
    """Where the picture has fewer colours than the key should have, the rest lie close about them."""
    found = chosen(np.array([[0.5, 0.0, 0.0]]), np.ones(1), 30)
    assert len(np.unique(found, axis=0)) == 30
    assert np.abs(found - [0.5, 0, 0]).max() < 0.1


@given(st.integers(1, 2000))
def test_every_key_entry_is_allotted(threads: int) -> None:
    """Plain threads, blends, metallics and beads add up to the key that was asked for."""
    allotment = allot(threads)
    plain = sum(allotment.plain.values())
    assert plain + allotment.blends + allotment.metallics + allotment.beads == threads
    assert min(allotment.plain.values()) >= 1
    if threads >= 18:
        assert set(allotment.plain) == {Stuff.SKY, Stuff.LAND, Stuff.WATER, Stuff.LIGHT}


def test_thresholds_are_even_and_scattered() -> None:
    """Every threshold occurs once, and at any tone each patch of the tile has its fair share of squares.

    A fair share scatters less than half as much as chance would have it (binomial deviation).
    """
    tile = even_scatter(3).astype(np.float64)
    assert np.array_equal(np.sort(tile, axis=None), ((np.arange(4096) + 0.5) / 4096).astype(np.float32))
    for tone in (0.1, 0.25, 0.5, 0.75, 0.9):
        shares = (tile < tone).reshape(8, 8, 8, 8).mean(axis=(1, 3))
        assert shares.std() < 0.5 * np.sqrt(tone * (1 - tone) / 64)


def test_lone_squares_of_a_rare_tone_keep_apart() -> None:
    """Among the lowest three in a hundred thresholds no two squares touch, not even over the tile's edge."""
    low = even_scatter(11) < 0.03
    around = [np.roll(low, (down, across), (0, 1)) for down in (-1, 0, 1) for across in (-1, 0, 1)]
    assert not (low & (np.sum(around, axis=0) > 1)).any()
