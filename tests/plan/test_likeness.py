"""How alike colours look, held against published pairs, two libraries and published matrices."""

import csv
from collections.abc import Callable, Sequence
from pathlib import Path

import numpy as np
import pytest
from coloraide import Color
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray
from skimage.color import deltaE_ciede2000

from stitchview.chart.colour import BLACK, WHITE, Colour
from stitchview.plan.likeness import (
    Near,
    Sight,
    difference,
    lab_difference,
    labs,
    least_difference,
    nearest,
    nearest_of,
    pairs_below,
)

OTHER_LIBRARY: Callable[..., NDArray[np.float64]] = deltaE_ciede2000

colours = st.builds(Colour, *[st.integers(0, 255)] * 3)
# In Lab no colour of a screen moves farther than this where red, green or blue is one step off.
ONE_STEP = 1.5
lab_values = st.tuples(st.floats(0, 100), st.floats(-128, 128), st.floats(-128, 128))

# Sharma, Wu and Dalal, Color Research and Application 30 (1), 2005, Table 1: pairs 1 and 4 (the blue
# turn), 7 (a grey), 9 and 12 (either side of the hue's jump), 17, 25, 34 (very dark).
PUBLISHED = [
    ((50, 2.6772, -79.7751), (50, 0, -82.7485), 2.0425),
    ((50, -1.3802, -84.2814), (50, 0, -82.7485), 1.0),
    ((50, 0, 0), (50, -1, 2), 2.3669),
    ((50, 2.49, -0.001), (50, -2.49, 0.0009), 7.1792),
    ((50, 2.49, -0.001), (50, -2.49, 0.0012), 7.2195),
    ((50, 2.5, 0), (73, 25, -18), 27.1492),
    ((60.2574, -34.0099, 36.2677), (60.4626, -34.1751, 39.4387), 1.2644),
    ((2.0776, 0.0795, -1.135), (0.9033, -0.0636, -0.5514), 0.9082),
]

# Machado, Oliveira and Fernandes, IEEE TVCG 15 (6), 2009, severity 1, applied to linear sRGB and
# clipped; reckoned outside this program from the printed matrices, for protan, deutan, tritan.
SIMULATED = {
    "#FF0000": ("#6D5F00", "#A39000", "#FF000F"),
    "#00FF00": ("#FFE500", "#EFD63A", "#00F7D9"),
    "#0000FF": ("#0059FF", "#003DFB", "#006B96"),
    "#E69F00": ("#B9A200", "#CAB411", "#FB8C87"),
    "#56B4E9": ("#9BB3EC", "#87A4E8", "#00C2C6"),
    "#009E73": ("#9A9271", "#8A8676", "#009E92"),
    "#F0E442": ("#F8DC23", "#FCE34E", "#FFD4C5"),
    "#0072B2": ("#5375B5", "#3B67B1", "#008289"),
    "#D55E00": ("#817100", "#9E8C00", "#EB4050"),
    "#CC79A7": ("#808BA9", "#9498A5", "#D6788A"),
}

# D65 Lab of screen colours on which three libraries agree to 0.03.
LABS = {
    "#FFFFFF": (100, 0, 0),
    "#000000": (0, 0, 0),
    "#FF0000": (53.2371, 80.0901, 67.2033),
    "#00FF00": (87.7355, -86.1816, 83.1866),
    "#0000FF": (32.3009, 79.1953, -107.8555),
    "#808080": (53.5850, 0, 0),
    "#F5F0E1": (94.8100, -0.8609, 7.8381),
}

# Okabe and Ito, Color Universal Design, 2008: colours told apart by every eye.
OKABE_ITO = ("#000000", "#E69F00", "#56B4E9", "#009E73", "#F0E442", "#0072B2", "#D55E00", "#CC79A7")


def apart(first: Sequence[float], second: Sequence[float]) -> float:
    """The difference of two measured colours, as that of two threads is reckoned."""
    return lab_difference(Color("lab-d65", list(first)), Color("lab-d65", list(second)))


def some(count: int, seed: int) -> list[Colour]:
    parts = np.random.default_rng(seed).integers(0, 256, (count, 3))
    return [Colour(*row) for row in parts.tolist()]


@pytest.mark.parametrize(("first", "second", "published"), PUBLISHED)
def test_differences_are_the_published_ones(
    first: tuple[float, ...], second: tuple[float, ...], published: float
) -> None:
    """The colour difference of well-known pairs is the one their authors printed, either way round."""
    assert apart(first, second) == pytest.approx(published, abs=5e-5)
    assert apart(second, first) == pytest.approx(published, abs=5e-5)


def test_all_34_published_pairs_agree(shared: Path) -> None:
    """Every pair of the printed table comes out to its last decimal, and the quick bound stays under it."""
    table = shared / "reference" / "ciede2000_sharma2005.csv"
    with table.open(encoding="utf-8", newline="") as file:
        rows = [[float(each) for each in row] for row in list(csv.reader(file))[1:]]
    assert len(rows) == 34
    for _, *values, published in rows:
        first, second = values[:3], values[3:]
        assert apart(first, second) == pytest.approx(published, abs=5e-5)
        assert apart(second, first) == pytest.approx(published, abs=5e-5)
        bound = least_difference(np.array([first]), np.array([second]))
        assert bound[0, 0] <= apart(first, second)


