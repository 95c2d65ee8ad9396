"""Finished sizes, cut sizes and fitting, against the tables of checks.md and exact fractions."""

import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stitchview.errors import CommandError
from stitchview.follow.clothpitch import INCH_MM
from stitchview.plan.clothcount import ClothCount, Way, off_true
from stitchview.plan.clothsize import (
    USUAL_MARGINS,
    Making,
    Margin,
    Opening,
    Size,
    cut_size,
    finished_size,
    fitting,
    on_counts,
)

# checks.md, section 1: 100 stitches over one, in millimetres, by plain arithmetic with the inch of 25.4 mm.
HUNDRED = {
    11: 230.9091, 14: 181.4286, 16: 158.75, 18: 141.1111, 20: 127.0, 22: 115.4545,
    25: 101.6, 28: 90.7143, 32: 79.375, 36: 70.5556, 40: 63.5,
}  # fmt: skip
counts = st.floats(4, 100)
squares = st.integers(1, 4096)


@pytest.mark.parametrize(("count", "mm"), HUNDRED.items())
def test_a_hundred_stitches_have_the_published_size(count: int, mm: float) -> None:
    """Over one as in the table, over two twice that."""
    assert finished_size(100, 100, ClothCount(count, count).pitch).width_mm == pytest.approx(mm, abs=5e-5)
    twice = finished_size(100, 100, ClothCount(count, count, over=2).pitch)
    assert twice.height_mm == pytest.approx(2 * mm, abs=1e-4)


@pytest.mark.parametrize(("fine", "coarse"), [(28, 14), (32, 16), (36, 18)])
def test_a_fine_cloth_over_two_is_a_coarse_one_over_one(fine: int, coarse: int) -> None:
    """28 over two is 14 over one, exactly (the well-known equivalence, checks.md)."""
    assert ClothCount(fine, fine, over=2).pitch == ClothCount(coarse, coarse).pitch


@pytest.mark.parametrize(
    ("inch", "ten"), [(14, 55.118), (16, 62.992), (18, 70.866), (25, 98.425), (28, 110.236), (32, 125.984)]
)
def test_counts_to_the_inch_and_to_10_cm_agree(inch: float, ten: float) -> None:
    """The rows "per inch to per cm" and back of checks.md."""
    assert ClothCount(inch, inch).per_10_cm[0] == pytest.approx(ten, abs=5e-4)
    assert ClothCount(ten, ten, per_100_mm=True).per_inch[1] == pytest.approx(inch, abs=5e-4)


@pytest.mark.parametrize(("ten", "inch"), [(55, 13.97), (100, 25.4), (110, 27.94), (126, 32.004)])
def test_counts_to_10_cm_are_told_to_the_inch(ten: float, inch: float) -> None:
    """The row "per cm to per inch" of checks.md."""
    assert ClothCount(ten, ten, per_100_mm=True).per_inch[0] == pytest.approx(inch, abs=1e-9)


def test_a_piece_and_what_to_cut_for_it() -> None:
    """200 x 300 stitches at 14, and 3 inches or 75 mm more on each side (checks.md)."""
    size = finished_size(200, 300, ClothCount(14, 14).pitch)
    assert (size.width_mm, size.height_mm) == pytest.approx((362.857, 544.286), abs=5e-4)
    assert (size.width_mm / INCH_MM, size.height_mm / INCH_MM) == pytest.approx((14.2857, 21.4286), abs=5e-5)
    inches = cut_size(size, Margin(3 * INCH_MM))
    assert (inches.width_mm, inches.height_mm) == pytest.approx((515.257, 696.686), abs=5e-4)
    frame = cut_size(size, USUAL_MARGINS[Making.FRAME])
    assert (frame.width_mm, frame.height_mm) == pytest.approx((512.857, 694.286), abs=5e-4)
    assert size.words == "36.3 x 54.4 cm (14.3 x 21.4 in)"
    assert frame.cutting_words == "51.5 x 69.5 cm (20.25 x 27.5 in)"


def test_uneven_cloth_makes_a_piece_longer_one_way() -> None:
    """14 across and 13 down, and 28 by 27 over two (checks.md)."""
    uneven = ClothCount(14, 13)
    size = finished_size(200, 200, uneven.pitch)
    assert (size.width_mm, size.height_mm) == pytest.approx((362.857, 390.769), abs=5e-4)
    assert off_true(uneven).ratio == pytest.approx(1.076923, abs=5e-7)
    assert size.height_mm - size.width_mm == pytest.approx(27.912, abs=5e-4)
    assert off_true(uneven).words == "7.7 % longer downward than the chart’s true proportions"
    assert off_true(uneven.turned).words == "7.7 % longer across than the chart’s true proportions"
    fine = finished_size(100, 100, ClothCount(28, 27, over=2).pitch)
    assert (fine.width_mm, fine.height_mm) == pytest.approx((181.4286, 188.1481), abs=5e-5)
    assert off_true(ClothCount(28, 27, over=2)).ratio == pytest.approx(1.037037, abs=5e-7)


