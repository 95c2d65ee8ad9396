"""How the sample is drawn: shapes, lines from hole to hole, what hides what, and repeatable chance."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from stitchview.chart.area import Area
from stitchview.chart.colour import Colour
from stitchview.chart.harbour.chance import Chance, Noise, lattice, scrambled
from stitchview.chart.harbour.easel import Coat, Painting, lay
from stitchview.chart.harbour.field import Field
from stitchview.chart.harbour.needlework import Ink, Needlework
from stitchview.chart.harbour.shapes import bar, bounds, disc, inside
from stitchview.chart.harbour.view import bands

RED = Coat(Colour(200, 0, 0))


def test_scrambled_numbers_are_those_of_the_published_generator() -> None:
    """The first outputs of splitmix64 from seed 0 (reference values published with the generator)."""
    step = 0x9E3779B97F4A7C15
    seeds = np.array([0, step, 2 * step % 2**64], np.uint64)
    assert [hex(value) for value in scrambled(seeds).tolist()] == [
        "0xe220a8397b1dcdaf",
        "0x6e789e6aa1b965f4",
        "0x6c45d188009454f",
    ]


def test_chance_is_the_same_for_ever() -> None:
    """One seed and purpose give one stream; another purpose gives another."""
    one, again, other = Chance(5, "boats"), Chance(5, "boats"), Chance(5, "gulls")
    stream = [one.share() for _ in range(20)]
    assert stream == [again.share() for _ in range(20)]
    assert stream != [other.share() for _ in range(20)]
    assert all(3 <= one.between(3, 4) <= 4 for _ in range(50))
    assert {one.one_of("ab") for _ in range(50)} == {"a", "b"}


def test_noise_is_soft_and_passes_through_its_lattice() -> None:
    """At whole places it is the lattice itself, and in between it changes little by little."""
    noise = Noise(9)
    across, down = np.arange(20.0)[None, :], np.arange(15.0)[:, None]
    assert np.allclose(noise.at(across, down), lattice(9)[:15, :20])
    fine = noise.at(np.linspace(0, 8, 4000), np.zeros(4000))
    assert np.abs(np.diff(fine)).max() < 0.01
    layered = noise.layered(across / 3, down / 3, 4)
    assert layered.min() >= 0
    assert layered.max() <= 1


@given(st.lists(st.tuples(st.integers(-5, 45), st.integers(-5, 45)), min_size=3, max_size=3, unique=True))
def test_a_triangle_holds_the_squares_whose_middles_lie_in_it(corners: list[tuple[int, int]]) -> None:
    """Agrees with the sign of three cross products at every square's middle (middles on an edge aside)."""
    area = Area(0, 0, 40, 40)
    found = inside([(float(x), float(y)) for x, y in corners], area)
    across, down = np.arange(40)[None, :] + 0.5, np.arange(40)[:, None] + 0.5
    sides = []
    for (x1, y1), (x2, y2) in zip(corners, corners[1:] + corners[:1], strict=True):
        sides.append((x2 - x1) * (down - y1) - (y2 - y1) * (across - x1))
    signs = np.sign(np.stack([np.broadcast_to(side, (40, 40)) for side in sides]))
    clear = (signs != 0).all(axis=0)
    expected = (signs == signs[0]).all(axis=0)
    assert np.array_equal(found[clear], expected[clear])


def test_a_disc_and_a_bar_have_the_area_they_should() -> None:
    """Pi r squared, and length times width, within a square for each square of outline."""
    area = Area(0, 0, 100, 100)
    assert inside(disc((50.3, 49.8), 30, 30, 200), area).sum() == pytest.approx(np.pi * 900, rel=0.01)
    assert inside(bar((10, 10), (80, 60), 9), area).sum() == pytest.approx(9 * np.hypot(70, 50), rel=0.03)
    assert bounds(bar((2, 5), (9, 5), 0.1)) == Area(2, 4, 7, 2)


def test_slanted_lines_stay_near_the_straight_one() -> None:
    """Each hole of a slanted line lies less than half a square from it, and the ends are kept."""
    needle = Needlework()
    needle.back((3, 2), (41, 19.5), Ink.RIGGING)
    needle.settle()
    assert tuple(needle.lines[0, :2]) == (6, 4)
    assert tuple(needle.lines[-1, 2:4]) == (82, 39)
    assert np.array_equal(needle.lines[1:, :2], needle.lines[:-1, 2:4])
    away = np.abs((82 - 6) * (needle.lines[:, 1] - 4) - (39 - 4) * (needle.lines[:, 0] - 6)) / np.hypot(
        76, 35
    )
    assert away.max() < 1
    assert np.abs(needle.lines[:, 2] - needle.lines[:, 0]).max() <= 8


def test_what_is_nearer_hides_what_is_behind() -> None:
    """A thing laid over another covers its squares, its lines and its knots, and nothing else of it."""
    painting = Painting(20, 10, 10)
    far = painting.patch(Area(0, 0, 20, 10))
    far.needlework.back((0, 1), (8, 1), Ink.OUTLINE)
    far.needlework.back((0, 5), (8, 5), Ink.OUTLINE)
    far.needlework.knot((2.5, 5.5), Ink.WINDOW)
    far.needlework.knot((15.5, 5.5), Ink.WINDOW)
    lay(painting, far)
    near = painting.patch(Area(0, 4, 10, 4))
    near.box(Area(0, 4, 10, 4), RED)
    lay(painting, near)
    assert painting.needlework.lines[:, :4].tolist() == [[0, 2, 16, 2]]
    assert painting.needlework.points[:, :2].tolist() == [[31, 11]]
    assert (painting.labels > 0).sum() == 40
    assert (painting.colours[4:8, :10, 0] == 200).all()


def test_shapes_outside_the_picture_are_left_out() -> None:
    """A thing that reaches beyond the picture, or lies outside it altogether, is cut off at its edge."""
    painting = Painting(10, 10, 10)
    patch = painting.patch(Area(-5, -5, 30, 30))
    assert patch.area == Area(0, 0, 10, 10)
    patch.disc((0, 0), 4, RED)
    lay(painting, patch)
    lay(painting, painting.patch(Area(40, 40, 5, 5)))
    assert 8 < (painting.labels > 0).sum() < 16


@pytest.mark.parametrize("unit", [100.0, 1900.0])
def test_a_field_worked_out_coarsely_is_nearly_the_same(unit: float) -> None:
    """In a large picture soft fields are filled in between; the difference cannot be seen."""
    field = Field((20, 90), 70, unit, lambda across, down: np.sin(across / 25) + np.cos(down / 30))
    rows = np.arange(20, 90)[:, None]
    exact = np.sin((np.arange(70)[None, :] + 0.5) / 25) + np.cos((rows + 0.5) / 30)
    assert np.abs(field.at(rows) - exact).max() < 0.005


def test_bands_cover_all_rows_once() -> None:
    """Working through a picture in bands leaves out no row and takes none twice."""
    rows = np.concatenate([band[:, 0] for band in bands(3, 500, 4096)])
    assert np.array_equal(rows, np.arange(3, 500))