@given(colours, colours)
def test_a_second_library_agrees(first: Colour, second: Colour) -> None:
    """Two libraries that share no line reckon the same difference for any two threads."""
    one, other = labs([first]), labs([second])
    assert difference(first, second) == pytest.approx(float(OTHER_LIBRARY(one, other)[0]), abs=1e-6)


@pytest.mark.parametrize(("code", "lab"), LABS.items())
def test_screen_colours_become_daylight_lab(code: str, lab: tuple[float, ...]) -> None:
    """Screen colours are turned into Lab under daylight D65, not under the printer's D50."""
    assert labs([Colour.from_hex(code)])[0] == pytest.approx(lab, abs=0.03)


@pytest.mark.parametrize(("code", "seen"), SIMULATED.items())
def test_simulated_eyes_see_the_published_colours(code: str, seen: tuple[str, ...]) -> None:
    """Colours as eyes weak in red, green or blue see them are those of the published matrices."""
    for sight, expected in zip((Sight.PROTAN, Sight.DEUTAN, Sight.TRITAN), seen, strict=True):
        wanted = labs([Colour.from_hex(expected)])
        # A step of one in red, green or blue moves a colour by less than that.
        assert np.linalg.norm(labs([Colour.from_hex(code)], sight) - wanted) < ONE_STEP


@pytest.mark.parametrize("sight", Sight)
def test_greys_stay_grey_for_every_eye(sight: Sight) -> None:
    """A weakness for colours changes no grey thread."""
    assert labs([Colour(128, 128, 128)], sight) == pytest.approx(labs([Colour(128, 128, 128)]), abs=0.05)
    assert difference(BLACK, WHITE, sight) == pytest.approx(100, abs=1e-3)


def test_colours_made_for_every_eye_stay_apart() -> None:
    """The smallest differences inside a palette made for every eye are those measured outside."""
    palette = [Colour.from_hex(code) for code in OKABE_ITO]
    for sight, least in zip(Sight, (21.7, 12.3, 11.6, 10.9), strict=True):
        assert min(apart for *_, apart in pairs_below(palette, 200, sight)) == pytest.approx(least, abs=0.06)


@given(lab_values, lab_values)
def test_the_bound_is_never_above_the_truth(
    first: tuple[float, float, float], second: tuple[float, float, float]
) -> None:
    """What the quick look rules out could never have been near."""
    # Of two that differ by less than any screen can show, the published formula says none at all.
    assert least_difference(np.array([first]), np.array([second]))[0, 0] <= apart(first, second) + 1e-12


def test_the_weight_of_hue_stays_below_what_the_bound_takes() -> None:
    """T of the published formula is below 1.59 at every hue: on a fine grid, and by its slope between."""
    step = 1e-4
    hue = np.arange(0, 2 * np.pi, step)
    waves = ((-0.17, 1, -30), (0.24, 2, 0), (0.32, 3, 6), (-0.20, 4, -63))
    largest = (1 + sum(size * np.cos(n * hue + np.radians(turn)) for size, n, turn in waves)).max()
    assert largest + step * sum(abs(size) * n for size, n, _ in waves) < 1.59


@pytest.mark.parametrize("sight", Sight)
def test_the_nearest_threads_are_those_found_by_asking_all(sight: Sight) -> None:
    """Leaving out threads that cannot be near changes nothing in what is found."""
    asked, among = some(12, 1), [*some(150, 2), *some(20, 2)]
    for colour, found in zip(asked, nearest_of(asked, among, 4, sight), strict=True):
        every = sorted((difference(colour, other, sight), index) for index, other in enumerate(among))
        assert [(near.difference, near.index) for near in found] == every[:4]


@pytest.mark.parametrize("sight", Sight)
def test_pairs_below_a_limit_are_those_found_by_asking_all(sight: Sight) -> None:
    """Every pair nearer than the limit is named, and no other."""
    among = some(70, 3)
    every = [(i, j, difference(among[i], among[j], sight)) for i in range(70) for j in range(i + 1, 70)]
    assert list(pairs_below(among, 12, sight)) == [pair for pair in every if pair[2] < 12]


def test_equal_colours_keep_the_order_of_the_stash() -> None:
    """Of threads equally near the one that stands first in the stash is named first."""
    red, blue = Colour(160, 40, 50), Colour(40, 60, 150)
    assert nearest(red, [blue, red, red, blue], 3) == (
        Near(1, 0),
        Near(2, 0),
        Near(0, difference(red, blue)),
    )


def test_an_empty_stash_has_nothing_near() -> None:
    """Where no thread is owned none is offered."""
    assert nearest(WHITE, []) == ()
    assert nearest(WHITE, [BLACK], 0) == ()