@pytest.mark.parametrize(("across", "down", "ratio"), [(12, 9, 4 / 3), (8, 12, 2 / 3)])
def test_stretching_by_a_third(across: float, down: float, ratio: float) -> None:
    """The handbook's squares lengthened, or pressed together, by a third (checks.md, H18)."""
    assert off_true(ClothCount(across, down)).ratio == pytest.approx(ratio)


@given(counts, counts, st.integers(1, 4), squares)
def test_size_is_exact_and_turning_swaps_the_ways(across: float, down: float, over: int, side: int) -> None:
    """n o / c by exact fractions, by inch and by 10 cm alike; a quarter turn turns r into 1 / r."""
    count = ClothCount(across, down, over=over)
    size = finished_size(side, side, count.pitch)
    exact = Fraction(side) * over * Fraction(254, 10) / Fraction(across)
    assert size.width_mm == pytest.approx(float(exact), rel=1e-12)
    metric = ClothCount(across * 100 / INCH_MM, down * 100 / INCH_MM, per_100_mm=True, over=over)
    assert finished_size(side, side, metric.pitch).height_mm == pytest.approx(size.height_mm, rel=1e-12)
    assert finished_size(side, side, count.turned.pitch) == size.turned
    assert off_true(count).ratio * off_true(count.turned).ratio == pytest.approx(1)
    assert off_true(count).percent == pytest.approx(off_true(count.turned).percent)
    assert (off_true(count).way is Way.DOWN) == (size.height_mm >= size.width_mm)


@given(st.floats(1, 5000), st.floats(1, 5000), st.floats(0, 300), st.floats(0, 50))
def test_what_is_told_for_cutting_is_never_too_small(
    width: float, height: float, bare: float, hem: float
) -> None:
    """Rounded up in both measures, by less than a step; without a margin it is the size itself."""
    size = Size(width, height)
    assert cut_size(size, Margin(0)) == size
    cut = cut_size(size, Margin(bare, hem))
    assert cut.width_mm >= cut_size(size, Margin(bare)).width_mm >= width
    metric, inches = cut.cutting_words.removesuffix(" in)").split(" cm (")
    for told, unit, step in ((metric, 10.0, 5.0), (inches, INCH_MM, INCH_MM / 4)):
        wide, high = (float(each) * unit for each in told.split(" x "))
        # Told with six figures, so a tenth of a millimetre at most may be lost in hundreds of metres.
        assert cut.width_mm - 1e-3 <= wide < cut.width_mm + step + 1e-3
        assert cut.height_mm - 1e-3 <= high < cut.height_mm + step + 1e-3


def test_a_frame_is_tried_upright_and_on_its_side() -> None:
    """It tells the room at each side, or by how much the piece is too large."""
    size = Size(300, 200)
    assert (
        fitting(size, Opening(340, 260)).words
        == "It fits, with 2.0 cm at each side and 3.0 cm above and below."
    )
    turned = fitting(size, Opening(260, 340))
    assert turned.fits
    assert turned.on_its_side
    small = fitting(size, Opening(280, 210))
    assert not small.fits
    assert small.words == "It does not fit: 2.0 cm too wide."
    assert fitting(size, Opening(300, 200)).fits


def test_the_size_on_other_counts() -> None:
    """The same chart on what is sold, over as many threads."""
    others = dict(on_counts(100, 50, 2))
    assert list(others) == list(HUNDRED)
    for count, mm in HUNDRED.items():
        assert others[count].width_mm == pytest.approx(2 * mm, abs=1.1e-4)
        assert others[count].height_mm == pytest.approx(mm, abs=1e-4)


@pytest.mark.parametrize("count", [0, -14, 1.9, 201, math.inf, math.nan])
def test_absurd_counts_are_refused_in_a_sentence(count: float) -> None:
    """Nothing, less than nothing, and more than any cloth has."""
    with pytest.raises(CommandError, match=r"No cloth has .* threads to the inch down\. Count them again"):
        ClothCount(14, count)


def test_absurd_ways_of_working_and_measures_are_refused() -> None:
    """Over no threads, a margin of a field, a frame of nothing."""
    for wrong in (
        lambda: ClothCount(14, 14, over=0),
        lambda: Margin(-1),
        lambda: Margin(math.nan),
        lambda: Margin(10, 5000),
        lambda: Opening(0, 100),
        lambda: Opening(100, math.inf),
    ):
        with pytest.raises(CommandError):
            wrong()
